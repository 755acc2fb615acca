"""Branches of rules that no job of ours goes through: circuits changed by hand."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from tests.check.test_rests_on import facts
from tests.rules.cases import Case as RuleCase
from tests.rules.cases import planted, prepare
from wiring.calc.motor import HORSEPOWER_W
from wiring.check import RULES, digest
from wiring.check.case import Case, Facts
from wiring.check.draft import Draft
from wiring.check.one_off import one_off
from wiring.check.rules.proof_both_pressed import decided
from wiring.files import load_catalog
from wiring.model.behaviour import Settled
from wiring.model.circuit import Circuit
from wiring.model.finding import Verdict
from wiring.model.rating import OneOff
from wiring.model.value import certain

CATALOG = load_catalog()


def drafts(rule: str, given: Facts) -> list[Draft]:
    return list(RULES[rule].check(Case(replace(given, cache={}), RULES[rule].danger)))


def without_thermal(made: Circuit) -> Circuit:
    """The circuit with each thermal contact closed for good, as a type has it that never had one."""
    parts = tuple(
        replace(p, kind="wire", by="", form="") if p.by.startswith("thermal:") else p for p in made.parts
    )
    inputs = tuple(i for i in made.inputs if not i.name.startswith("thermal:"))
    return replace(made, parts=parts, inputs=inputs, auto_reset=())


@pytest.mark.parametrize(
    ("region", "power", "verdict"),
    [("us", 1.0, "pass"), ("us", 7.5, "pass"), ("us", 7.6, "fail"), ("iec", 1.0, "fail")],
)
def test_a_small_hoist_may_do_without_overload_protection(region: str, power: float, verdict: str) -> None:
    """A hoist up to 7.5 hp under manual control needs none by NEC 610.43(D); a larger one does, and any
    one by the IEC rules."""
    given = facts("malt")
    assert given.before is not None and given.after is not None
    motor = given.after.motors[0].name
    watts = certain(f"{motor}.power", power * HORSEPOWER_W, "W", "stated", "plate")

    def changed(made: Circuit) -> Circuit:
        bare = without_thermal(made)
        motors = tuple(replace(m, values={**m.values, "power": watts}) for m in bare.motors)
        return replace(bare, motors=motors)

    moved = replace(
        given, job=replace(given.job, region=region), before=changed(given.before), after=changed(given.after)
    )
    found = drafts("supply.motor-overload", moved)
    assert [str(d.verdict) for d in found] == [verdict]


def category(found: OneOff, name: str) -> tuple[str, float | None, float | None]:
    answer = next(a for a in found.answers if a.category == name)
    return str(answer.verdict), answer.finding.measured, answer.finding.limit


def test_what_a_contact_may_close_onto_may_be_stated() -> None:
    """A stated make figure counts where it is above that of the code, and alone where there is no code."""
    coil = "coil 1000/8 VA 24 V AC"
    stated = one_off("10 A resistive, B300, make 50 A", coil, CATALOG)
    assert category(stated, "make") == ("pass", pytest.approx(1000 / 24), 50.0)
    lower = one_off("10 A resistive, B300, make 20 A", coil, CATALOG)
    assert category(lower, "make")[2] == 30.0 and category(lower, "make")[0] == "fail"


def test_a_direct_current_figure_holds_to_30_volts() -> None:
    """A DC-13 figure at 24 V says nothing about 48 V; at 24 V it is its make and break."""
    known = one_off("10 A resistive, 2 A DC-13 24 V, 60 V DC", "coil 12 W 24 V DC", CATALOG, "iec")
    assert category(known, "break") == ("pass", 0.5, 2.0)
    beyond = one_off("10 A resistive, 2 A DC-13 24 V, 60 V DC", "coil 12 W 48 V DC", CATALOG, "iec")
    assert category(beyond, "break")[0] == "unknown"


def test_a_code_for_direct_current_has_one_figure() -> None:
    """N300 breaks 2.2 A at 125 V; below its lowest voltage volt-amperes over volts, up to its current."""
    loads = [f"coil 12 W {volts} V DC" for volts in (24, 110, 125, 250)]
    found = [category(one_off("10 A resistive, N300, 300 V DC", load, CATALOG), "break") for load in loads]
    assert [limit for _, _, limit in found] == pytest.approx([10.0, 2.5, 2.2, 1.1])


def test_a_motor_rating_stands_for_its_currents() -> None:
    """1/3 hp at 120 V is 7.2 A running and six times that to make and break; 1 hp at 240 V 8 A."""
    found = one_off("10 A resistive, 1/3 hp 120 V", "motor 1/4 hp 120 V", CATALOG)
    assert category(found, "make")[2] == category(found, "break")[2] == pytest.approx(43.2)
    larger = one_off("10 A resistive, 1 hp 240 V", "motor 1/2 hp 240 V", CATALOG)
    assert category(larger, "make")[2] == pytest.approx(48.0)


def test_no_verdict_is_given_where_a_figure_lacks() -> None:
    """A motor beyond the classes of its printed rating, and a coil on a bare resistive rating, are open."""
    for contact, load in (("1/3 hp 120 V", "motor 1/4 hp 240 V"), ("10 A resistive", "coil 70/8 VA 24 V AC")):
        assert one_off(contact, load, CATALOG).verdict is not Verdict.PASS


@pytest.fixture
def joined(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[..., list[Draft]]:
    """Two cores joined where no state shows harm, and what single faults are said to lead to."""
    two = {"set": {"connection/3/to": "K10.down:2"}}
    made = prepare(RuleCase("proof.joined-cores", "made", "", "malt", two), tmp_path)
    monkeypatch.setattr("wiring.check.rules.proof_joined_cores.fed_by_joint", lambda case: None)

    def told(*faults: dict[str, object], run: bool = True) -> list[Draft]:
        assert made.shown is not None
        shown = planted(made.shown, {"faults": list(faults)}) if run else replace(made.shown, faults=None)
        given = Facts(made.job, made.catalog, made.before, made.after, shown, *digest(made.job, made.catalog))
        return [d for d in drafts("proof.joined-cores", given) if d.subject == "core:3 + core:4"]

    return told


def test_joined_cores_are_judged_by_the_faults_they_bring(joined: Callable[..., list[Draft]]) -> None:
    """Where no state shows harm single faults decide: not run is unknown, a worse one of these cores
    fails with its hazard, one elsewhere or one that is the same as before does not."""
    hazard = [{"hazard": "no-stop", "score_before": 3, "score_after": 0}]
    worse = {"fault": ["core:3 open"], "judgement": "worse", "hazards": hazard}
    assert [str(d.verdict) for d in joined(run=False)] == ["unknown"]
    assert [str(d.verdict) for d in joined()] == ["pass"]
    failing = joined(worse)
    assert [str(d.verdict) for d in failing] == ["fail"] and "core:3 open: no-stop" in failing[0].found
    bare = joined({**worse, "hazards": []})
    assert [str(d.verdict) for d in bare] == ["fail"] and "worse than before" in bare[0].found
    assert [str(d.verdict) for d in joined({**worse, "fault": ["core:1 open"]})] == ["pass"]
    assert [str(d.verdict) for d in joined({**worse, "judgement": "same"})] == ["pass"]


def test_the_figure_that_lacks_is_named_for_the_load() -> None:
    """A bare contact lacks a motor rating for a motor and a coil rating for a coil, to break."""
    for load, lacks in (("motor 1/4 hp 120 V", "a motor rating"), ("coil 70/8 VA 24 V AC", "a coil rating")):
        found = one_off("250 V AC", load, CATALOG)
        told = {a.category: " ".join(a.missing) for a in found.answers}
        assert lacks in told["break"]


def test_outputs_after_supply_returns_are_unknown_where_nobody_says() -> None:
    """Neither data sheet, type nor bench test: what the outputs do when supply returns is unknown."""
    given = facts("malt")
    receiver = replace(given.job.receiver, type=None, on_supply_return=None)
    job = replace(given.job, receiver=receiver, bench=())
    found = drafts("mode.supply-return", replace(given, job=job))
    assert [str(d.verdict) for d in found] == ["unknown"] and "is not known" in found[0].found


def test_a_mechanical_interlock_decides_for_its_own_coils() -> None:
    """A race is decided where one coil of an interlocked pair is in, whichever, and not by other coils."""
    given = facts("malt")
    assert given.after is not None
    after = replace(given.after, interlocks=(("K1", "K2"),))
    case = Case(replace(given, after=after, cache={}), 1)
    for energised, expected in ((("K1",), True), (("K2",), True), (("K3",), False), ((), False)):
        assert decided(case, Settled(frozenset(), energised, (), ())) is expected
