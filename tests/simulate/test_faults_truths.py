"""Known truths of the trade: what must come out, whatever the engine looks like inside."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.simulate.circuits import circuit, part
from tests.simulate.truthjobs import CATALOG, circuits, joined_returns, stop_in_motion_common, two_channel
from wiring.circuit import build_type
from wiring.model.circuit import Circuit
from wiring.simulate.bench import Bench
from wiring.simulate.fault_run import Inspector, single_faults
from wiring.simulate.faults import FaultSet, neighbours
from wiring.simulate.faults_sights import (
    LET_GO,
    LIMIT_DEFEATED,
    NO_STOP,
    STOP_DEFEATED,
    UNCOMMANDED,
    Seen,
)
from wiring.simulate.network import Network
from wiring.simulate.settle import settle
from wiring.simulate.states import races
from wiring.simulate.stops import stop_matrix


def hazards(circuit_: Circuit, *names: str) -> dict[tuple[str, str], Seen]:
    """The hazards of one fault set."""
    (row,) = Inspector(Network(circuit_), (FaultSet(names, "test"),)).run()
    return {(one.hazard, one.motion): one for one in row[1]}


def catalog_type(name: str) -> Circuit:
    return build_type(CATALOG.hoists[name])


def test_welded_up_contactor_defeats_everything_in_its_coil_circuit() -> None:
    """With K1 welded release, upper limit and the stop that open one coil circuit end nothing."""
    found = hazards(catalog_type("reversing-contactors-24"), "hoist:K1 stuck-in")
    assert {NO_STOP, STOP_DEFEATED, LIMIT_DEFEATED} <= {hazard for hazard, _ in found}
    assert found[NO_STOP, "hoist up"].stops == ("stop:Q1",)
    assert found[NO_STOP, "hoist up"].score == 1


def test_sink_wired_inputs_start_on_an_earth_fault() -> None:
    """Inputs that pull to an earthed zero start the drive when the up core touches earth; source
    wired ones do not."""
    sink = hazards(catalog_type("drive-npn"), "earth core:up")
    source = hazards(catalog_type("drive-pnp-two-channel-stop"), "earth core:up")
    assert (UNCOMMANDED, "hoist up") in sink
    assert not any(hazard == UNCOMMANDED for hazard, _ in source)


def test_feed_beside_stop_return_defeats_the_stop_with_one_short() -> None:
    """Cores 1 and 2 of the crane touch: the stop does nothing; with earth between them they cannot touch."""
    crane = catalog_type("two-speed-crane-115")
    pair = ("core:stop-out", "core:stop-in")
    assert pair in neighbours(crane)
    found = hazards(crane, f"short {pair[0]} {pair[1]}")
    assert found[STOP_DEFEATED, "hoist up slow"].stops == ("stop:Q1",)
    order = [name for name in crane.core_order if name != "core:earth"]
    apart = replace(crane, core_order=(order[0], "core:earth", *order[1:]))
    assert pair not in neighbours(apart)


def test_toggle_receiver_runs_on_without_link() -> None:
    """A toggle output stays closed after release and after the link is lost; a momentary one opens."""
    for mode, motions in (("toggle", ("hoist up",)), ("momentary", ())):
        play = Bench(circuits(two_channel(mode))[1])
        play.press("key:up")
        play.release()
        assert play.now.motions == motions
        assert play.cut("link").motions == motions


def test_frozen_logic_leaves_wired_stop_and_isolator() -> None:
    """A two-channel receiver that freezes with up on ignores release and link loss; the wired stop
    and the isolator still end it."""
    before, after = (Network(c) for c in circuits(two_channel("momentary")))
    rows = [r for r in stop_matrix(before, after) if r.fault == ("receiver:board frozen",)]
    cells = next(r.after for r in rows if r.motion == "hoist up")
    assert (cells["release"], cells["link"]) == (False, False)
    ended = {column for column, works in cells.items() if works}
    assert {"stop:S1", "stop:Q1"} <= ended
    assert "key:stop" not in cells


def test_stop_pair_in_the_motion_common_leaves_a_weld_unstoppable() -> None:
    """Two redundant stop relays in the feed of the coils do not end a welded contactor."""
    before, after = circuits(stop_in_motion_common())
    sound = Bench(after)
    sound.arm()
    assert sound.press("key:up").motions == ("hoist up",)
    assert sound.press("key:stop").motions == ()
    found = {r.fault: r for r in single_faults(before, after).results}
    weld = found["hoist:K1 stuck-in",]
    assert all("key:stop" not in h.stops_left for h in weld.hazards if h.motion)
    assert any(h.stops_left == ("stop:Q1",) for h in weld.hazards)


def test_joined_double_pole_returns_feed_the_down_only_device() -> None:
    """With both returns on one contact, up puts nearly the full voltage on the device that only down fed."""
    before, after = (Network(c) for c in circuits(joined_returns()))
    apart, joined = settle(before, frozenset({"button:up"})), settle(after, frozenset({"key:up"}))
    assert abs(apart.volts["hoist:K3"]) < 1.0
    assert abs(joined.volts["hoist:K3"]) > 0.8 * 120.0


def test_slow_contactor_that_fails_lets_the_load_go() -> None:
    """The crane's brake hangs before the speed contactors: without K3 it opens and no motor has torque."""
    found = hazards(catalog_type("two-speed-crane-115"), "hoist:K3 open")
    assert {motion for hazard, motion in found if hazard == LET_GO} == {"hoist up slow", "hoist down slow"}


def test_two_line_motor_starts_on_an_earth_fault_past_a_one_pole_stop() -> None:
    """Between two lines an earth fault of the up core runs the motor at half voltage; the one-pole
    stop leaves it on the other line, the two-pole isolator ends it."""
    found = hazards(catalog_type("capacitor-motor-direct-240-two-line"), "earth core:up")
    seen = found[UNCOMMANDED, "hoist up"]
    assert "stop:ES" not in seen.stops
    assert "stop:Q1" in seen.stops


@pytest.mark.parametrize(("volt_amps", "may_hold"), [(9.0, True), (70.0, False)])
def test_suppressor_across_the_open_contact_may_hold_a_small_contactor(
    volt_amps: float, may_hold: bool
) -> None:
    """100 nF across the open contact and 30 nF of cable leave a 9 VA coil between drop-out and
    pick-up; a contactor of 70 VA sealed drops."""
    parts = [
        part("V1", "source", "L N", voltage=230, frequency=50),
        part("BOND", "wire", "N PE"),
        part("CH1", "contact", "L A", "key:up"),
        part("Z1", "suppressor", "L A", rect="rc", capacitance=100e-9, resistance=100),
        part("CABLE", "capacitor", "L A", capacitance=30e-9),
        part("K1", "coil", "A N", voltage=230, resistance=567, inrush=70, inrush_pf=0.75,
             sealed=volt_amps, sealed_pf=0.3),
    ]  # fmt: skip
    network = Network(circuit(parts, "key:up"))
    held = settle(network, frozenset({"key:up"}))
    assert held.energised == ("K1",)
    let_go = settle(network, frozenset(), held.energised, held.memory)
    assert ("K1" in let_go.may_hold) is may_hold


def test_exclusive_pair_of_a_rocker_is_not_a_race() -> None:
    """Both buttons at once race for the contactors; a rocker that cannot press both has no race."""
    free = catalog_type("reversing-contactors-24")
    rocker = replace(free, exclusive=(("button:up", "button:down"),))
    assert races(Network(free))
    assert races(Network(rocker)) == ()
