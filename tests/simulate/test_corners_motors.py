"""Corners of motors and windings: little voltage, what is left of a broken one, what a drive obeys."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.simulate.circuits import capacitor_hoist, circuit, coil, contactor_hoist, part
from wiring.model.circuit import Circuit, Motor
from wiring.model.value import certain
from wiring.simulate import Network, settle
from wiring.simulate.events import events
from wiring.simulate.impedance import admittance, transformer_numbers

NOTHING: frozenset[str] = frozenset()


def magnet(volts: float) -> Circuit:
    """A 12 V magnet motor on a battery of some volts."""
    rated = {"voltage": certain("winch.voltage", 12.0, "V", "stated", "test")}
    motor = Motor("winch", "dc-permanent-magnet", ("WM",), "winch in", "winch out", "winch", values=rated)
    parts = [
        part("V1", "source", "P N", voltage=volts, frequency=0),
        part("S", "contact", "P M", "button:in"),
        part("WM", "winding", "M N", resistance=0.1, run_r=1.0, run_x=0, locked_r=0.1, locked_x=0),
    ]
    return circuit(parts, "button:in", motors=(motor,), earth="N")


@pytest.mark.parametrize(
    ("volts", "torque"), [(0.6, "none"), (2.4, "stall"), (3.6, "positive"), (-3.6, "negative")]
)
def test_a_magnet_motor_needs_more_than_a_fifth_of_its_voltage(volts: float, torque: str) -> None:
    """Torque is the square of the voltage: 4 % at a fifth does not turn it, 9 % does."""
    assert settle(Network(magnet(volts)), frozenset({"button:in"})).torque["winch"] == torque


def small() -> Circuit:
    """The capacitor hoist with windings of 1.4 kohm, which take 0.16 A."""
    made = capacitor_hoist()
    figures = {
        k: certain(k, 1000.0, "ohm", "stated", "test") for k in ("run_r", "run_x", "locked_r", "locked_x")
    }
    parts = tuple(
        replace(p, values={**p.values, **figures}) if p.name in ("WA", "WB") else p for p in made.parts
    )
    return replace(made, parts=parts)


def test_what_is_left_of_a_small_motor_still_hums() -> None:
    """With one winding broken the other takes its full current, 0.16 A, and makes no torque; at rest none."""
    network = Network(small(), ("WA open",))
    assert settle(network, frozenset({"button:down"}), faults=("WA open",)).torque["motor"] == "stall"
    assert settle(network, NOTHING, faults=("WA open",)).torque["motor"] == "none"


def driven() -> Circuit:
    """A drive with one input for each way."""
    parts = [
        part("V1", "source", "L N", voltage=24, frequency=0),
        part("SU", "contact", "L u", "button:up"),
        part("SD", "contact", "L d", "button:down"),
        part("F", "drive-input", "u N", voltage=24, resistance=2400),
        part("R", "drive-input", "d N", voltage=24, resistance=2400),
    ]
    motor = Motor("motor", "drive", ("F", "R"), "hoist up", "hoist down")
    return circuit(parts, "button:up button:down", motors=(motor,), earth="N")


def test_a_drive_obeys_one_of_two_inputs() -> None:
    """A drive turns the way of the one input that is on, and not at all with none or both."""
    network = Network(driven())
    for pressed, torque in (("", "none"), ("up", "positive"), ("down", "negative"), ("up down", "none")):
        state = frozenset(f"button:{word}" for word in pressed.split())
        assert settle(network, state).torque["motor"] == torque


def test_on_direct_current_a_winding_is_its_resistance() -> None:
    """Figures of a running AC winding, with reactance, say nothing on direct current: 15 ohm do."""
    winding = part("W", "winding", "a b", resistance=15, run_r=100, run_x=100)
    assert admittance(winding, 0.0, False, False, 230.0) == pytest.approx(1 / 15)
    assert admittance(winding, 50.0, False, False, 230.0) == pytest.approx(1 / (100 + 100j))


def test_a_transformer_without_figures_has_one_part_in_a_hundred() -> None:
    """63 VA at 24 V with nothing else known: 1 % of 24 x 24 / 63 ohm, which is 0.0914 ohm."""
    plain = part("T", "transformer", "a b c d", primary=240, secondary=24, power=63)
    ratio, series, _ = transformer_numbers(plain)
    assert ratio == pytest.approx(0.1) and series == pytest.approx(0.0914, abs=1e-4)


def test_windings_without_capacitor_only_hum() -> None:
    """Without a capacitor a second button puts both windings in phase: current, no torque, a fail."""
    made = capacitor_hoist()
    bare = replace(made, parts=tuple(p for p in made.parts if p.name != "C1"))
    found = [e for e in events(Network(bare)) if e.event == "second key" and not e.open]
    assert found and {e.verdict for e in found} == {"fail"}
    assert {e.why for e in found} == {"motor takes current and makes no torque"}


def test_an_opposite_key_that_brings_on_both_is_an_objection() -> None:
    """Where the upper limit joins up and down, turning from down to up there lowers without its key."""
    made = contactor_hoist()
    joined = replace(made, parts=(*made.parts, part("X", "contact", "UPH DNH", "limit:up")))
    found = [e for e in events(Network(joined)) if e.event == "opposite key" and e.verdict == "fail"]
    assert [(e.pressed, e.open, e.why) for e in found] == [
        (("button:down",), ("limit:up",), "hoist down without its key")
    ]
    assert not [e for e in events(Network(made)) if e.event == "opposite key" and e.verdict == "fail"]


def test_an_unearthed_secondary_still_feeds_its_coil() -> None:
    """A control circuit without bond to earth works with real wires too: nearly 24 V at the coil."""
    parts = [
        part("V1", "source", "L N", voltage=230, frequency=50),
        part("BOND", "wire", "N PE"),
        part("T1", "transformer", "L N X1 X2", primary=230, secondary=24, power=63, impedance=0.06),
        part("S", "contact", "X1 a", "button:up"),
        coil("K", "a X2"),
    ]
    network = Network(circuit(parts, "button:up"))
    for mode in ("ideal", "real"):
        on = settle(network, frozenset({"button:up"}), mode=mode)
        assert on.energised == ("K",) and abs(on.volts["K"]) == pytest.approx(24.0, rel=0.05)
        assert abs(settle(network, NOTHING, mode=mode).volts["K"]) < 0.5


def test_a_blown_fuse_feeds_nothing_with_real_wires_either() -> None:
    """A short behind a fuse leaves the lamp beside it dark in both ways of reckoning."""
    parts = [
        part("V1", "source", "L N", voltage=24, frequency=0),
        part("F1", "fuse", "L F", rating=2),
        part("H", "load", "F N", resistance=100),
        part("S", "contact", "F N", "button:short"),
    ]
    network = Network(circuit(parts, "button:short", earth="N"))
    for mode in ("ideal", "real"):
        assert abs(settle(network, NOTHING, mode=mode).volts["H"]) == pytest.approx(24.0, rel=0.01)
        short = settle(network, frozenset({"button:short"}), mode=mode)
        assert short.shorts and abs(short.volts["H"]) < 0.5
    with pytest.raises(ValueError, match="mode"):
        settle(network, NOTHING, mode="roughly")
