"""The sheet says what the circuit says: the netlist rebuilt from lines and dots equals the proved one."""

from __future__ import annotations

import random

import pytest

from tests.draw.faults import FAULTS, plant
from tests.draw.geometry import read
from tests.draw.netlist import differences
from wiring.circuit import build_type
from wiring.draw import circuit_drawing, svg
from wiring.files import load_catalog
from wiring.model.circuit import Circuit

CATALOG = load_catalog()
HOISTS = sorted(CATALOG.hoists)


def circuit_of(hoist: str) -> Circuit:
    return build_type(CATALOG.hoists[hoist])


@pytest.mark.parametrize("style", ["iec", "us"])
@pytest.mark.parametrize("hoist", HOISTS)
def test_every_hoist_type_is_drawn_as_it_is_wired(hoist: str, style: str) -> None:
    """Lines, dots and prints of a hoist type's sheet give back its netlist."""
    circuit = circuit_of(hoist)
    drawing = circuit_drawing(circuit, style)
    assert differences(circuit, read(svg(drawing)), set(drawing.spare)) == []


@pytest.mark.parametrize("number", range(60))
def test_a_planted_fault_is_noticed(number: int) -> None:
    """A wire end moved, a dot dropped or added, prints swapped, a symbol shifted: the reader objects."""
    hoist = HOISTS[number % len(HOISTS)]
    style = ("iec", "us")[number // len(FAULTS) % 2]
    circuit = circuit_of(hoist)
    drawing = circuit_drawing(circuit, style)
    spoiled = plant(svg(drawing), FAULTS[number % len(FAULTS)], random.Random(number))
    assert spoiled is not None, "the sheet gives no place for this fault"
    assert differences(circuit, read(spoiled), set(drawing.spare)) != []
