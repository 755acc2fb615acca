"""`holdrun demo`: a newcomer's first minute, and what the example jobs must say."""

from __future__ import annotations

import contextlib
import io
import json
from pathlib import Path

import pytest

from tests.jobs.plans import DEMO, finding, objections, planned, planned_text, swapped
from wiring.cli import main
from wiring.model.finding import Verdict
from wiring.sheets.findings_json import check_json

FIRST = DEMO / "malt-first-try.toml"
SECOND = DEMO / "malt-second-plan.toml"
GANTRY = DEMO / "slipway-gantry.toml"
EXAMPLE = "EXAMPLE, not your hoist"

# what is wrong with the first try: rule, subject, verdict, words of the finding
FIRST_TRY = [
    ("mode.hold-to-run", "receiver:CH1", "fail", "toggle"),
    ("mode.hold-to-run", "receiver:CH2", "fail", "toggle"),
    ("contact.motor-load", "receiver:CH1", "fail", "rated resistive only"),
    ("contact.motor-load", "receiver:CH2", "fail", "6.30 A"),
    ("conductor.false-neutral", "receiver:supply", "fail", "reaches no pole of the supply"),
    ("proof.limits-kept", "hoist up", "fail", "up limit open"),
    ("proof.joined-cores", "core:3 + core:4", "fail", "the handset kept these apart while"),
    ("identity.core", "core:3", "unknown", "by colour"),
]

# every open question of the second plan about the hoist as converted, and the entry that answers it
ANSWERS = {
    ("proof.stop-chain", "stop:S1"): """
[[answer]]
requirement = "proof.stop-chain"
text = "chain validated by a machine safety engineer, report of 2026-11-30"
""",
    ("contact.short-circuit", "receiver:CH1"): """
[[confirm]]
entry = "hoist-practice/conditional-short/current"
is = "1000 A"
by = "licensed electrician, for the example"
second = "second electrician, for the example"
source = "data sheet of the relay, short-circuit test with its fuse"
""",
}
ANSWERS["contact.short-circuit", "receiver:CH2"] = ANSWERS["contact.short-circuit", "receiver:CH1"]


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    """The demo written once: its folder, and what it printed."""
    folder = tmp_path_factory.mktemp("first-minute") / "holdrun-demo"
    said = io.StringIO()
    with contextlib.redirect_stdout(said):
        code = main(["demo", str(folder)])
    assert code == 0
    return folder, said.getvalue()


def test_demo_writes_jobs_verdicts_proofs_and_drawings(demo: tuple[Path, str]) -> None:
    """Each job lies beside its findings, its proof and both drawings, and none of them is empty."""
    folder, _ = demo
    assert (folder / "job.schema.json").stat().st_size > 1000
    for job in (FIRST, SECOND, GANTRY):
        assert (folder / job.name).read_text("utf-8") == job.read_text("utf-8")
        for suffix in ("check.txt", "proof.txt", "circuit.svg", "circuit.png", "connections.svg"):
            assert (folder / f"{job.stem}.{suffix}").stat().st_size > 500


def test_demo_says_what_to_do_next_and_who_decides(demo: tuple[Path, str]) -> None:
    """It prints a verdict for each job, what to open next, the caution, and that no job is the reader's."""
    folder, said = demo
    assert said.count("OBJECTIONS: ") == 1 and said.count("OPEN: 3 unknown, no fail") == 2
    assert f"holdrun check {folder}/malt-first-try.toml" in said and "holdrun new" in said
    assert said.startswith(EXAMPLE)
    assert "Lock out and prove dead" in said
    for kind in ("check.txt", "proof.txt", "circuit.svg", "connections.svg", "circuit.txt"):
        assert EXAMPLE in (folder / f"malt-second-plan.{kind}").read_text("utf-8"), kind


def test_a_demo_job_that_was_edited_is_kept(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A demo written again leaves a job alone that somebody changed."""
    mine = FIRST.read_text("utf-8") + "# my note\n"
    (tmp_path / FIRST.name).write_text(mine, "utf-8")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("wiring.cli.demo.demos", lambda: ((FIRST.name, FIRST.read_text("utf-8")),))
        assert main(["demo", str(tmp_path)]) == 0
    assert (tmp_path / FIRST.name).read_text("utf-8") == mine
    assert "kept" in capsys.readouterr().err


@pytest.mark.parametrize(("rule", "subject", "verdict", "words"), FIRST_TRY)
def test_first_try_names_each_mistake(rule: str, subject: str, verdict: str, words: str) -> None:
    """Each mistake of the first try is a finding with found, wanted, source, danger, remedy and place."""
    found = finding(planned(FIRST), rule, subject)
    assert found.verdict == verdict
    assert words in found.found
    assert found.wanted and found.source and found.remedy
    assert found.danger == 1
    assert found.where.startswith("malt-first-try.toml:")


def test_first_try_exits_1_with_the_three_worst_first(capsys: pytest.CaptureFixture[str]) -> None:
    """`check` on the first try exits 1 and prints the three worst rules, each with its next step."""
    assert main(["check", str(FIRST), "--faults", "none"]) == 1
    said = capsys.readouterr().out
    findings = planned(FIRST).report.findings
    worst = list({f.rule: f for f in reversed(findings)}.values())[::-1][:3]
    assert all(f.verdict is Verdict.FAIL and f.danger == 1 for f in worst)
    places = [said.index(f"{f.rule:<24}{f.subject}") for f in worst]
    assert places == sorted(places)
    assert said.count("\nFAIL ") == 3
    assert said.count("do: ") == 3
    assert EXAMPLE in said and "This has not been shown." in said


def test_findings_stand_in_the_order_of_their_weight() -> None:
    """Verdict first, then danger, then the findings without a number, then the smallest margin."""
    for file in (FIRST, SECOND, GANTRY):
        order = [Verdict.FAIL, Verdict.UNKNOWN, Verdict.PASS, Verdict.NOT_APPLICABLE]
        keys = [
            (order.index(f.verdict), f.danger, f.margin is not None, f.margin or 0.0, f.rule, f.subject)
            for f in planned(file).report.findings
        ]
        assert keys == sorted(keys)


def test_margins_follow_from_the_numbers_beside_them() -> None:
    """In the JSON of a check every margin is measured against limit, and there is none without both."""
    seen = 0
    for file in (FIRST, SECOND, GANTRY):
        for row in json.loads(json.dumps(check_json(planned(file))))["findings"]:
            measured, limit = row["measured"], row["limit"]
            if measured is None or not limit:
                assert row["margin"] is None
                continue
            assert row["unit"] and row["sense"] in ("at-most", "at-least")
            gap = limit - measured if row["sense"] == "at-most" else measured - limit
            assert row["margin"] == pytest.approx(gap / limit, abs=0.02)
            seen += 1
    assert seen > 40


def test_second_plan_has_no_objection_and_names_what_is_open() -> None:
    """Nothing about the second plan fails; what is unknown is what this test file answers."""
    plan = planned(SECOND, "single")
    assert objections(plan, "fail") == set()
    assert objections(plan, "unknown") == set(ANSWERS)
    assert plan.report.to_show and plan.identity == "shown"


def test_gantry_has_no_objection() -> None:
    """Nothing about the boatyard's gantry fails, single faults included."""
    plan = planned(GANTRY, "single")
    assert objections(plan, "fail") == set()
    assert plan.behaviour is not None and plan.behaviour.faults is not None
    assert plan.behaviour.faults.worse == 0 and plan.behaviour.faults.count > 100


def test_every_open_question_of_the_second_plan_names_its_key() -> None:
    """Each unknown says which entry to add, and that entry is the one that these tests add."""
    for (rule, subject), entry in ANSWERS.items():
        found = finding(planned(SECOND, "single"), rule, subject)
        named = next(line.split(" = ", 1)[1].strip('"') for line in entry.splitlines() if " = " in line)
        assert any(named in remedy for remedy in found.remedies), found.remedies


@pytest.mark.parametrize("question", sorted(ANSWERS))
def test_the_named_key_with_a_good_value_answers(question: tuple[str, str]) -> None:
    """The entry that an unknown asks for, filled in, lets the finding pass."""
    text = SECOND.read_text("utf-8") + "".join(dict.fromkeys(ANSWERS.values()))
    found = finding(planned_text(text), *question)
    assert found.verdict is Verdict.PASS
    assert finding(planned(SECOND), *question).verdict is Verdict.UNKNOWN


# what the second plan states once, and the rule that asks for it when it is not there
TAKEN_AWAY = [
    ('fault_current = "1000 A"\n', "contact.short-circuit", "receiver:CH1", "supply.fault_current"),
    ("starts_per_hour = 30\n", "contact.endurance", "receiver:CH1", "hoist.starts_per_hour"),
    ('hook_speed = "26 ft/min"\n', "mode.stop-travel", "hoist up", "hook_speed"),
    ('people = "beside"\n', "people.lifted", "people", "people"),
    ('ambient = "86 °F"\norder = ["1", "PE", "2"]', "conductor.ampacity", "W2:1", "ambient"),
]


@pytest.mark.parametrize(("line", "rule", "subject", "key"), TAKEN_AWAY)
def test_a_fact_taken_away_is_asked_for(line: str, rule: str, subject: str, key: str) -> None:
    """A fact that the second plan states and a rule needs becomes an unknown that names its key."""
    bare = planned_text(swapped(SECOND.read_text("utf-8"), (line, "")))
    found = finding(bare, rule, subject)
    assert found.verdict is Verdict.UNKNOWN
    assert key in " ".join((found.found, found.wanted, *found.remedies))
    assert finding(planned(SECOND), rule, subject).verdict is not Verdict.FAIL
