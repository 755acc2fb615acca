"""Commissioning records: accepted, rejected with a cause, repeated when the plan changed, never skipped."""

from __future__ import annotations

import datetime
from dataclasses import replace
from pathlib import Path

import pytest

from wiring import load_job, plan
from wiring.model.commissioning import Outcome
from wiring.model.finding import Verdict
from wiring.model.job import Approval, Parts, Record
from wiring.model.plan import Plan
from wiring.pipeline import commissioning, record
from wiring.sheets.handover import handover_line, in_the_way
from wiring.sheets.record_text import expected, record_json, record_text, record_verdict
from wiring.sheets.sheet import Material
from wiring.simulate.expect_record import series_ohms


def recorded(plan: Plan, *records: Record) -> dict[str, Outcome]:
    later = replace(plan, job=replace(plan.job, records=records))
    return {outcome.step.id: outcome for outcome in commissioning(later)}


def good_record(plan: Plan, outcome: Outcome) -> Record:
    """What a person would write where everything is as planned."""
    step = outcome.step
    units = {"voltage": "V", "current": "A", "resistance": "ohm", "time": "s", "length": "m"}
    if not step.kind:
        text = step.words[0]
    elif step.answers == "insulation":
        text = "20 Mohm"
    else:
        figure = step.nominal if step.nominal is not None else (step.likely_high or step.high or 0.0) * 0.5
        text = f"{figure:.3f} {units[step.kind]}"
    return Record(step.id, text, "tester", plan.digest, plan.parts)


def test_working_order(malt: Plan) -> None:
    """Dead tests come first, the load test last."""
    groups = [outcome.step.group for outcome in commissioning(malt)]
    assert groups == sorted(groups)
    assert groups[0].startswith("1 Dead") and groups[-1].startswith("8 With load")


def test_nothing_recorded_is_missing(malt: Plan) -> None:
    """Every test without a record is missing, and the verdict is unknown."""
    outcomes = commissioning(malt)
    assert {outcome.answer for outcome in outcomes} == {"missing"}
    assert record_verdict(outcomes) == "unknown"


@pytest.mark.parametrize("name", ["malt", "gantry"])
def test_as_planned_is_accepted(name: str, request: pytest.FixtureRequest) -> None:
    """Figures of the simulation itself, and the first accepted word, are accepted in every test."""
    plan: Plan = request.getfixturevalue(name)
    found = recorded(plan, *(good_record(plan, outcome) for outcome in commissioning(plan)))
    assert {id: o.why for id, o in found.items() if o.answer != "accept"} == {}
    assert record_verdict(tuple(found.values())) == "pass"


def test_low_coil_voltage_names_the_ohms(gantry: Plan) -> None:
    """A coil with volts missing is rejected with the series resistance that explains them."""
    outcome = record(gantry, "volts-hoist-K1-up", "21.1 V", "tester")
    assert outcome.answer == "reject"
    assert "21.1 V where" in outcome.why
    assert "ohm more than planned: joint or wrong core" in outcome.causes[0]


def test_series_ohms_by_hand() -> None:
    """A pure resistance of 90 ohm that keeps 0.9 of its voltage has 10 ohm before it."""
    assert series_ohms(90 + 0j, 0.9) == pytest.approx(10.0)
    assert abs((10 + 40j) / (10 + series_ohms(10 + 40j, 0.9) + 40j)) == pytest.approx(0.9)


def test_supply_of_the_day_scales(gantry: Plan) -> None:
    """A coil voltage in proportion to a low supply is accepted only where that supply was read."""
    nominal = {o.step.id: o.step for o in commissioning(gantry)}["volts-hoist-K1-up"].nominal
    assert nominal is not None
    volts = Record("volts-hoist-K1-up", f"{nominal * 0.93:.2f} V", "t", gantry.digest, gantry.parts)
    mains = Record("mains", "372 V", "t", gantry.digest, gantry.parts)
    assert recorded(gantry, volts, mains)[volts.test].answer == "accept"
    assert recorded(gantry, volts)[volts.test].answer == "reject"


def test_slow_release_is_rejected_at_the_limit(malt: Plan) -> None:
    """Slower than expected is accepted with a remark, beyond the limit it is rejected."""
    assert record(malt, "release-up", "0.28 s", "t").causes == ()
    slow = record(malt, "release-up", "1.4 s", "t")
    assert (slow.answer, bool(slow.causes)) == ("accept", True)
    assert record(malt, "release-up", "3 s", "t").answer == "reject"


def test_clearance_shortens_the_limit(malt: Plan) -> None:
    """A time in which the hook would leave its clearance is rejected though the ceiling is later."""
    assert record(malt, "release-down", "1.9 s", "t").answer == "reject"
    assert record(malt, "release-up", "1.9 s", "t").answer == "accept"


@pytest.mark.parametrize(
    ("test", "text", "answer"),
    [
        ("direction-up", "hoist up", "accept"),
        ("direction-up", "wrong way", "reject"),
        ("direction-up", "hoist down", "reject"),
        ("direction-up", "no motion", "reject"),
        ("direction-up", "perhaps", "repeat"),
        ("release-up", "runs on", "reject"),
        ("release-up", "ok", "repeat"),
        ("release-up", "0,28 s", "repeat"),
        ("release-up", "0.28 V", "repeat"),
        ("open-CH1", "OL", "accept"),
        ("open-CH1", "0.3 ohm", "repeat"),
        ("insulation", "0.2 Mohm", "reject"),
        ("earth-S1", "3 ohm", "reject"),
        ("earth-S1", "OL", "reject"),
        ("limit-up", "not ok", "reject"),
    ],
)
def test_words_and_figures(malt: Plan, test: str, text: str, answer: str) -> None:
    """What cannot be read as the wanted kind is never accepted."""
    assert record(malt, test, text, "t").answer == answer


def test_changed_plan_repeats_and_names_it(malt: Plan) -> None:
    """A record of another digest is to repeat, naming what changed; without parts it says so."""
    old = Parts(malt.parts.circuit, "0000", malt.parts.settings, malt.parts.catalog)
    found = recorded(malt, Record("release-up", "0.28 s", "t", "000000000000", old))["release-up"]
    assert (found.answer, found.changed) == ("repeat", ("ratings",))
    assert "ratings" in found.why
    bare = recorded(malt, Record("release-up", "0.28 s", "t", None, None))["release-up"]
    assert bare.answer == "repeat" and "not recorded" in bare.why


def test_last_record_counts(malt: Plan) -> None:
    """A later good record replaces a bad one."""
    bad = Record("release-up", "3 s", "t", malt.digest, malt.parts)
    assert recorded(malt, bad, replace(bad, measured="0.3 s"))["release-up"].answer == "accept"


def test_cover_says_not_handed_over(malt: Plan) -> None:
    """Missing, rejected or outdated records each keep the hoist from being handed over."""
    good = [good_record(malt, outcome) for outcome in commissioning(malt)]
    bad, old = replace(good[0], measured="not ok"), replace(good[0], digest="x")
    for spoilt in (good[1:], [bad, *good[1:]], [old, *good[1:]]):
        outcomes = tuple(recorded(malt, *spoilt).values())
        way = in_the_way(Material(malt, outcomes=outcomes))
        assert handover_line(Material(malt, outcomes=outcomes)).startswith("NOT HANDED OVER")
        assert any("commissioning records" in line for line in way)


def test_cover_names_records_of_tests_that_are_gone(malt: Plan) -> None:
    """A record whose test the changed plan no longer has is not dropped in silence."""
    lost = Record("volts-K99", "23 V", "t", malt.digest, malt.parts)
    later = replace(malt, job=replace(malt.job, records=(lost,)))
    lines = in_the_way(Material(later, outcomes=commissioning(later)))
    assert "1 records of tests that this plan does not have: volts-K99" in lines


def test_handed_over_when_nothing_is_in_the_way(malt: Plan) -> None:
    """All tests accepted, checks passed, approved, stage hand-over: the cover says so, and defers."""
    good = tuple(good_record(malt, outcome) for outcome in commissioning(malt))
    report = replace(malt.report, verdict=Verdict.PASS, to_show=(), stage="hand-over")
    signed = Approval("an electrician", "1", malt.digest, malt.parts, datetime.date(2026, 11, 25))
    done = replace(malt, report=report, job=replace(malt.job, records=good, approvals=(signed,)))
    material = Material(done, outcomes=commissioning(done))
    assert in_the_way(material) == ()
    assert handover_line(material).startswith("Records complete for this digest")
    unsigned = replace(done, job=replace(done.job, approvals=(replace(signed, digest="0" * 12),)))
    assert "an older approval is void" in in_the_way(Material(unsigned, outcomes=material.outcomes))[0]


def test_what_is_expected_is_said_once(malt: Plan) -> None:
    """The line of what to expect does not say the word twice."""
    lines = [expected(outcome) for outcome in commissioning(malt)]
    assert not [line for line in lines if line.count("expected") > 1]


def test_unknown_test_is_refused(malt: Plan) -> None:
    """A test that the plan does not have raises."""
    with pytest.raises(KeyError):
        record(malt, "release-sideways", "0.3 s", "t")


def test_text_and_json_agree(malt: Plan) -> None:
    """Both list the same tests; the text ends with the next one and the caution."""
    outcomes = commissioning(malt)
    document = record_json(malt, outcomes)
    text = record_text(malt, outcomes)
    assert [row["test"] for row in document["tests"]] == [o.step.id for o in outcomes]
    assert all(o.step.id in text for o in outcomes)
    assert "Next: wires" in text and "Lock out and prove dead" in text
    assert document["handed_over"] is False


def test_every_word_of_the_clauses_is_a_test(malt: Plan, gantry: Plan) -> None:
    """Each commissioning test that a clause asks for exists on at least one of two hoists."""
    wanted = {
        name.partition(":")[2]
        for clause in malt.catalog.clauses.values()
        for name in clause.answered_by
        if name.startswith("commissioning:")
    }
    made = {o.step.answers for plan in (malt, gantry) for o in commissioning(plan)}
    assert wanted - made == set()


def test_crane_tests_every_speed() -> None:
    """A crane with two hoist speeds: limits, stops and release at both; as planned all are accepted."""
    crane = plan(load_job(str(Path(__file__).with_name("crane.toml"))))
    steps = {o.step.id: o.step for o in commissioning(crane)}
    wanted = {"limit-up", "limit-up-fast", "release-up-2", "stop-radio-down-2", "stop-Q1-left"}
    assert wanted <= set(steps)
    for name in ("up", "up-2"):
        step = steps[f"loss-{name}"]
        assert step.high is not None and step.likely_high is not None and step.high >= step.likely_high
    found = recorded(crane, *(good_record(crane, outcome) for outcome in commissioning(crane)))
    assert {id: o.why for id, o in found.items() if o.answer != "accept"} == {}
