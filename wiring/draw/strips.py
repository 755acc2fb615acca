"""Blocks of the connections sheet: terminals of one owner in a row, each wire on a place of its own."""

from __future__ import annotations

from dataclasses import dataclass, field

from wiring.draw.cells import AIR, Cell, Ink, Seat
from wiring.draw.items import Foot, Item
from wiring.draw.parts import SMALL, TAG, TEXT, THIN, Circle, Pin, Stroke, Symbol, Text
from wiring.draw.words import cut, width

PITCH = 7.0  # between wire places [mm]
LEAD = 58.0  # room for sleeve and label of a wire [mm]
SLEEVE_LONG, SLEEVE_HIGH = 7.0, 1.8
RING = 0.8


@dataclass(frozen=True, slots=True)
class Place:
    """One wire end at a terminal: its label, colours, and which wire (ref) sits there. ref None: no wire."""

    label: str = ""
    fills: tuple[str, ...] = ()
    letters: str = ""
    foot: Foot | None = None


@dataclass
class Strip:
    """A block: name, what it is, and its terminals with remarks; left and right wires per terminal."""

    name: str
    title: str
    row: int
    terminals: list[str] = field(default_factory=list)
    prints: dict[str, str] = field(default_factory=dict)
    remarks: dict[str, str] = field(default_factory=dict)
    left: dict[str, list[Place]] = field(default_factory=dict)
    right: dict[str, list[Place]] = field(default_factory=dict)

    def slots(self) -> list[tuple[str, Place | None, Place | None]]:
        """Terminal, wire on its left, wire on its right, one entry a place."""
        found: list[tuple[str, Place | None, Place | None]] = []
        for terminal in self.terminals:
            left, right = self.left.get(terminal, []), self.right.get(terminal, [])
            for i in range(max(len(left), len(right), 1)):
                found.append(
                    (terminal, left[i] if i < len(left) else None, right[i] if i < len(right) else None)
                )
        return found


def strip_cell(strip: Strip, column: int) -> Cell:
    """The block as a cell: one column a wire place; pins only where a wire lands."""
    slots = strip.slots()
    item = Item(strip.name, "strip", (), row=strip.row, column=column)
    has_left = any(left for _, left, _ in slots)
    has_right = any(right for _, _, right in slots)
    texts = [_remark(strip, terminal) for terminal, _, _ in slots]
    room = max(
        [
            width(text, SMALL) + width(strip.prints[t], TEXT)
            for text, (t, _, _) in zip(texts, slots, strict=True)
        ],
        default=0.0,
    )
    box = max(room + 9.0, width(strip.name, TAG) + 4.0, min(width(strip.title, SMALL), 60.0) + 4.0, 30.0)
    lead_left = LEAD if has_left or strip.row else 2.0
    lead_right = LEAD if has_right or not strip.row else 2.0

    def draw(seat: Seat) -> Symbol:
        ink = Ink()
        x0 = seat.start + lead_left if strip.row else seat.end - lead_right - box
        x1 = x0 + box
        top, bottom = seat.across[0] - 3.4, seat.across[-1] + 3.4
        head = top - 7.6
        ink.strokes.append(_frame(x0, head, x1, bottom, 0.35))
        ink.strokes.append(Stroke(((x0, top), (x1, top)), THIN))
        ink.texts.append(Text(x0 + 1.2, head + 3.3, strip.name, TAG, bold=True, role="tag"))
        ink.texts.append(Text(x0 + 1.2, head + 6.4, cut(strip.title, box - 2.4, SMALL), SMALL))
        seen: set[str] = set()
        for y, (terminal, left, right), remark in zip(seat.across, slots, texts, strict=True):
            if terminal not in seen:
                _terminal(ink, strip, terminal, remark, (x0, x1, y), bool(seen))
                seen.add(terminal)
            for place, edge, inner in ((left, seat.start, x0), (right, seat.end, x1)):
                if place is not None and place.foot is not None:
                    _wire(ink, place, edge, inner, y)
        return ink.symbol(item, "strip", f"terminals of {strip.name}", ((x0 + x1) / 2, (top + bottom) / 2))

    ups = [(i, left.foot) for i, (_, left, _) in enumerate(slots) if left and left.foot]
    downs = [(i, right.foot) for i, (_, _, right) in enumerate(slots) if right and right.foot]
    item.up, item.down = [foot for _, foot in ups], [foot for _, foot in downs]
    item.seats = (tuple(i for i, _ in ups), tuple(i for i, _ in downs))
    item.span = len(slots)
    return Cell(item, lead_left + box + lead_right, 12.5, 6.0, PITCH, draw, "strip")


def _remark(strip: Strip, terminal: str) -> str:
    return strip.remarks.get(terminal, "")


def _frame(x0: float, y0: float, x1: float, y1: float, line: float) -> Stroke:
    return Stroke(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), line, closed=True)


def _terminal(
    ink: Ink, strip: Strip, terminal: str, remark: str, at: tuple[float, float, float], ruled: bool
) -> None:
    x0, x1, y = at
    if ruled:
        ink.strokes.append(Stroke(((x0, y - PITCH / 2), (x1, y - PITCH / 2)), 0.13))
    ink.circles.append(Circle(x0 + 2.2, y, RING))
    print_ = strip.prints[terminal]
    ink.texts.append(Text(x0 + 4.2, y + 0.9, print_, TEXT, bold=True, role="terminal"))
    start = x0 + 4.2 + width(print_, TEXT) + 2.0
    ink.texts.append(Text(start, y + 0.8, cut(remark, x1 - start - 0.6, SMALL), SMALL))


def _wire(ink: Ink, place: Place, edge: float, inner: float, y: float) -> None:
    """The wire from the edge of the cell to the block, with sleeve, letters and label at the block."""
    assert place.foot is not None
    ink.line((edge, y), (inner, y))
    inward = 1.0 if inner < edge else -1.0
    near = inner + inward * 1.5
    a, b = sorted((near, near + inward * SLEEVE_LONG))
    half = SLEEVE_HIGH / 2

    def band(x0: float, x1: float, fill: str, line: float) -> None:
        ink.strokes.append(
            Stroke(
                ((x0, y - half), (x1, y - half), (x1, y + half), (x0, y + half)), line, closed=True, fill=fill
            )
        )

    band(a, b, place.fills[0] if place.fills else "#ffffff", THIN)
    if len(place.fills) > 1:
        band(a + 1.2, a + 2.6, place.fills[1], 0.1)
        band(a + 4.4, a + 5.8, place.fills[1], 0.1)
    words = cut(" ".join(t for t in (place.letters, place.label) if t), LEAD - SLEEVE_LONG - 4.0, SMALL)
    x = near + inward * (SLEEVE_LONG + 1.0)
    ink.texts.append(Text(x, y - AIR, words, SMALL, "start" if inward > 0 else "end", role="wire"))
    ink.pins.append(Pin(place.foot.refs, edge, y))
