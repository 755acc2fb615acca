"""Partial voltages, points joined or parted."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.simulate.circuits import circuit, coil, contactor_hoist, part, receiver_hoist
from wiring.model.circuit import Circuit
from wiring.simulate import Network
from wiring.simulate.sneak import joined, parted, partial


def test_a_suppressor_may_hold_a_small_contactor() -> None:
    """An RC suppressor across an open receiver contact, with 30 m of cable, reaches a 4 VA contactor
    beyond its must-drop voltage: the series resonance of capacitor and coil."""
    made = circuit(
        [
            part("V1", "source", "L PE", voltage=230, frequency=50),
            part("S", "contact", "L a", "button:up"),
            part("RC", "suppressor", "L a", rect="rc", capacitance=100e-9, resistance=100),
            part("K", "coil", "a PE", voltage=230, inrush=25, inrush_pf=0.75, sealed=4, sealed_pf=0.3),
        ],
        "button:up",
    )
    network = Network(made)
    from wiring.simulate import settle

    on = settle(network, frozenset(("button:up",)))
    released = settle(network, frozenset(), on.energised)
    share = abs(released.volts["K"]) / 230
    assert share > 0.2
    assert released.energised == ("K",)


def test_a_broken_common_puts_two_coils_in_series() -> None:
    """With the common of both coils lost the other coil sits in series: a partial voltage on both."""
    made = circuit(
        [
            part("V1", "source", "L PE", voltage=24, frequency=50),
            part("SU", "contact", "L u", "button:up"),
            part("W", "load", "d PE", resistance=8),
            coil("K1", "u c"),
            coil("K2", "d c"),
            part("common", "wire", "c PE"),
        ],
        "button:up",
    )
    sound = {s.subject for s in partial(Network(made))}
    cut = {s.subject: s for s in partial(Network(made, ("common open",)))}
    assert "K1" not in sound
    assert set(cut) == {"K1", "K2"}
    assert 0.2 < cut["K1"].fraction < 0.85
    assert "K2" in cut["K1"].path


def returns() -> Circuit:
    """Down has a second pole that feeds a down-only relay by its own return."""
    return circuit(
        [
            part("V1", "source", "L PE", voltage=120, frequency=60),
            part("SU", "contact", "L up", "button:up"),
            part("SD", "contact", "L down", "button:down"),
            part("SD2", "contact", "L down2", "button:down"),
            part("KU", "coil", "up PE", voltage=120, inrush=70, inrush_pf=0.7, sealed=8, sealed_pf=0.3),
            part("KD", "coil", "down PE", voltage=120, inrush=70, inrush_pf=0.7, sealed=8, sealed_pf=0.3),
            part("Y", "coil", "down2 PE", voltage=120, inrush=70, inrush_pf=0.7, sealed=8, sealed_pf=0.3),
        ],
        "button:up button:down",
    )


def test_two_returns_on_one_terminal_feed_each_other() -> None:
    """Joining the up return with the down-only return puts full voltage on the down-only relay."""
    before = returns()
    after = replace(
        before,
        about="after",
        parts=(*(p for p in before.parts if p.name != "SD2"), part("J", "wire", "up down2")),
    )
    found = joined(Network(before), Network(after))
    assert [s.subject for s in found] == ["up + down2"]
    assert found[0].fraction == pytest.approx(1.0)
    assert "Y" in found[0].path
    assert found[0].state == frozenset(("button:up",))


def test_a_faithful_conversion_joins_and_parts_nothing() -> None:
    """Receiver contacts in place of the handset's leave every old point as it was."""
    before, after = Network(contactor_hoist()), Network(receiver_hoist())
    assert joined(before, after) == ()
    assert parted(before, after) == ()
