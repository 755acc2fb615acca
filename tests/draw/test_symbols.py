"""Symbol shapes: every part of the catalogs has one in both sets, made of sound lines, with its source."""

from __future__ import annotations

import math

import pytest

from tests.draw.made import CATALOG
from wiring.draw.symbols import AXIS, CELL, shape_id, shapes, turned
from wiring.model.circuit import Circuit, Part
from wiring.model.entry import EntryPart

ALL = [(style, id) for style in ("iec", "us") for id in shapes(style)]
BASES = ("read", "derived", "memory")


@pytest.mark.parametrize(("style", "id"), ALL)
def test_a_shape_is_sound_and_says_how_it_is_known(style: str, id: str) -> None:
    """Lines stay near the cell, every pin has ink on the cell's edge, and basis and source are given."""
    shape = shapes(style)[id]
    assert shape.name and shape.source and shape.basis in BASES
    assert (shape.basis == "memory") is (shape.source == "memory") or shape.basis != "read" or shape.source
    left, top, right, bottom = shape.bounds()
    assert left >= -0.01 and top >= -2.01 and right <= CELL + 0.01 and bottom <= CELL + 0.01
    ink = [point for stroke in shape.strokes for point in stroke.points]
    for name, (x, y) in shape.pins.items():
        assert x in (0.0, CELL) or y in (0.0, CELL), f"{name} is not on the edge"
        assert any(math.hypot(x - px, y - py) < 0.01 for px, py in ink), f"no line at {name}"


@pytest.mark.parametrize(("style", "id"), ALL)
def test_a_pair_of_pins_lies_on_the_path(style: str, id: str) -> None:
    """A two-pin shape has both pins on one straight path, so that it fits any path of its set."""
    shape = shapes(style)[id]
    if len(shape.pins) == 2 and id != "horn":
        axis = {x if style == "iec" else y for x, y in shape.pins.values()}
        assert len(axis) == 1
        assert axis == {AXIS} or id == "brake_spring"


@pytest.mark.parametrize("style", ["iec", "us"])
def test_every_catalog_part_has_a_shape(style: str) -> None:
    """Each part of each hoist, receiver and device is drawn with a shape that the table has."""
    known = {*shapes(style), "receiver"}
    entries = [*CATALOG.hoists.values(), *CATALOG.receivers.values(), *CATALOG.devices.values()]
    parts = [(entry.id, part) for entry in entries for part in entry.net.parts if part.kind != "source"]
    assert len(parts) > 300
    missing = [f"{id}: {part.id}" for id, part in parts if shape_id(*_one(part), style) not in known]
    assert missing == []


def _one(part: EntryPart) -> tuple[Part, Circuit]:
    made = Part(f"x:{part.id}", part.kind, part.at, "x", part.form, part.by, part.role, part.rect)  # type: ignore[arg-type]
    return made, Circuit("after", (), (made,), ())


@pytest.mark.parametrize("style", ["iec", "us"])
def test_a_quarter_turn_four_times_is_no_turn(style: str) -> None:
    """Turning a shape for the other direction keeps its lengths: four turns give the shape back."""
    shape = shapes(style)["capacitor"]
    again = shape
    for _ in range(4):
        again = turned(again, style)
    before = [p for s in shape.strokes for p in s.points]
    after = [p for s in again.strokes for p in s.points]
    assert all(math.dist(a, b) < 1e-9 for a, b in zip(before, after, strict=True))


def test_normally_open_and_closed_differ_in_both_sets() -> None:
    """A make contact and its break contact never share their lines."""
    for style in ("iec", "us"):
        for make, break_ in (("contact_no", "contact_nc"), ("pb_no", "pb_nc"), ("limit_no", "limit_nc")):
            assert shapes(style)[make].strokes != shapes(style)[break_].strokes
