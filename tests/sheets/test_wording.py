"""What a reader of the pack stumbles over: numbers beside their limits, names, places to sign."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from tests.sheets.conftest import planned
from wiring import load_job, pipeline, plan
from wiring.model.finding import Finding, Verdict
from wiring.model.plan import Plan
from wiring.sheets.columns import widths
from wiring.sheets.commissioning import commissioning
from wiring.sheets.cover import cover
from wiring.sheets.figures import figure, limit, margin, measured, value_text
from wiring.sheets.handover import in_the_way
from wiring.sheets.operator_card import key_rows
from wiring.sheets.pdf_pack import SOFT, soft
from wiring.sheets.proof_text import proof_text
from wiring.sheets.receiver_settings import receiver_settings
from wiring.sheets.review import review
from wiring.sheets.revision import open_rows
from wiring.sheets.sheet import Material, Sheet, Table
from wiring.sheets.stops import stops

CRANE = Path(__file__).resolve().parents[1] / "jobs" / "conversions" / "two-speed-crane.toml"


@pytest.fixture(scope="module")
def crane() -> Plan:
    return plan(load_job(str(CRANE)))


def finding(**facts: object) -> Finding:
    made = Finding("contact.make", "receiver:CH1", "after", Verdict.PASS, "design", 2, "found", "wanted")
    return replace(made, **facts)  # type: ignore[arg-type]


def test_measured_is_rounded_against_its_limit() -> None:
    """A current just above what is printed is printed above it, and a voltage below it below."""
    current = finding(measured=0.5811, limit=30.0, sense="at-most", unit="A")
    assert measured(current, "us") == "0.59 A"
    assert measured(replace(current, sense="at-least"), "us") == "0.58 A"
    assert measured(finding(measured=0.84996, sense="at-least", unit="1"), "us") == "0.849"
    assert measured(finding(measured=66.67, sense="at-least", unit="1"), "us") == "66.6"
    assert measured(finding(), "us") == ""


def test_table_and_sentence_of_a_finding_say_one_number(malt: Plan) -> None:
    """Where the sentence of a contact finding begins with an amount in amperes, the table has the same."""
    seen = 0
    for f in malt.report.findings:
        words = f.found.split()
        if f.unit == "A" and f.measured is not None and words[1:2] == ["A"] and "." in words[0]:
            seen += 1
            assert measured(f, "us") == f"{words[0]} A", f
    assert seen >= 5


def test_small_and_foreign_numbers_keep_their_digits() -> None:
    """Nanofarads are not rounded to nothing, runs are in feet where people read feet, ratios have no unit."""
    cable = finding(measured=7.4e-9, limit=34e-9, sense="at-most", unit="F")
    assert (measured(cable, "us"), limit(cable, "us")) == ("7.4 nF", "34.0 nF")
    assert figure(70e-6, "F") == "70.00 uF"
    small = finding(measured=0.0667, limit=0.01, sense="at-least", unit="A")
    assert (measured(small, "us"), limit(small, "us")) == ("66.7 mA", "10.0 mA")
    assert (figure(12.192, "m", "us"), figure(12.192, "m", "iec")) == ("40.0 ft", "12.19 m")
    assert figure(500.0, "count") == "500" and figure(0.75, "1") == "0.75"
    assert value_text("0.75 1") == "0.75" and value_text("6e-10 F/m") == "600 pF/m"
    assert value_text("2e-07 m2") == "0.2 mm2" and value_text("12 VA") == "12 VA"


def test_a_margin_has_no_signed_zero() -> None:
    """A margin of nothing is 0 %; a limit just missed keeps its minus and a digit."""
    assert margin(finding(margin=-1e-9)) == "0 %"
    assert margin(finding(margin=-0.003)) == "-0.3 %" and margin(finding(margin=0.61)) == "61 %"


def test_trials_before_the_work_are_not_in_the_way(malt: Plan) -> None:
    """What was tried on the hoist as found is no stray record; a test that the plan has not got is."""
    held = pipeline.material(malt)
    assert any(r.test.startswith("as-found") for r in malt.job.records)
    assert not any("does not have" in line for line in in_the_way(held))
    stray = replace(malt.job.records[0], test="open-CH9")
    job = replace(malt.job, records=(*malt.job.records, stray))
    odd = replace(held, plan=replace(malt, job=job))
    told = str(cover(odd).blocks)
    assert "1 records of tests that this plan does not have: open-CH9" in told


def test_there_is_room_to_sign(malt: Plan) -> None:
    """What is to be filled in by hand has the larger part of the line."""
    form = tables(review(Material(malt)))[-1]
    assert form.form and all(not row[1] for row in form.rows)
    (left, right), _ = widths(form, landscape=False)
    assert right > left


def test_there_is_room_to_write_a_measurement_beside_those_that_are_recorded(malt: Plan) -> None:
    """Readings that are still missing have as much room when some are recorded as when none is."""
    columns = ("Test", "Expected", "Measured, by")
    rows = (("a", "120 V, 108.0 V to 132.0 V", "121 V, me"), ("b", "120 V, 108.0 V to 132.0 V", ""))
    (_, _, narrow), _ = widths(Table(columns, rows), landscape=True)
    (_, _, wide), _ = widths(Table(columns, rows, written=("Measured, by",)), landscape=True)
    assert wide > narrow * 1.5 and wide > 34
    group = next(t for t in tables(commissioning(pipeline.material(malt))) if "Measured, by" in t.columns)
    assert group.written == ("Measured, by",)


def tables(sheet: Sheet) -> list[Table]:
    return [b for b in sheet.blocks if isinstance(b, Table)]


def test_keys_stand_in_the_order_of_the_receiver(crane: Plan) -> None:
    """Up before down, the second step beside the first, START and STOP named at the end of the card."""
    names = [key for key, _ in key_rows(crane)]
    assert names[:4] == ["up", "down", "up, second step", "down, second step"]
    assert names[-2:] == ["start", "stop"] and len(names) == 10


def test_bench_times_are_set_cleanly(malt: Plan) -> None:
    """Times of the bench test stand in brackets without gaps."""
    rows = tables(receiver_settings(Material(malt)))[0].rows
    told = " ".join(row[-1] for row in rows)
    assert "(0.4 s)" in told and "( " not in told


def test_open_questions_are_what_nobody_knows(malt: Plan) -> None:
    """Unknown findings are listed with what to do; failures are counted and left to the findings."""
    rows = open_rows(malt)
    unknown = [f for f in malt.report.findings if f.verdict is Verdict.UNKNOWN]
    assert sum(row[1].count("; ") + 1 for row in rows) == len(unknown) > 0
    counts = replace(malt.report.counts, failed=2)
    failing = replace(malt, report=replace(malt.report, counts=counts))
    assert open_rows(failing)[0][2] == "2 failures"


def test_a_long_name_breaks_between_its_parts() -> None:
    """An overlong id may break at its hyphens, never inside a word that fits."""
    told = soft("capacitor-motor-direct-120-second-return stays")
    assert told.replace(SOFT, "") == "capacitor-motor-direct-120-second-return stays"
    assert told.split(SOFT)[0] == "capacitor-" and all(len(p) < 30 for p in told.split(SOFT))
    assert max(len(p) for p in soft("x" * 80).split(SOFT)) == 15


def test_each_motor_is_held_against_its_own_plate(crane: Plan) -> None:
    """The current expected for the trolley is compared with the trolley's plate, not with the hoist's."""
    told = {o.step.id: o.step.wanted for o in pipeline.commissioning(crane)}
    plates = {m.name: m.values["full_load_current"].si for m in crane.after.motors}  # type: ignore[union-attr]
    assert f"plate {plates['hoist:trolley']:.2f} A" in told["amps-left"]
    assert f"plate {plates['hoist:fast']:.2f} A" in told["amps-up-2"]
    assert f"plate {plates['hoist:slow']:.2f} A" in told["amps-up"]


def test_a_motion_that_was_not_played_is_not_called_gone() -> None:
    """Where the converted hoist finds no rest in a motion the stop table and the proof say so."""
    first_try = planned("malt-first-try", "single")
    sheet = stops(Material(first_try))
    rows = next(t for t in tables(sheet) if t.title == "What still ends: hoist down").rows
    assert rows[0][0] == "none" and rows[0][-1].startswith("not shown as converted")
    assert "no fault: not shown as converted" in " ".join(proof_text(first_try, "single").split())
