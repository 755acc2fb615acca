"""Corners of the checks' own tools: what is refused, what lacks, where a border lies."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

import pytest

from tests.check.made import catalog, job, limit_rule, made
from tests.check.test_rests_on import facts
from tests.simulate.circuits import circuit, contactor_hoist, part
from wiring.check.case import Case
from wiring.check.draft import Draft, Missing, failed, passed, with_number
from wiring.check.loads import alternating, nearest_volts, source_volts
from wiring.check.nets import before_loads
from wiring.check.one_off import one_off
from wiring.check.rating import wired
from wiring.check.rating_words import RatingError, contact_of, load_of
from wiring.check.readings import possible
from wiring.check.runner import judge
from wiring.check.verdict import holds, sort_key
from wiring.files import load_catalog
from wiring.model.finding import Verdict
from wiring.model.job import Core, Supply
from wiring.model.plan import Report
from wiring.model.rating import OneOff
from wiring.model.value import Amount

CATALOG = load_catalog(Path("."))
CODES = {*CATALOG.tables["pilot-duty-ac"].rows, *CATALOG.tables["pilot-duty-dc"].rows}


def report_of(*drafts: Draft, **more: object) -> Report:
    rule = made(lambda case: drafts, wants="job", **more)
    return judge(job(), catalog(), None, None, None, rules={rule.id: rule})


def ceiling(found: OneOff) -> float | None:
    return next(a for a in found.answers if a.category == "voltage").finding.limit


# -- rules and their answers -------------------------------------------------------------------


def test_a_fact_that_a_whole_rule_lacks_makes_it_unknown() -> None:
    """Where a rule cannot even begin it is unknown and names the key, never without a subject."""

    def check(case: Case) -> Iterable[Draft]:
        raise Missing("cord.type", "read the jacket")
        yield passed("never", "reached")

    rule = made(check, wants="job")
    found = judge(job(), catalog(), None, None, None, rules={rule.id: rule}).findings
    assert [f.verdict for f in found] == [Verdict.UNKNOWN]
    assert "cord.type" in found[0].found and found[0].remedy == "read the jacket"


def test_a_figure_that_no_table_prints_is_missing() -> None:
    """A rule that asks a table for a cell that is empty becomes unknown, with the address."""
    rule = made(lambda case: [passed("it", f"{case.cell('t', 'none', 'limit')}")], wants="job")
    found = judge(job(), catalog(), None, None, None, rules={rule.id: rule}).findings
    assert [f.verdict for f in found] == [Verdict.UNKNOWN] and "t/none/limit" in found[0].found


def test_a_circuit_that_was_not_built_is_missing() -> None:
    """A rule that looks at a circuit of an unknown type becomes unknown and asks for the type."""
    rule = made(lambda case: [passed("it", case.before.about)], wants="job")
    found = judge(job(), catalog(), None, None, None, rules={rule.id: rule}).findings
    assert [f.verdict for f in found] == [Verdict.UNKNOWN] and "hoist.type" in found[0].found


@pytest.mark.parametrize(
    "facts", [{"checks": " "}, {"danger": 0}, {"danger": 5}, {"stage": "some day"}, {"hazard": ""}]
)
def test_a_rule_without_text_danger_or_stage_does_not_load(facts: dict[str, object]) -> None:
    """Each of the texts, a danger from 1 to 4 and a stage are demanded one by one."""
    with pytest.raises(ValueError, match="lacks"):
        made(lambda case: (), wants="job", **facts)


def test_what_was_not_looked_at_is_listed() -> None:
    """Rules that stay unknown are listed under what was not checked, and nothing where there are none."""
    unknown = judge(job(), catalog("placeholder"), None, None, None, rules={"made.rule": limit_rule(4.9)})
    assert any(text == "unknown: made.rule" for text in unknown.not_checked)
    known = judge(job(), catalog(), None, None, None, rules={"made.rule": limit_rule(4.9)})
    assert not any(text.startswith("unknown") for text in known.not_checked)


def test_a_number_beside_an_answer_has_its_margin() -> None:
    """A number is held to its limit from above where nothing is said, from below where that is said."""
    draft = failed("it", "x", "y")
    assert with_number(draft, 6.0, "V", limit=5.0).margin == pytest.approx(-0.2)
    assert with_number(draft, 6.0, "V").sense == "at-most" and with_number(draft, 6.0, "V").margin is None
    assert with_number(draft, 6.0, "V", "at-least", 5.0).margin == pytest.approx(0.2)


def test_a_failed_finding_counts_at_the_danger_of_its_rule() -> None:
    """An answer takes the danger of its rule where it brings none of its own."""
    assert [f.danger for f in report_of(failed("it", "x", "y"), danger=3).findings] == [3]
    assert [f.danger for f in report_of(failed("it", "x", "y", danger=1), danger=3).findings] == [1]


def test_the_smallest_margin_comes_first() -> None:
    """Of findings alike in verdict and danger one without a margin leads, then the narrowest."""
    drafts = [with_number(failed(name, "x", "y"), measured, "V", limit=5.0)
              for name, measured in (("a", 5.5), ("b", 9.0), ("c", 6.0))]  # fmt: skip
    found = report_of(*drafts, failed("d", "x", "y")).findings
    assert [f.subject for f in sorted(found, key=sort_key)] == ["d", "b", "c", "a"]


def test_no_number_holds_nothing() -> None:
    """A limit or a measured value that is no number is never kept."""
    for pair in ((5.0, math.nan), (math.nan, 5.0), (math.nan, math.nan)):
        assert not holds(*pair, "at-most", "A") and not holds(*pair, "at-least", "A")


# -- supplies and contacts ----------------------------------------------------------------------


def test_voltage_classes_of_motors() -> None:
    """The nearest class of the motor tables is found from 115 to 575 V."""
    asked = (110, 120, 157, 158, 203, 205, 220, 240, 340, 346, 480, 517, 518, 600)
    near = (115, 115, 115, 200, 200, 208, 230, 230, 230, 460, 460, 460, 575, 575)
    assert [nearest_volts(v) for v in asked] == list(near)


@pytest.mark.parametrize(("phase", "volts"), [(180, 240), (-180, 240), (0, 120), (120, 120)])
def test_two_lines_opposite_each_other_add_up(phase: float, volts: float) -> None:
    """Two sources half a turn apart give both voltages between them, any others the larger one."""
    lines = [part("V1", "source", "L1 N", voltage=120, frequency=60, phase=0),
             part("V2", "source", "L2 N", voltage=120, frequency=60, phase=phase)]  # fmt: skip
    case = Case(replace(facts("malt"), cache={}), 1)
    assert source_volts(case, circuit(lines, "")) == volts
    turned = [replace(lines[0], values=lines[1].values), replace(lines[1], values=lines[0].values)]
    assert source_volts(case, circuit(turned, "")) == volts


def test_alternating_is_what_the_sources_are() -> None:
    """A battery does not alternate, whatever else in the circuit has a frequency; the mains do."""
    load = part("R", "load", "L PE", resistance=10)
    battery = part("V1", "source", "L PE", voltage=12, frequency=0)
    lamp = part("B", "load", "L PE", resistance=10, frequency=50)
    assert not alternating(circuit([battery, load, lamp], ""))
    assert alternating(circuit([part("V1", "source", "L PE", voltage=12, frequency=50), load], ""))


def test_what_cuts_a_load_off() -> None:
    """Of the fuses and closed contacts those before a coil are found, open ones and others' are not."""
    made_ = contactor_hoist()
    found = before_loads(made_, ["K1"], ["SU", "ES", "OL", "LSU", "K2.nc", "LSD"])
    assert {"F4", "SU", "ES", "OL", "LSU", "K2.nc"} <= found
    assert not {"LSD", "SD", "F3", "BOND"} & found


def test_a_contact_with_one_free_end_is_not_wired() -> None:
    """Something else must land on both ends of a contact, not on one of them."""
    rows = [part("V1", "source", "L PE", voltage=24, frequency=50), part("S", "contact", "L a", "button:up"),
            part("T", "contact", "L b", "button:up"), part("R", "load", "a PE", resistance=10)]  # fmt: skip
    made_ = circuit(rows, "button:up")
    assert wired(made_, made_.part("S")) and not wired(made_, made_.part("T"))


# -- types that may be meant -------------------------------------------------------------------


def test_a_type_is_ruled_out_by_supply_and_cores() -> None:
    """Voltage within a quarter and the frequency within 2 Hz leave a type possible, fewer cores do not."""
    hoist = CATALOG.hoists["reversing-contactors-24"]
    volts, hertz = hoist.voltage.si, hoist.frequency.si

    def asked(share: float = 1.0, off: float = 0.0, cores: int = 0) -> bool:
        supply = Supply(hoist.supply_system, Amount(volts * share, "voltage", ""),
                        Amount(hertz + off, "frequency", ""))  # fmt: skip
        return possible(job(supply=supply, cores=tuple(Core(str(i)) for i in range(cores))), hoist)

    assert asked() and asked(0.81) and asked(1.24) and asked(off=2.0) and asked(off=-2.0)
    assert not asked(0.79) and not asked(1.26) and not asked(off=2.1) and not asked(off=-2.1)
    assert asked(cores=len(hoist.cores)) and not asked(cores=len(hoist.cores) - 1) and not asked(cores=1)


# -- ratings in words ---------------------------------------------------------------------------


def test_a_printed_voltage_is_the_ceiling() -> None:
    """A rating printed for 120 V holds up to 132 V, for 240 V to 264 V, a DC-13 figure to 30 V."""
    motor = "motor 1/4 hp 120 V"
    assert ceiling(one_off("1/3 hp 120 V", motor, CATALOG)) == 132.0
    assert ceiling(one_off("1/3 hp 240 V", "motor 1/4 hp 240 V", CATALOG)) == 264.0
    assert ceiling(one_off("3 A AC-15 120 V", "coil 70/8 VA 120 V AC", CATALOG)) == 132.0
    assert ceiling(one_off("3 A AC-15 240 V", "coil 70/8 VA 230 V AC", CATALOG, "iec")) == 264.0
    assert ceiling(one_off("1/3 hp 120 V, 3 A AC-15 240 V", motor, CATALOG)) == 264.0
    assert ceiling(one_off("2 A DC-13 24 V", "coil 12 W 24 V DC", CATALOG, "iec")) == 30.0


def test_classes_of_printed_voltages() -> None:
    """Ratings are printed at 110 to 132 V and at 200 to 264 V; what lies between is refused."""
    for volts, name in ((110, "motor_120"), (132, "motor_120"), (200, "motor_240"), (264, "motor_240")):
        assert getattr(contact_of(f"1/3 hp {volts} V", CODES), name) is not None
    for volts in (109, 133, 199, 265):
        with pytest.raises(RatingError):
            contact_of(f"1/3 hp {volts} V", CODES)
    for volts in (19, 31):
        with pytest.raises(RatingError):
            contact_of(f"2 A DC-13 {volts} V", CODES)
    assert contact_of("2 A DC-13 20 V", CODES).dc13_24 and contact_of("2 A DC-13 30 V", CODES).dc13_24


def test_bare_figures_are_told_apart() -> None:
    """Bare amperes are asked what they are for; another bare figure is asked for a form that exists."""
    with pytest.raises(RatingError) as bare:
        contact_of("10 A", CODES)
    assert "a bare one is resistive" in str(bare.value)
    for item in ("10 V", "ten amps", "B3000"):
        with pytest.raises(RatingError) as odd:
            contact_of(item, CODES)
        assert "comma-separated" in str(odd.value) and "a bare one" not in str(odd.value)


def test_the_least_load_keeps_its_voltage() -> None:
    """The least load is kept as it is printed, with its voltage where it has one."""
    assert contact_of("min 100 mA 5 V", CODES).min_load == "100 mA 5 V"
    assert contact_of("min 100 mA", CODES).min_load == "100 mA"


def test_what_is_taken_for_granted_is_said() -> None:
    """A heater at mains voltage is taken as alternating and says so; with the kind given nothing is."""
    assert load_of("resistive 5 A 230 V").taken_as == ("alternating current",)
    assert load_of("resistive 5 A 230 V AC").taken_as == () == load_of("lamp 60 W 24 V DC").taken_as
    assert load_of("drive input 24 V 6 mA").taken_as == ("direct current",)


def test_relays_of_the_same_amperes_are_named() -> None:
    """Amperes alone say nothing of a motor: relays of the same amperes are told, of others none."""

    def told(amps: str) -> str:
        found = one_off(f"{amps} A resistive", "motor 1/4 hp 120 V", CATALOG)
        return next(a for a in found.answers if a.category == "kind of load").finding.path

    table = CATALOG.tables["relay-motor-ratings"]
    printed = {c.si for row in table.rows if (c := table.cell(row, "resistive"))}
    assert "other relays" in told("10") and 10.0 in printed
    assert 11.3 not in printed and "other relays" not in told("11.3")
