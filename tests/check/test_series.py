"""Contacts between two windings of one motor carry that motor."""

from __future__ import annotations

from pathlib import Path

from wiring.check.nets import behind
from wiring.circuit import build_type
from wiring.files import load_catalog
from wiring.simulate import Network, settle


def test_a_stop_between_the_windings_of_a_series_motor_carries_it() -> None:
    """The field lies before the handset, the armature behind: neither side of the stop has a pole."""
    circuit = build_type(load_catalog(Path()).hoists["universal-motor-120"])
    held = settle(Network(circuit), frozenset({"button:up"}))
    windings = {part for motor in circuit.motors for part in motor.parts}
    assert held.motions == ("hoist up",)
    assert {load.name for load in behind(circuit, held.closed, "pendant:ES")} == windings
