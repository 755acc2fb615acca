"""Truths of the trade, on the catalog's own types: each with its reason."""

from __future__ import annotations

import pytest

from wiring.circuit import build_type
from wiring.files import load_catalog
from wiring.model.behaviour import Settled
from wiring.simulate import Network, settle

CATALOG = load_catalog()


def network(name: str) -> Network:
    """A built-in hoist type alone."""
    return Network(build_type(CATALOG.hoists[name]))


def at(made: Network, *state: str, faults: tuple[str, ...] = ()) -> Settled:
    """One state from rest."""
    rest = settle(made, frozenset(), faults=faults)
    return settle(made, frozenset(state), rest.energised, rest.memory, faults=faults)


def core(made: Network, role: str) -> str:
    """The hoist terminal of a core."""
    return made.parts[f"core:{role}"].pins[0]


def test_sink_wired_inputs_start_on_an_earth_fault() -> None:
    """With 0 V earthed and inputs switched to 0 V, earth on the up core is an up command."""
    made = network("drive-npn")
    assert at(made).motions == ()
    moving = at(made, faults=(f"earth {core(made, 'up')}",)).motions
    assert moving == at(made, "button:up").motions != ()


def test_source_wired_inputs_do_not() -> None:
    """With inputs switched to plus, earth on the up core commands nothing (its fuse may open)."""
    made = network("drive-pnp-two-channel-stop")
    assert at(made, "button:up").motions != ()
    assert at(made, faults=(f"earth {core(made, 'up')}",)).motions == ()


def test_a_two_line_capacitor_motor_starts_on_an_earth_fault() -> None:
    """Fed line to line with an earthed midpoint, a motor gets half its voltage through an earth fault of
    the up core: it turns with nothing pressed, and a stop in one pole does not end it."""
    made = network("capacitor-motor-direct-240-two-line")
    fault = (f"earth {core(made, 'up')}",)
    rest = at(made, faults=fault)
    assert at(made).torque == dict.fromkeys(rest.torque, "none")
    assert rest.motions == ("hoist up",)
    assert at(made, "stop:ES", faults=fault).motions == ("hoist up",)
    assert at(made, "stop:Q1", faults=fault).motions == ()


def test_a_welded_contactor_of_the_24_volt_type_answers_to_the_isolator_only() -> None:
    """Stop, limit and overload open one coil circuit; only the isolator takes the motor's supply away."""
    made = network("reversing-contactors-24")
    weld = ("hoist:K1 stuck-in",)
    for name in ("stop:ES", "limit:up", "thermal:OL"):
        assert at(made, name, faults=weld).motions == ("hoist up",)
    assert at(made, "stop:Q1", faults=weld).motions == ()


def test_feed_beside_stop_return_defeats_the_stop() -> None:
    """On the crane one short between the feed core and the stop return keeps the motions alive."""
    made = network("two-speed-crane-115")
    rest = settle(made, frozenset())
    for step in (frozenset(("button:start",)), frozenset[str]()):
        rest = settle(made, step, rest.energised, rest.memory)
    assert settle(made, frozenset(("button:up", "stop:ES")), rest.energised, rest.memory).motions == ()
    cores = {name: part.pins[0] for name, part in made.parts.items() if name.startswith("core:")}
    feed = next(point for name, point in cores.items() if name in ("core:feed", "core:stop-out"))
    back = cores["core:stop-in"]
    short = (f"short {feed} {back}",)
    moving = settle(made, frozenset(("button:up", "stop:ES")), rest.energised, rest.memory, short)
    assert moving.motions != ()


def test_the_crane_brake_opens_without_torque_when_the_slow_contactor_fails() -> None:
    """The brake sits before the speed contactors: up without the slow contactor releases it over a
    motor that makes no torque."""
    made = network("two-speed-crane-115")
    rest = settle(made, frozenset())
    for step in (frozenset(("button:start",)), frozenset[str]()):
        rest = settle(made, step, rest.energised, rest.memory)
    up = settle(made, frozenset(("button:up",)), rest.energised, rest.memory)
    slow = next(name for name in up.energised if name == "hoist:K3")
    let_go = settle(made, frozenset(("button:up",)), rest.energised, rest.memory, (f"{slow} open",))
    assert up.brakes_open
    assert let_go.brakes_open == up.brakes_open
    assert let_go.motions == ()


@pytest.mark.parametrize("name", ["three-phase-direct-two-pole-400"])
def test_a_phase_left_on_the_motor_is_live_at_rest(name: str) -> None:
    """Where two of three phases are switched the third stays on the motor: its cores read full voltage
    to earth with nothing pressed."""
    made = network(name)
    volts = abs(at(made).potential[core(made, "motor-u")])
    assert volts == pytest.approx(231, rel=0.02)
