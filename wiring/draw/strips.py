"""Blocks of the connections sheet: terminals of one owner in a row, each wire on a place of its own."""

from __future__ import annotations

from dataclasses import dataclass, field

from wiring.draw.cells import AIR, Cell, Ink, Seat
from wiring.draw.items import Foot, Item
from wiring.draw.parts import SMALL, TAG, TEXT, THIN, Circle, Pin, Stroke, Symbol, Text
from wiring.draw.words import cut, width, wrap

PITCH = 7.0  # between wire places [mm]
STUB = 6.0  # of a wire beyond its label, where it may turn [mm]
NONE = 2.0  # room beside a block on a side without wires [mm]
REMARK = (44.0, 52.0, 60.0, 70.0)  # lines of a remark, as wide as two of them need [mm]
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


def leads_of(strip: Strip) -> tuple[float, float]:
    """Room that the wires on its left and on its right need for sleeves and labels [mm]."""
    sides = (strip.left, strip.right)
    return tuple(  # type: ignore[return-value]
        max(
            (_label_width(place) + SLEEVE_LONG + STUB for places in side.values() for place in places),
            default=NONE,
        )
        for side in sides
    )


def _label_width(place: Place) -> float:
    return width(_words(place), SMALL)


def _words(place: Place) -> str:
    return " ".join(t for t in (place.letters, place.label) if t)


def _remark(text: str) -> tuple[str, ...]:
    """The remark in at most two lines, cut only where even the widest are too short."""
    tried = (wrap(text, room, SMALL) for room in REMARK)
    return next((lines for lines in tried if len(lines) <= 2), wrap(text, REMARK[-1], SMALL, 2))


def strip_cell(strip: Strip, column: int, leads: tuple[float, float]) -> Cell:
    """The block as a cell: one column a wire place; pins only where a wire lands.

    leads: room on its left and right, the same for all blocks that stand below each other [mm].
    """
    slots = strip.slots()
    item = Item(strip.name, "strip", (), row=strip.row, column=column)
    texts = {t: _remark(strip.remarks.get(t, "")) for t in strip.terminals}
    room = max(
        (max((width(x, SMALL) for x in texts[t]), default=0.0) + width(strip.prints[t], TEXT) for t in texts),
        default=0.0,
    )
    box = max(room + 9.0, width(strip.name, TAG) + 4.0, min(width(strip.title, SMALL), 60.0) + 4.0, 30.0)
    left_lead, right_lead = leads

    def draw(seat: Seat) -> Symbol:
        ink = Ink()
        x0 = seat.start + left_lead if strip.row else seat.end - right_lead - box
        x1 = x0 + box
        top, bottom = seat.across[0] - 3.4, seat.across[-1] + 3.4
        head = top - 7.6
        ink.strokes.append(_frame(x0, head, x1, bottom, 0.35))
        ink.strokes.append(Stroke(((x0, top), (x1, top)), THIN))
        ink.texts.append(Text(x0 + 1.2, head + 3.3, strip.name, TAG, bold=True, role="tag"))
        ink.texts.append(Text(x0 + 1.2, head + 6.4, cut(strip.title, box - 2.4, SMALL), SMALL))
        seen: set[str] = set()
        for y, (terminal, left, right) in zip(seat.across, slots, strict=True):
            if terminal not in seen:
                _terminal(ink, strip, terminal, texts[terminal], (x0, x1, y), bool(seen))
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
    return Cell(item, left_lead + box + right_lead, 12.5, 6.0, PITCH, draw, "strip")


def _frame(x0: float, y0: float, x1: float, y1: float, line: float) -> Stroke:
    return Stroke(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), line, closed=True)


def _terminal(
    ink: Ink,
    strip: Strip,
    terminal: str,
    remark: tuple[str, ...],
    at: tuple[float, float, float],
    ruled: bool,
) -> None:
    x0, x1, y = at
    if ruled:
        ink.strokes.append(Stroke(((x0, y - PITCH / 2), (x1, y - PITCH / 2)), 0.13))
    ink.circles.append(Circle(x0 + 2.2, y, RING))
    print_ = strip.prints[terminal]
    ink.texts.append(Text(x0 + 4.2, y + 0.9, print_, TEXT, bold=True, role="terminal"))
    start = x0 + 4.2 + width(print_, TEXT) + 2.0
    first = y + 0.8 - 1.3 * (len(remark) - 1)
    ink.texts += [Text(start, first + 2.6 * n, line, SMALL) for n, line in enumerate(remark)]


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
    x = near + inward * (SLEEVE_LONG + 1.0)
    ink.texts.append(Text(x, y - AIR, _words(place), SMALL, "start" if inward > 0 else "end", role="wire"))
    ink.pins.append(Pin(place.foot.refs, edge, y))
