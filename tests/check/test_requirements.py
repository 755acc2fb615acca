"""Requirement lists: every clause is answered by something that exists, and stands as its worst answer."""

from __future__ import annotations

import json
import re
from collections import Counter
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from tests.check.made import job
from wiring import commissioning, load_job, plan, requirement_text, requirements, stray_answers
from wiring.check import RULES
from wiring.check.requirements import requirements as answered
from wiring.check.requirements import worst
from wiring.cli.entry import run
from wiring.files import catalog_root, load_catalog
from wiring.model.commissioning import Outcome, Step
from wiring.model.entry import Catalog, Clause
from wiring.model.finding import Finding, Verdict
from wiring.model.job import Answer, Record
from wiring.model.plan import Counts, Plan, Report
from wiring.model.requirement import STATES, Requirement

CATALOG = load_catalog()
DEMO = Path(str(catalog_root())) / "demo"


@cache
def planned(name: str) -> Plan:
    return plan(load_job(DEMO / f"{name}.toml"))


@cache
def kinds() -> set[str]:
    """What the commissioning tests of two demos answer."""
    names = ("malt-second-plan", "slipway-gantry")
    return {o.step.answers for name in names for o in commissioning(planned(name))}


def made(*answered_by: str) -> Catalog:
    """A catalog of one clause."""
    clause = Clause("X1", "a book", "", "1", "Do it.", "read", "us", answered_by=answered_by)
    return Catalog({}, {}, {}, {}, {}, {"X1": clause})


def report(*verdicts: Verdict, about: str = "after", stage: str = "design") -> Report:
    """A report of findings of one rule."""
    found = tuple(
        Finding("mode.idle-off", f"s{i}", about, v, "design", 1, "found", "") for i, v in enumerate(verdicts)
    )
    none = Counts()
    return Report(Verdict.PASS, stage, found, (), none, none, 1, ())


def one(catalog: Catalog, given: Report, outcomes: tuple[Outcome, ...] = (), **facts: object) -> Requirement:
    found = answered(job(**facts), catalog, given, outcomes, built=True)  # type: ignore[arg-type]
    assert len(found) == 1
    return found[0]


@pytest.mark.parametrize("clause", CATALOG.clauses.values(), ids=list(CATALOG.clauses))
def test_every_clause_is_answered_by_something(clause: Clause) -> None:
    """Each clause names rules that exist and are asked in its region, tests that exist, or a question."""
    assert clause.answered_by and clause.text and clause.clause
    for name in clause.answered_by:
        if name.startswith("commissioning:"):
            assert name.removeprefix("commissioning:") in kinds()
        elif name not in ("question", "proof"):
            assert name in RULES and clause.region in RULES[name].regions


@pytest.mark.parametrize(("name", "region"), [("malt-second-plan", "us"), ("slipway-gantry", "iec")])
def test_whole_list_of_the_region_and_nothing_else(name: str, region: str) -> None:
    """A job gets every clause of its region once, none of the other, and each has a known state."""
    rows = requirements(planned(name))
    assert [r.clause.id for r in rows] == [c.id for c in CATALOG.clauses.values() if c.region == region]
    assert all(r.state in STATES and len(r.replies) == len(r.clause.answered_by) for r in rows)
    assert all(reply.says != "not run" for r in rows for reply in r.replies)


def test_states_follow_the_findings() -> None:
    """On the demos what a row says of a rule is what the report says of it."""
    for name in ("malt-first-try", "malt-second-plan"):
        given = planned(name)
        worst_of: dict[str, Verdict] = {}
        for finding in reversed(given.report.findings):  # sorted worst first
            if finding.about == "after":
                worst_of[finding.rule] = finding.verdict
        words = {Verdict.FAIL: "objection", Verdict.UNKNOWN: "unknown", Verdict.PASS: "met"}
        seen = 0
        for row in requirements(given):
            for reply in row.replies:
                verdict = worst_of.get(reply.by)
                if verdict in words:
                    assert reply.state == words[verdict], (row.clause.id, reply)
                    seen += 1
        assert seen > 60


def test_failing_plan_has_objections_and_the_better_plan_fewer() -> None:
    """The first try has clauses with objections, the second plan has none."""
    first = Counter(r.state for r in requirements(planned("malt-first-try")))
    second = Counter(r.state for r in requirements(planned("malt-second-plan")))
    assert first["objection"] > 5 and second["objection"] == 0


@pytest.mark.parametrize(
    ("verdicts", "state"),
    [((Verdict.PASS,), "met"), ((Verdict.PASS, Verdict.FAIL, Verdict.UNKNOWN), "objection"),
     ((Verdict.PASS, Verdict.UNKNOWN), "unknown"), ((Verdict.TO_SHOW, Verdict.PASS), "to show"),
     ((Verdict.NOT_APPLICABLE,), "not applicable"), ((Verdict.NOT_APPLICABLE, Verdict.PASS), "met"),
     ((), "unknown")],
)  # fmt: skip
def test_a_rule_answers_by_its_worst_finding(verdicts: tuple[Verdict, ...], state: str) -> None:
    """A rule that has not spoken leaves its clause unknown, never met."""
    assert one(made("mode.idle-off"), report(*verdicts)).state == state


def test_findings_about_the_pendant_do_not_answer() -> None:
    """What is wrong with the hoist as found is no objection to the conversion, and no answer to it."""
    given = report(Verdict.FAIL, about="before")
    assert one(made("mode.idle-off"), given).state == "not applicable"
    as_found = replace(given, findings=(replace(given.findings[0], rule="identity.as-found"),))
    assert one(made("identity.as-found"), as_found).state == "objection"


@pytest.mark.parametrize(
    ("text", "state"),
    [(None, "open question"), ("", "open question"), ("by number, both ends", "your answer"),
     ("No", "objection"), ("not met", "objection")],
)  # fmt: skip
def test_questions(text: str | None, state: str) -> None:
    """A question is open until answered, an answer is the user's, and a plain no is an objection."""
    answers = () if text is None else (Answer("X1", text),)
    row = one(made("question"), report(), answers=answers)
    assert (row.state, row.replies[0].state) == (state, state)
    assert "X1" in row.replies[0].says or row.replies[0].says == text


def test_an_answer_does_not_hide_an_objection() -> None:
    """Words do not outweigh a rule that fails, nor make a rule's pass out of an unknown."""
    said = (Answer("X1", "all fine"),)
    assert one(made("mode.idle-off", "question"), report(Verdict.FAIL), answers=said).state == "objection"
    assert one(made("mode.idle-off", "question"), report(Verdict.UNKNOWN), answers=said).state == "unknown"
    assert one(made("mode.idle-off", "question"), report(Verdict.PASS), answers=said).state == "your answer"


@pytest.mark.parametrize(
    ("answer", "stage", "state"),
    [("accept", "commissioned", "met"), ("reject", "design", "objection"), ("missing", "design", "to show"),
     ("missing", "commissioned", "unknown"), ("repeat", "installed", "to show"),
     ("repeat", "hand-over", "unknown")],
)  # fmt: skip
def test_tests_answer_by_their_records(answer: str, stage: str, state: str) -> None:
    """A test that was not done is to show while it is not due, and unknown once it is."""
    step = Step("loss-up", "g", "loss", "do", "wanted")
    outcome = Outcome(step, Record("loss-up", "0.3 s"), answer, "why")  # type: ignore[arg-type]
    assert one(made("commissioning:loss"), report(stage=stage), (outcome,)).state == state
    other = replace(outcome, step=replace(step, answers="range"))
    assert one(made("commissioning:loss"), report(stage=stage), (other,)).state == "not applicable"


def test_without_a_converted_circuit_tests_are_still_to_come() -> None:
    """While the types are unknown no test is waved through as not applicable."""
    found = answered(job(), made("commissioning:loss"), report(), (), built=False)
    assert found[0].state == "to show"
    rule = made("mode.idle-off")
    assert answered(job(), rule, report(Verdict.NOT_APPLICABLE), (), built=False)[0].state == "unknown"
    assert answered(job(), rule, report(Verdict.PASS), (), built=False)[0].state == "met"


def test_order_of_states() -> None:
    """The worst of several states stands; without any the question is open."""
    assert worst(["met", "to show", "unknown"]) == "unknown"
    assert worst(["your answer", "met"]) == "your answer"
    assert worst([]) == "open question"


def test_answers_to_nothing_are_named() -> None:
    """An answer to no clause and no rule is listed with the nearest name, one to a rule is not."""
    given = planned("malt-second-plan")
    answers = (Answer("US-99", "x"), Answer("place.sight", "x"), Answer("place.radio.range", "x"))
    stray = stray_answers(replace(given, job=replace(given.job, answers=answers)))
    assert [name for name, _ in stray] == ["US-99"] and stray[0][1].startswith("US-")


def test_text_has_every_row_and_the_counts() -> None:
    """The text lists each id with its state, within 80 columns, and counts that add up."""
    given = planned("slipway-gantry")
    rows = requirements(given)
    text = requirement_text(given, rows, (("D999", "D09"),))
    assert max(map(len, text.splitlines())) <= 80
    for row in rows:
        assert re.search(rf"^{row.clause.id} +{row.state}$", text, re.M)
    numbers = re.findall(r"(\d+) (?:" + "|".join(STATES) + ")", text.split("\n\n")[1].replace("\n", " "))
    assert sum(map(int, numbers)) == len(rows)
    assert "D999" in text and "EXAMPLE, not your hoist" in text


def test_command(capsys: pytest.CaptureFixture[str]) -> None:
    """--requirements --json prints one document; the exit code stays that of the job's verdict."""
    file = str(DEMO / "malt-second-plan.toml")
    plain = run(["check", file, "--faults", "none"])
    capsys.readouterr()
    assert run(["check", file, "--faults", "none", "--requirements", "--json"]) == plain
    told = json.loads(capsys.readouterr().out)
    assert told["schema"] == "holdrun/requirements/1" and told["region"] == "us"
    assert sum(told["counts"].values()) == len(told["rows"]) == 71
    assert {"id", "clause", "requirement", "basis", "state", "answered_by"} <= set(told["rows"][0])
