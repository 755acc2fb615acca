"""Rules about conductors and terminals at their edges, on runs and circuits of a few parts."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.check.made import job
from tests.check.planted import CATALOG, case, circuit, drafts, facts, part, state, verdicts
from wiring.check.case import Case
from wiring.check.draft import Missing
from wiring.check.loads import Load
from wiring.check.rules import conductor_minimum_size, conductor_mixed_voltages
from wiring.check.rules.conductor_ampacity import ampacity, terminal_limit
from wiring.check.rules.conductor_earth import returning
from wiring.check.rules.conductor_loose_end import half_landed
from wiring.check.rules.conductor_minimum_size import us_row
from wiring.check.rules.conductor_transformer_protection import supply_unit, upstream
from wiring.check.runs import Run
from wiring.model.circuit import Part
from wiring.model.job import AddedDevice, ProtectiveDevice, Supply
from wiring.model.value import Amount, WireSize

LOAD = Load("motor", "M", part("M", "motor3", "u v w"))
AWG14 = WireSize("awg", "14", 2.08e-6, "14 AWG")


def run(name: str, cable: str = "W1", kind: str = "cord-so", **more: object) -> Run:
    """A conductor of a cable at 30 degC that carries a motor."""
    known = {"size": AWG14, "length": 3.0, "ambient": 30.0, "loads": (LOAD,), "earth": False, **more}
    wire = part(name, "wire", f"{name}.a {name}.b", cable=cable)
    return Run(name, wire, cable, kind=CATALOG.cables[kind], key="cable.0", **known)  # type: ignore[arg-type]


def among(*runs: Run, region: str = "us") -> Case:
    """A case in which these are all the conductors there are."""
    asked = case("conductor.ampacity", facts(circuit(), given=job(region)))
    asked.facts.cache["runs"] = runs
    return asked


# -- what a conductor may carry -----------------------------------------------------------------


@pytest.mark.parametrize(("degrees", "amps"), [(None, 15), (60.0, 15), (75.0, 20), (90.0, 25)])
def test_a_building_wire_is_read_in_the_column_of_its_insulation(degrees: float | None, amps: int) -> None:
    """14 AWG copper is printed with 15, 20 and 25 A at 60, 75 and 90 degC; unknown counts as the lowest.
    Its terminals hold it to the 60 degC column, which is said where they and not the wire decide."""
    wire = run("1", kind="building-wire")
    assert wire.kind is not None
    wire = replace(wire, kind=replace(wire.kind, insulation_c=degrees))
    limit, path = ampacity(among(wire), wire)
    assert limit == 15.0 and path.startswith(f"14 AWG: {amps} A x 1 (1 carrying) x 1 ")
    assert ("its terminals 15.00 A" in path) is (amps > 15)


@pytest.mark.parametrize(("count", "amps"), [(1, 18), (2, 18), (3, 15)])
def test_a_cord_carries_more_with_two_conductors_than_with_three(count: int, amps: int) -> None:
    """A 14 AWG cord is printed with 18 A for two and 15 A for three carrying conductors; one that stays
    of the pendant, whose ambient nobody states, is taken at the table's 30 degC."""
    cores = [run(str(i), cable="cord", ambient=None) for i in range(count)]
    asked = among(*cores)
    limit, path = ampacity(asked, cores[0])
    assert limit == amps and path.startswith(f"14 AWG: {amps} A x 1 ({count} carrying) x 1 (30 degC base)")
    assert any(name.startswith("nec-400-5-a3/") for name in asked.used)


def test_building_wire_is_bundled_by_its_own_table() -> None:
    """Seven wires of a cable for buildings are derated by 310.15(C)(1), not by the table of cords."""
    wires = [run(str(i), kind="building-wire") for i in range(7)]
    asked = among(*wires)
    assert ampacity(asked, wires[0])[0] == 15.0  # 25 A x 0.7 = 17.5 A, held to 15 A by its terminals
    assert any(name.startswith("nec-310-15-c1/") for name in asked.used)
    assert not any(name.startswith("nec-400-5") for name in asked.used)


@pytest.mark.parametrize(("name", "area", "amps"), [("2", 33.6, 95), ("1", 42.4, 110), ("1/0", 53.5, 150)])
def test_terminals_are_for_60_degrees_up_to_1_awg(name: str, area: float, amps: int) -> None:
    """110.14(C): up to 1 AWG the 60 degC column counts at the ends, from 1/0 on the 75 degC column."""
    assert terminal_limit(among(), WireSize("awg", name, area * 1e-6, f"{name} AWG")) == amps


# -- smallest sizes -----------------------------------------------------------------------------


def test_a_circuit_is_electronic_where_it_feeds_inputs_alone() -> None:
    """One coil beside the inputs, and the conductor is a control conductor like any other."""
    inputs = Load("input", "D1", part("D1", "drive-input", "a b"))
    coil = Load("coil", "K1", part("K1", "coil", "a b"))
    both = run("1", loads=(inputs, inputs))
    mixed = run("1", loads=(inputs, coil))
    assert us_row(among(both), both, 2) == "minimum-electronic"
    assert us_row(among(mixed), replace(mixed, loads=()), 1) == "minimum"


@pytest.mark.parametrize(("amps", "row"), [(7.0, "minimum-cord"), (7.01, "minimum")])
def test_a_cord_may_be_thin_up_to_seven_amperes(
    amps: float, row: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """610.14(C)(1) lets control conductors of a cord be 18 AWG where the current is not above 7 A."""
    monkeypatch.setattr(conductor_minimum_size, "steady", lambda case, run: amps)
    coil = Load("coil", "K1", part("K1", "coil", "a b"))
    inputs = Load("input", "D1", part("D1", "drive-input", "a b"))
    for loads in ((coil,), (inputs, coil)):
        wire = run("1", loads=loads)
        assert us_row(among(wire), wire, 3) == row


# -- different voltages in one cable ------------------------------------------------------------


@pytest.mark.parametrize(
    ("volts", "mixed"),
    [((100, 130), False), ((100, 131), True), ((0.5, 24), True), ((0, 24), False), ((0, 0), False)],
)
def test_voltages_that_differ_by_less_than_a_third_are_one(
    volts: tuple[float, ...], mixed: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """130 V beside 100 V is one voltage, 131 V another; what has no voltage is none."""
    wires = [run(str(i)) for i in range(len(volts))]
    by_name = {w.name: v for w, v in zip(wires, volts, strict=True)}
    monkeypatch.setattr(conductor_mixed_voltages, "volts_of", lambda case, run: float(by_name[run.name]))
    given = facts(circuit())
    asked = case("conductor.mixed-voltages", given)
    asked.facts.cache["runs"] = tuple(wires)
    assert bool(list(conductor_mixed_voltages.check.check(asked))) is mixed


# -- the protective conductor -------------------------------------------------------------------


def test_what_a_contact_bridges_has_no_return() -> None:
    """A load on the protective conductor counts as returning there, not one that a contact shorts out."""
    mains = (part("V", "source", "L N", voltage=120, frequency=60), part("B", "wire", "N PE", role="bond"))
    load = part("H", "load", "a PE", resistance=100)
    feed, bridge = part("S", "contact", "L a", form="NO"), part("X", "contact", "a PE", form="NO")
    assert returning(circuit(*mains, load, feed, earth="PE")) == {"H"}
    assert returning(circuit(*mains, load, bridge, earth="PE")) == set()


def test_any_wire_from_a_pole_to_earth_is_a_bond() -> None:
    """A bond need not be called so; a wire between other points is none, and the poles it joins stay one."""
    mains = part("V", "source", "L N", voltage=120, frequency=60)
    load = part("H", "load", "L PE", resistance=100)
    assert returning(circuit(mains, part("B", "wire", "N PE"), load, earth="PE")) == {"H"}
    strip = (part("B", "wire", "N PE"), part("W", "wire", "L x"), part("H2", "load", "x N", resistance=9))
    assert returning(circuit(mains, *strip, load, earth="PE")) == {"H"}


# -- returns ------------------------------------------------------------------------------------


def returned(*wires: Part) -> str:
    """Verdict of conductor.false-neutral about a receiver on L and N."""
    mains = part("V", "source", "L N", voltage=120, frequency=60)
    supply = part("receiver:supply", "supply-input", "receiver:L receiver:N", owner="receiver")
    made = circuit(mains, part("B", "wire", "N PE"), supply, *wires, earth="PE")
    return verdicts("conductor.false-neutral", facts(made))["receiver:supply"]


def test_both_ends_of_a_receivers_supply_have_to_be_fed() -> None:
    """On line and neutral its return is a real one; with one end in the air, or both on one pole, it is
    none; with line and neutral crossed its N lies on a pole that is not earthed."""
    line, back = part("1", "wire", "L receiver:L"), part("2", "wire", "N receiver:N")
    assert returned(line, back) == "pass"
    assert returned(line) == returned(back) == "fail"
    assert returned(part("1", "wire", "N receiver:L"), back) == "fail"
    assert returned(part("1", "wire", "N receiver:L"), part("2", "wire", "L receiver:N")) == "unknown"


def test_one_earthed_end_of_two_that_are_called_neutral_is_enough() -> None:
    """A coil with terminals N and N1 has its neutral where one of the two is earthed."""
    mains = part("V", "source", "L N", voltage=120, frequency=60)
    coil = part("K1", "coil", "K1:N K1:N1", owner="K1")
    made = circuit(
        mains, part("B", "wire", "N PE"), part("1", "wire", "L K1:N"), part("2", "wire", "N K1:N1"), coil,
        earth="PE",
    )  # fmt: skip
    given = facts(made, given=job(devices=(AddedDevice("K1", "contactor-pair-24"),)))
    assert verdicts("conductor.false-neutral", given) == {"K1": "pass"}


# -- loose ends ---------------------------------------------------------------------------------


def loose(*parts: Part) -> list[tuple[str, str]]:
    given = facts(circuit(*parts), given=job(devices=(AddedDevice("D1", "contactor-pair-24"),)))
    return list(half_landed(case("conductor.loose-end", given)))


def test_a_conductor_with_one_end_in_the_air_is_loose() -> None:
    """A conductor landed on one end alone is loose, one landed on both or on neither is not."""
    assert loose(part("W1:1", "wire", "X:1 W1:1.to", cable="W1")) == [("W1:1", "W1:1.to")]
    assert loose(part("W1:1", "wire", "X:1 X:2", cable="W1")) == []
    assert loose(part("W1:1", "wire", "W1:1.from W1:1.to", cable="W1")) == []


def contact(name: str, pins: str, by: str, owner: str = "D1") -> Part:
    return part(name, "contact", pins, by=by, form="NO", owner=owner)


def test_the_unused_side_of_a_change_over_is_not_loose() -> None:
    """11-12 beside 11-14 of the same relay may stay open; alone, or of another relay, it is loose."""
    used = contact("D1:11-14", "11 14", "coil:D1")
    wires = (part("a", "wire", "11 x"), part("b", "wire", "14 y"))
    idle = contact("D1:11-12", "11 12", "coil:D1")
    assert loose(used, idle, *wires) == []
    assert loose(idle, *wires) == [("D1:11-12", "12")]
    assert ("D1:11-12", "12") in loose(replace(used, by="coil:D2"), idle, *wires)
    apart = contact("D1:21-24", "21 24", "coil:D1")
    more = (part("c", "wire", "21 x"), part("d", "wire", "24 y"))
    assert loose(apart, idle, *wires, *more) == [("D1:11-12", "12")]


def test_an_unused_output_on_a_shared_bar_is_not_loose() -> None:
    """Of two outputs on one common the second may stay unused; with a common of its own it may not."""
    one = contact("receiver:R1", "C R1", "output:receiver:1", "receiver")
    two = contact("receiver:R2", "C R2", "output:receiver:2", "receiver")
    wires = (part("a", "wire", "C x"), part("b", "wire", "R1 y"))
    assert loose(one, two, *wires) == []
    own = (*wires[:1], part("b", "wire", "C y"))
    assert loose(two, *own) == [("receiver:R2", "R2")]


def test_a_conductor_landed_once_is_no_spare() -> None:
    """A conductor with both ends in the air is a spare and passes; with one end landed it fails."""
    spare = part("W1:9", "wire", "W1:9.from W1:9.to", cable="W1")
    half = part("W1:8", "wire", "X:1 W1:8.to", cable="W1")
    assert verdicts("conductor.loose-end", facts(circuit(spare, half))) == {"W1:8": "fail"}
    (found,) = drafts("conductor.loose-end", facts(circuit(spare)))
    assert str(found.verdict) == "pass" and found.found.endswith("; spare: W1:9")


# -- control transformers -----------------------------------------------------------------------


def test_a_supply_unit_rectifies_its_own_secondary() -> None:
    """A transformer is part of a supply unit where a rectifier of the same device sits on its secondary."""
    made = part("T", "transformer", "p1 p2 s1 s2", owner="G1")

    def unit(*others: Part) -> bool:
        asked = case("conductor.transformer-protection", facts(circuit(made, *others)))
        return supply_unit(asked, made)

    bridge = part("B", "rectifier", "s2 s1 + -", owner="G1")
    assert unit(bridge) and unit(part("H", "load", "x y", owner="G1"), bridge)
    assert not unit(replace(bridge, owner="G2"))
    assert not unit(replace(bridge, pins=("s1", "x", "+", "-")))
    assert not unit(replace(bridge, kind="load", pins=("s1", "s2"))) and not unit()


def test_the_device_before_it_all_has_to_be_stated() -> None:
    """Without the supply's device, or without its rating, what limits the primary is asked for."""

    def rated(device: ProtectiveDevice | None) -> float:
        given = facts(circuit(), given=job(supply=Supply(protective_device=device)))
        return upstream(case("conductor.transformer-protection", given))

    assert rated(ProtectiveDevice("breaker", Amount(15.0, "current", "15 A"))) == 15.0
    for lacking in (None, ProtectiveDevice("breaker", None)):
        with pytest.raises(Missing, match="protective_device"):
            rated(lacking)


@pytest.mark.parametrize(
    ("region", "power", "verdict"),
    [("us", 49.9, "pass"), ("us", 50.0, "fail"), ("us", 200.0, "fail"), ("iec", 49.9, "fail")],
)
def test_a_small_control_transformer_may_do_without_a_fuse(region: str, power: float, verdict: str) -> None:
    """430.72(C)(3): below 50 VA inside the controller the secondary needs no fuse; IEC has no such rule."""
    made = circuit(
        part("V", "source", "L N", voltage=120, frequency=60),
        part("F", "fuse", "L p1", rating=1),
        part("T", "transformer", "p1 N s1 s2", primary=120, secondary=24, power=power),
    )
    found = verdicts("conductor.transformer-protection", facts(made, state(), given=job(region)))
    assert found["T secondary"] == verdict
