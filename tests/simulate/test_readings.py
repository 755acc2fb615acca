"""Meter readings of the dead circuit."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.simulate.circuits import capacitor_hoist, contactor_hoist
from wiring.model.circuit import Circuit
from wiring.simulate import Network, core_readings, expected_ohms

REST: frozenset[str] = frozenset()
UP = frozenset(("button:up",))


def corded() -> Circuit:
    """The capacitor hoist with handset parts owned by the pendant and cores by the core."""
    made = capacitor_hoist()
    handset = {"ES": "pendant", "SU": "pendant", "SD": "pendant"}
    parts = tuple(
        replace(p, owner="core" if p.name.startswith("core:") else handset.get(p.name, p.owner))
        for p in made.parts
    )
    return replace(made, parts=parts)


def test_handset_alone_reads_its_contacts() -> None:
    """With the cord unplugged a pressed button joins its core to the feed, released it is open."""
    network = Network(corded())
    assert expected_ohms(network, "LF", "UPH", REST, "handset") == "OL"
    assert expected_ohms(network, "LF", "UPH", UP, "handset") == 0.0
    assert expected_ohms(network, "LF", "UPH", UP | {"stop:ES"}, "handset") == "OL"


def test_hoist_alone_reads_its_windings() -> None:
    """Between the two return cores of a capacitor motor lie both windings in series."""
    network = Network(corded())
    assert expected_ohms(network, "UPH", "DNH", REST, "hoist") == pytest.approx(30.0)
    assert expected_ohms(network, "UPH", "N", REST, "hoist") == pytest.approx(15.0)
    assert expected_ohms(network, "LF", "UPH", REST, "hoist") == "OL"
    assert expected_ohms(network, "UPH", "DNH", frozenset(("thermal:TP",)), "hoist") == pytest.approx(30.0)


def test_a_capacitor_alone_climbs() -> None:
    """Where only a capacitor completes the path the reading climbs."""
    made = corded()
    parts = tuple(p for p in made.parts if p.name not in ("WA", "WB"))
    network = Network(replace(made, parts=parts, motors=()))
    assert expected_ohms(network, "UPH", "DNH", REST, "hoist") == "climbs"


def test_coil_and_transformer_in_parallel_paths() -> None:
    """From the up return to earth lies the coil; the transformer's secondary joins feed and earth."""
    network = Network(contactor_hoist())
    assert expected_ohms(network, "UPH", "X2", REST) == pytest.approx(6.2)
    assert expected_ohms(network, "C2", "X2", REST) == pytest.approx(0.35)
    assert expected_ohms(network, "UPH", "X2", frozenset(("limit:up",))) == "OL"


def test_unknown_points_are_refused() -> None:
    """A point that does not exist is an error, not an open reading."""
    with pytest.raises(KeyError):
        expected_ohms(Network(contactor_hoist()), "UPH", "nowhere", REST)


def test_core_readings_cover_both_sides() -> None:
    """The list to measure by holds every pair of cores, at rest and with each button held."""
    found = core_readings(corded())
    assert ("handset", "button:up", "core:1 - core:2", "0.0 ohm") in found
    assert ("handset", "at rest", "core:1 - core:2", "OL") in found
    assert ("hoist", "at rest", "core:2 - core:3", "30.0 ohm") in found
