"""Settling: coils, hysteresis, interlocks, races, shorts, hand-checked small circuits."""

from __future__ import annotations

import pytest

from tests.simulate.circuits import (
    capacitor_hoist,
    circuit,
    coil,
    contactor_hoist,
    part,
    receiver_hoist,
    winch,
)
from wiring.model.behaviour import Settled
from wiring.model.circuit import Circuit
from wiring.simulate import Network, futures, settle

BOTH = pytest.mark.parametrize("mode", ["ideal", "real"])


def at(made: Circuit, *state: str, mode: str = "ideal", faults: tuple[str, ...] = ()) -> Settled:
    """One state from dead."""
    return settle(Network(made), frozenset(state), faults=faults, mode=mode)


@BOTH
@pytest.mark.parametrize(
    ("state", "motions", "torque"),
    [
        ((), (), "none"),
        (("button:up",), ("hoist up",), "positive"),
        (("button:down",), ("hoist down",), "negative"),
        (("button:up", "limit:up"), (), "none"),
        (("button:down", "limit:up"), ("hoist down",), "negative"),
        (("button:up", "stop:ES"), (), "none"),
        (("button:up", "thermal:TP"), (), "none"),
        # both windings straight on the line: equal currents in phase, no rotating field
        (("button:up", "button:down"), (), "stall"),
    ],
)
def test_capacitor_motor(mode: str, state: tuple[str, ...], motions: tuple[str, ...], torque: str) -> None:
    """A capacitor motor turns the way its capacitor makes the second winding lead, and only then."""
    settled = at(capacitor_hoist(), *state, mode=mode)
    assert settled.motions == motions
    assert settled.torque["motor"] == torque


@BOTH
@pytest.mark.parametrize(
    ("state", "energised", "motions"),
    [
        ((), (), ()),
        (("button:up",), ("K1",), ("hoist up",)),
        (("button:down",), ("K2",), ("hoist down",)),
        (("button:up", "limit:up"), (), ()),
        (("button:down", "limit:up"), ("K2",), ("hoist down",)),
        (("button:up", "stop:ES"), (), ()),
        (("button:up", "thermal:OL"), (), ()),
    ],
)
def test_reversing_contactors(
    mode: str, state: tuple[str, ...], energised: tuple[str, ...], motions: tuple[str, ...]
) -> None:
    """The contactor of the pressed button comes in unless limit, stop or overload is open."""
    settled = at(contactor_hoist(), *state, mode=mode)
    assert (settled.energised, settled.motions) == (energised, motions)


def test_a_brake_opens_with_its_motor() -> None:
    """A brake across the motor terminals is released while the motor is fed and shut at rest."""
    assert at(contactor_hoist(), "button:up").brakes_open == ("BR",)
    assert at(contactor_hoist()).brakes_open == ()


def test_both_buttons_race_for_the_interlock() -> None:
    """With both buttons held the first contactor locks the other out: a race, and no short."""
    settled = at(contactor_hoist(), "button:up", "button:down")
    assert settled.race
    assert not settled.shorts
    ends = {s.motions for s in futures(Network(contactor_hoist()), frozenset(("button:up", "button:down")))}
    assert ends == {("hoist up",), ("hoist down",)}


def test_mechanical_interlock_holds_where_the_wires_do_not() -> None:
    """A contactor held in keeps its mechanically interlocked partner out; a jammed interlock does not."""
    held = at(contactor_hoist(), "button:down", faults=("K1 stuck-in", "K1.nc stuck-closed"))
    assert held.energised == ("K1",)
    assert held.motions == ("hoist up",)
    free = at(
        contactor_hoist(),
        "button:down",
        faults=("K1 stuck-in", "K1.nc stuck-closed", "K1 jammed K2"),
    )
    assert free.shorts  # both directions in: phase to phase


def test_a_welded_contactor_ignores_stop_and_limit() -> None:
    """Stop, limit and overload in the coil circuit do not end a welded contactor."""
    for name in ("stop:ES", "limit:up", "thermal:OL"):
        assert at(contactor_hoist(), name, faults=("K1 stuck-in",)).motions == ("hoist up",)


def test_the_fuse_in_a_shorted_loop_opens_and_stays_open() -> None:
    """A welded pole of the other direction shorts two phases: their fuses open and stay open."""
    network = Network(contactor_hoist())
    shorted = settle(network, frozenset(("button:down",)), faults=("K1.0 stuck-closed",))
    assert shorted.blown == ("F1", "F2")
    assert shorted.motions == ()
    assert "V1" in shorted.shorts[0]
    later = settle(network, frozenset(), shorted.energised, shorted.memory, faults=("K1.0 stuck-closed",))
    assert later.blown == ("F1", "F2")
    assert not later.shorts


def test_a_short_without_a_fuse_takes_its_source_away() -> None:
    """A source shorted by a contact with no fuse in the loop is named and gives no voltage."""
    bare = circuit(
        [
            part("V1", "source", "L PE", voltage=230, frequency=50),
            part("S", "contact", "L PE", "button:s"),
            part("R", "load", "L PE", resistance=100),
        ],
        "button:s",
    )
    settled = at(bare, "button:s")
    assert settled.shorts == ("V1 through S",)
    assert abs(settled.volts["R"]) == 0.0
    assert abs(at(bare).volts["R"]) == 230.0


@BOTH
def test_winch(mode: str) -> None:
    """A changeover winch turns by polarity; both contactors in put both leads on plus: no motion."""
    assert at(winch(), "button:in", mode=mode).motions == ("winch in",)
    assert at(winch(), "button:out", mode=mode).motions == ("winch out",)
    both = at(winch(), "button:in", "button:out", mode=mode)
    assert (both.motions, both.energised) == ((), ("KI", "KO"))


def test_between_drop_out_and_pick_up_a_coil_keeps_what_it_had() -> None:
    """Half the voltage neither lets a contactor drop for certain nor picks it up: both futures are given."""
    half = circuit(
        [
            part("V1", "source", "L PE", voltage=24, frequency=50),
            part("S", "contact", "L a", "button:s"),
            part("R", "load", "L a", resistance=60),
            coil("K1", "a PE"),
        ],
        "button:s",
    )
    network = Network(half)
    held = settle(network, frozenset(("button:s",)))
    assert held.energised == ("K1",)
    let_go = settle(network, frozenset(), held.energised)
    assert let_go.energised == ("K1",)
    assert let_go.may_hold == ("K1",)
    assert {s.energised for s in futures(network, frozenset(), held.energised)} == {("K1",), ()}
    assert settle(network, frozenset()).energised == ()


def test_seal_in_holds_after_release() -> None:
    """A start pulse seals a contactor in until the stop opens."""
    sealed = circuit(
        [
            part("V1", "source", "L PE", voltage=24, frequency=50),
            part("ES", "contact", "L a", "stop:ES", "NC"),
            part("ST", "contact", "a b", "button:start"),
            part("K0.s", "contact", "a b", "coil:K0"),
            coil("K0", "b PE"),
        ],
        "button:start stop:ES",
    )
    network = Network(sealed)
    assert settle(network, frozenset()).energised == ()
    on = settle(network, frozenset(("button:start",)))
    assert settle(network, frozenset(), on.energised).energised == ("K0",)
    stopped = settle(network, frozenset(("stop:ES",)), on.energised)
    assert stopped.energised == ()
    assert settle(network, frozenset(), stopped.energised).energised == ()


def test_a_lost_phase_is_single_phasing_not_rest() -> None:
    """A three-phase motor on two phases takes current without torque, and that is not "none"."""
    settled = at(contactor_hoist(), "button:up", faults=("F3 open",))
    assert settled.torque["motor"] == "single-phase"
    assert settled.motions == ()


def test_a_floating_secondary_has_no_potential_and_still_picks_its_coil() -> None:
    """Without its bond the control circuit floats against earth; voltages across loads stay."""
    settled = at(contactor_hoist(), "button:up", faults=("XB open",))
    assert settled.energised == ("K1",)
    assert "u2" not in settled.potential
    assert "u2" in at(contactor_hoist(), "button:up").potential


def test_an_unknown_fault_or_input_is_an_error() -> None:
    """A name that the circuit does not have is refused, never ignored."""
    with pytest.raises(KeyError):
        at(contactor_hoist(), "button:left")
    with pytest.raises(KeyError):
        at(contactor_hoist(), faults=("K9 stuck-in",))


def test_a_contact_without_cause_is_an_error() -> None:
    """A contact operated by a coil that is not there does not compile."""
    with pytest.raises(ValueError, match="coil:K9"):
        Network(
            circuit([part("V1", "source", "L PE", voltage=24), part("C", "contact", "L a", "coil:K9")], "")
        )


def test_locked_rotor_current_stands_in_the_settled_value() -> None:
    """A motor that stalls is shown with its locked-rotor current, not its running one."""
    settled = at(capacitor_hoist(), "button:up", "button:down")
    assert abs(settled.amps["WA"]) == pytest.approx(230 / abs(29 + 34.5j), rel=1e-6)
    turning = at(capacitor_hoist(), "button:up")
    assert abs(turning.amps["WA"]) == pytest.approx(230 / abs(105.8 + 105.8j), rel=1e-6)


def test_receiver_supply_is_a_coil() -> None:
    """The receiver is on where its supply has its least voltage, and off with the overload open."""
    made = receiver_hoist()
    rest = at(made)
    assert rest.energised == ("receiver:supply",)
    cut = settle(Network(made), frozenset(("supply", "key:up")), rest.energised, rest.memory)
    assert cut.energised == ()
    assert cut.motions == ()
