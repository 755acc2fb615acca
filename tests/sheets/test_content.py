"""What the sheets say: nothing invented, nothing left out, gaps named."""

from __future__ import annotations

from dataclasses import replace

from wiring import pipeline
from wiring.model.finding import Verdict
from wiring.model.job import Answer
from wiring.model.plan import Plan
from wiring.sheets.contact_ratings import contact_ratings
from wiring.sheets.findings import findings
from wiring.sheets.lockout import lockout
from wiring.sheets.operator_card import operator_card
from wiring.sheets.parts_list import parts_list
from wiring.sheets.plain_text import plain_text
from wiring.sheets.receiver_settings import receiver_settings
from wiring.sheets.requirement_text import requirement_text
from wiring.sheets.requirements import requirements
from wiring.sheets.sheet import Figure, Material, Sheet, Table
from wiring.sheets.signs import signs
from wiring.sheets.stops import stops
from wiring.simulate.expect import live_after


def rows_of(sheet: Sheet, title: str = "") -> list[tuple[str, ...]]:
    """Rows of the tables of a sheet, or of the one with that title."""
    tables = [b for b in sheet.blocks if isinstance(b, Table) and title in ("", b.title)]
    return [row for table in tables for row in table.rows]


def test_every_finding_is_printed_once(malt: Plan) -> None:
    """Each finding stands with its rule and subject in the part of its verdict, with its source."""
    sheet, report = findings(Material(malt)), malt.report
    bad, good = rows_of(sheet, "Objections"), rows_of(sheet, "Without objection")
    told = {(row[0], name): row for row in good for name in row[1].split("; ")}
    later = rows_of(sheet, "To show later")
    known = dict(rows_of(sheet, "Sources of what was without objection"))
    passed = [f for f in report.findings if f.verdict is Verdict.PASS]
    assert sum(row[1].count("; ") + 1 for row in good) == len(passed)
    for finding in passed:
        about = " (hoist as found)" if finding.about == "before" else ""
        row = told[finding.rule, finding.subject + about]
        assert finding.wanted in row[3] and finding.source in known[finding.rule]
    objections = [f for f in report.findings if f.verdict in (Verdict.FAIL, Verdict.UNKNOWN)]
    assert [(row[1], row[3]) for row in bad] == [(f.rule, f.found) for f in objections]
    assert all(f.source in row[5] for f, row in zip(objections, bad, strict=True))
    aside = [f for f in report.findings if f.verdict is Verdict.NOT_APPLICABLE]
    assert len(rows_of(sheet, "Not applicable")) == len(aside)
    assert sum(row[1].count("; ") + 1 for row in later) == len(report.to_show)
    shown = {(row[0], name) for row in later for name in row[1].split("; ")}
    assert shown == {(f.rule, f.subject) for f in report.to_show}


def test_every_clause_of_the_region_has_an_answer(malt: Plan, malt_material: Material) -> None:
    """Each clause of the region stands once, in the state and with the replies the check room gives it."""
    sheet = requirements(malt_material)
    rows = {row[0]: row for row in rows_of(sheet)}
    wanted = [c.id for c in malt.catalog.clauses.values() if c.region in ("us", "both")]
    assert sorted(rows) == sorted(wanted) and len(rows_of(sheet)) == len(wanted)
    for answered in pipeline.requirements(malt):
        row = rows[answered.clause.id]
        assert row[1] == answered.state and row[3] == answered.clause.text
        assert all(f"{reply.by}: {reply.state}" in row[4] for reply in answered.replies) and row[4]
    opened = {row[1] for row in rows_of(sheet, "Open")}
    assert opened and opened <= {"objection", "unknown", "open question"}
    assert not opened & {row[1] for row in rows_of(sheet, "Answered, or to show later")}


def test_the_list_of_the_pack_is_that_of_the_command(malt: Plan, malt_material: Material) -> None:
    """Pack and `check --requirements` print the same state and the same words for every clause."""
    printed = requirement_text(malt, pipeline.requirements(malt), ())
    flat = " ".join(printed.split())
    for row in rows_of(requirements(malt_material)):
        assert f"{row[0]:<8}{row[1]}" in printed
        assert all(reply in flat for reply in row[4].split("; ") if not reply.endswith("…"))


def test_an_owner_answer_is_shown(malt: Plan) -> None:
    """An answer to a question of the list stands beside its clause."""
    ours = (c for c in malt.catalog.clauses.values() if c.region == "us")
    clause = next(c for c in ours if c.answered_by == ("question",))
    answered = replace(malt, job=replace(malt.job, answers=(Answer(clause.id, "rating plate renewed"),)))
    rows = rows_of(requirements(Material(answered, requirements=pipeline.requirements(answered))))
    row = next(r for r in rows if r[0] == clause.id)
    assert row[1] == "your answer" and "rating plate renewed" in row[4]


def test_stop_matrix_and_counts_are_those_of_the_proof(malt: Plan) -> None:
    """Every row of the stop matrix and the counts of the fault run are on the stop sheet."""
    shown = malt.behaviour
    assert shown is not None and shown.faults is not None
    sheet = stops(Material(malt))
    motions = {row.motion for row in shown.stops}
    assert sum(len(rows_of(sheet, f"What still ends: {m}")) for m in motions) == len(shown.stops)
    assert f"{shown.faults.count} single faults" in plain_text(sheet)


def test_no_brand_and_every_device_in_the_parts_list(malt: Plan) -> None:
    """Each device, cable and transmitter has a line with a rating or the word that it is not stated."""
    rows = rows_of(parts_list(Material(malt)))
    tags = {tag for row in rows for tag in row[1].split(", ")}
    job = malt.job
    assert {d.id for d in job.devices} | {c.id for c in job.cables} | {t.id for t in job.transmitters} <= tags
    assert all(row[3] for row in rows)


def test_contacts_carry_limit_and_margin(malt: Plan) -> None:
    """Measured, limit and margin of every contact finding with numbers are printed with units."""
    rows = rows_of(contact_ratings(Material(malt)), "Checks")
    numbered = [f for f in malt.report.findings if f.rule.startswith("contact.") and f.margin is not None]
    assert numbered
    for finding in numbered:
        row = next(r for r in rows if r[0] == finding.subject and r[1] == finding.rule.partition(".")[2])
        assert row[4] and row[5] and row[6].endswith("%")


def test_unrecorded_mode_is_said_loudly(malt: Plan) -> None:
    """An output whose mode nobody wrote down is printed as not recorded, not as momentary."""
    outputs = tuple(replace(o, mode=None) for o in malt.job.receiver.outputs)
    silent = replace(malt.job.receiver, outputs=outputs)
    sheet = receiver_settings(Material(replace(malt, job=replace(malt.job, receiver=silent))))
    assert all(row[3] == "NOT RECORDED" for row in rows_of(sheet, "Outputs"))


def test_lockout_names_stored_energy_and_points(malt: Plan) -> None:
    """Capacitor, brake, load and transmitter are listed; so is every lockable point of the circuit."""
    text = plain_text(lockout(Material(malt)))
    energies = ("capacitor hoist:C1", "brake hoist:BR", "hanging load", "transmitter")
    for word in (*energies, "Q1", "1910.147(d)(5)"):
        assert word in text, word


def test_lockout_steps_are_those_of_the_region(malt: Plan, gantry: Plan) -> None:
    """A job gets the steps and clauses of its region and none of the other's, recalled ones said to be so."""
    ours, theirs = plain_text(lockout(Material(malt))), plain_text(lockout(Material(gantry)))
    assert "1910.147" in ours and "50110" not in ours
    assert "EN 50110-1 6.2.3" in theirs and "1910." not in theirs and "recalled" in theirs


def test_sign_says_what_stays_live(gantry: Plan) -> None:
    """The receiver fed above the stop stays live after the STOP key, and its sign says so."""
    live = live_after(gantry.after)
    assert "key:stop" in live
    receiver = signs(gantry, live)[0]
    assert "Stays live after the STOP key." in receiver


def test_card_lists_the_nearest_stop_first(gantry: Plan) -> None:
    """How to stop when the radio does not: by reach, each with its place."""
    rows = rows_of(operator_card(Material(gantry)))
    assert [row[1] for row in rows[:3]] == [
        "press the STOP key",
        "press wired emergency stop S1",
        "switch off isolator Q1",
    ]
    assert rows[2][2] == "wall by the slipway door"


def test_a_drawing_on_several_sheets_is_told_once_in_text(malt_sheets: tuple[Sheet, ...]) -> None:
    """The ladder of a circuit stands once in the text, however many sheets the drawing has."""
    sheet = next(s for s in malt_sheets if s.id == "as-converted")
    assert sum(isinstance(block, Figure) for block in sheet.blocks) == 2
    assert plain_text(sheet).count("receiver CH1") > 0
    assert plain_text(sheet).count("\nContacts not used") == 1
