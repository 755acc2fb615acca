"""One cell of a sheet per item: its size, its texts, and how it is drawn at its place.

Across is the direction between current paths (x after IEC practice, y after US
practice), along is the way the current runs. All text rows are reserved here,
so that nothing meets anything else later.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from wiring.draw.items import Foot, Item
from wiring.draw.parts import MEDIUM, SMALL, TAG, TEXT, THIN, XY, Circle, Pin, Stroke, Symbol, Text
from wiring.draw.symbols import AXIS, CELL, Shape
from wiring.draw.words import width

LINE = 3.1  # base line to base line of label rows [mm]
AIR = 0.8  # between a line and the text beside it [mm]
STATE = "▸"  # a text that begins so says what has moved in a state view
XREF = "@"  # a text that begins so is replaced by the place of the part named after it
XREF_ROOM = "→ 1/D12"  # widest place name


@dataclass(frozen=True, slots=True)
class Labels:
    """What is written at an item. tag: designation; lines: below it; wire: number of the wire that
    comes in; under: number of the wire that goes out, where nothing else carries it."""

    tag: str = ""
    lines: tuple[str, ...] = ()
    wire: str = ""
    under: str = ""
    title: str = ""
    beside: bool = False  # a pole group: its texts keep clear of the line that links the poles
    lead: float = THIN  # width of the lines from the pins to the symbol


@dataclass(frozen=True, slots=True)
class Seat:
    """Where a cell lands: across coordinates of its columns, along coordinates of its row's edges.

    lead: way from the row's edge to the symbol, where it must line up with other poles.
    """

    across: tuple[float, ...]
    start: float
    end: float
    lead: float = 0.0


@dataclass
class Cell:
    """Size and drawing of one item. before, after: room across beyond its first and last column."""

    item: Item
    length: float
    before: float
    after: float
    pitch: float
    draw: Callable[[Seat], Symbol]
    kind: str = ""
    lead: float = 0.0  # way from the row's edge to the symbol


@dataclass(frozen=True, slots=True)
class Style:
    """Direction and texts of one symbol set."""

    name: str  # iec | us
    shapes: Mapping[str, Shape]

    @property
    def down(self) -> bool:
        """True where current runs down the sheet."""
        return self.name == "iec"

    def at(self, across: float, along: float) -> XY:
        return (across, along) if self.down else (along, across)


@dataclass
class Ink:
    """Lines, circles, texts and pins while a symbol is drawn."""

    strokes: list[Stroke] = field(default_factory=list)
    circles: list[Circle] = field(default_factory=list)
    texts: list[Text] = field(default_factory=list)
    pins: list[Pin] = field(default_factory=list)

    def line(self, *points: XY, width: float = THIN, dash: str = "") -> None:
        kept = [p for i, p in enumerate(points) if i == 0 or p != points[i - 1]]
        if len(kept) > 1:
            self.strokes.append(Stroke(tuple(kept), width, dash))

    def shape(self, shape: Shape, at: XY, lead: float = THIN) -> None:
        """A shape with its cell's corner at a place; a heavier line where the leads are heavier."""
        dx, dy = at
        line = MEDIUM if lead > THIN else THIN
        for s in shape.strokes:
            points = tuple((x + dx, y + dy) for x, y in s.points)
            self.strokes.append(Stroke(points, max(s.width, line), s.dash, s.closed, s.fill))
        for c in shape.circles:
            self.circles.append(Circle(c.x + dx, c.y + dy, c.r, c.width, c.fill))
        for t in shape.texts:
            self.texts.append(Text(t.x + dx, t.y + dy, t.text, t.size, t.anchor, t.bold, t.role))

    def symbol(self, item: Item, kind: str, title: str, at: XY, through: bool = False) -> Symbol:
        names = tuple(part.name for part in item.parts) or (item.point or item.name,)
        return Symbol(
            names, kind, title, tuple(self.pins), tuple(self.strokes), tuple(self.circles),
            tuple(self.texts), through=through, at=at,
        )  # fmt: skip


def shown_width(text: str, size: float) -> float:
    """Width of a label; a cross-reference counts as the widest place name."""
    head, mark, _ = text.partition(XREF)
    return width(head + XREF_ROOM if mark else text, size)


def pair_cell(item: Item, shape: Shape, labels: Labels, style: Style) -> Cell:
    """A part with one pin on each side of its path."""
    return _pair_down(item, shape, labels, style) if style.down else _pair_across(item, shape, labels, style)


def _pair_down(item: Item, shape: Shape, labels: Labels, style: Style) -> Cell:
    left, _, right, _ = shape.bounds()
    axis = next(iter(shape.pins.values()))[0]
    slot = 3.4 if labels.wire else 0.8
    tail = 3.4 if labels.under else 0.8
    pins = [foot.label for foot in (item.up[0], item.down[0])]
    pin_room = max((width(p, SMALL) for p in pins), default=0.0) + AIR
    words = [(labels.tag, TAG), *((line, TEXT) for line in labels.lines)]
    room = max((shown_width(t, s) for t, s in words if t), default=0.0)
    wires = max(width(labels.wire, SMALL), width(labels.under, SMALL)) + AIR
    before = max(axis - left, pin_room) + AIR
    after = max(right - axis, wires) + AIR
    if labels.beside:
        before += room + AIR
    elif room:
        after = max(wires, right - axis + AIR + room) + AIR
    rows = (LINE * len(labels.lines) + TAG) if room else 0.0
    length = max(slot + CELL, slot + rows + 0.6) + tail

    def draw(seat: Seat) -> Symbol:
        u, ink = seat.across[0], Ink()
        top = seat.start + max(slot, seat.lead)
        ink.line((u, seat.start), (u, top), width=labels.lead)
        ink.shape(shape, (u - axis, top), labels.lead)
        ink.line((u, top + CELL), (u, seat.end), width=labels.lead)
        x = u - max(axis - left, pin_room) - AIR if labels.beside else u + right - axis + AIR
        _stack(ink, words, x, top + TAG * 0.8, "end" if labels.beside else "start")
        _wire_texts(ink, labels, (u + AIR, seat.start + 2.4), (u + AIR, seat.end - 0.9))
        _pin(ink, item.up[0], (u, seat.start), (u - AIR, top + 1.7), "end")
        _pin(ink, item.down[0], (u, seat.end), (u - AIR, top + CELL - 0.3), "end")
        return ink.symbol(item, shape.id, labels.title, (u, top + AXIS))

    return Cell(item, length, before, after, 0.0, draw, shape.id, slot)


def _pair_across(item: Item, shape: Shape, labels: Labels, style: Style) -> Cell:
    _, top, _, bottom = shape.bounds()
    axis = next(iter(shape.pins.values()))[1]
    first, last = item.up[0].label, item.down[0].label
    slot = (width(labels.wire, SMALL) + 2 * AIR if labels.wire else 1.2) + width(first, SMALL) + AIR
    tail = (width(labels.under, SMALL) + 2 * AIR if labels.under else 1.2) + width(last, SMALL) + AIR
    lines = [(line, TEXT) for line in labels.lines]
    over = [(labels.tag, TAG)] if labels.tag else []
    over, under = ([*over, *lines], []) if labels.beside else (over, lines)
    wide = max((shown_width(t, s) for t, s in (*over, *under)), default=0.0)
    side = max(slot, tail, (wide - CELL) / 2 + 1.0) if wide > CELL else 0.0
    lead, trail = max(slot, side), max(tail, side)
    clear = max(axis - top, SMALL + AIR) + AIR
    above = clear + (TAG + AIR + LINE * (len(over) - 1) if over else 0.0)
    below = max(bottom - axis, 0.5) + AIR + LINE * len(under)

    def draw(seat: Seat) -> Symbol:
        y, ink = seat.across[0], Ink()
        x0 = seat.start + max(lead, seat.lead)
        ink.line((seat.start, y), (x0, y), width=labels.lead)
        ink.shape(shape, (x0, y - axis), labels.lead)
        ink.line((x0 + CELL, y), (seat.end, y), width=labels.lead)
        middle = x0 + CELL / 2
        for i, (t, s) in enumerate(reversed(over)):
            ink.texts.append(_label(middle, y - clear - LINE * i, t, s, "middle"))
        for i, (t, s) in enumerate(under):
            ink.texts.append(_label(middle, y + max(bottom - axis, 0.5) + 2.6 + LINE * i, t, s, "middle"))
        _wire_texts(
            ink, labels, (seat.start + AIR, y - AIR), (seat.end - AIR - width(labels.under, SMALL), y - AIR)
        )
        _pin(ink, item.up[0], (seat.start, y), (x0 - 0.3, y - AIR), "end")
        _pin(ink, item.down[0], (seat.end, y), (x0 + CELL + 0.3, y - AIR), "start")
        return ink.symbol(item, shape.id, labels.title, (middle, y))

    return Cell(item, lead + CELL + trail, above, below, 0.0, draw, shape.id, lead)


def _label(x: float, y: float, text: str, size: float, anchor: str) -> Text:
    role = "xref" if XREF in text else ("tag" if size == TAG else "note")
    moved = text.startswith(STATE)
    return Text(x, y, text, size, anchor, bold=size == TAG or moved, role="state" if moved else role)


def _stack(ink: Ink, words: list[tuple[str, float]], x: float, y: float, anchor: str) -> None:
    for text, size in words:
        if text:
            ink.texts.append(_label(x, y, text, size, anchor))
        y += LINE


def _wire_texts(ink: Ink, labels: Labels, first: XY, last: XY) -> None:
    if labels.wire:
        ink.texts.append(Text(*first, labels.wire, SMALL, role="wire"))
    if labels.under:
        ink.texts.append(Text(*last, labels.under, SMALL, role="wire"))


def _pin(ink: Ink, foot: Foot, at: XY, text_at: XY, anchor: str) -> None:
    ink.pins.append(Pin(foot.refs, at[0], at[1], foot.label))
    if foot.label:
        ink.texts.append(Text(*text_at, foot.label, SMALL, anchor, role="pin"))


def many_cell(item: Item, shape: Shape, labels: Labels, style: Style) -> Cell:
    """A part with several pins on a side: leads run from the columns to the shape's own pins."""
    _, _, right, bottom = shape.bounds()
    places = list(shape.pins.values())
    ups, downs = places[: len(item.up)], places[len(item.up) :]
    words = [(labels.tag, TAG), *((line, TEXT) for line in labels.lines)]
    room = max((shown_width(t, s) for t, s in words if t), default=0.0)
    lead = 4.5 if style.down else 7.5
    pitch = 8.0

    def place(seat: Seat) -> XY:
        middle = math.fsum(seat.across) / len(seat.across)
        if style.down:
            return (middle - CELL / 2, seat.start + lead)
        return (seat.start + lead, middle - CELL / 2)

    def draw(seat: Seat) -> Symbol:
        ink, corner = Ink(), place(seat)
        ink.shape(shape, corner, labels.lead)
        for feet, spots, edge, inward in ((item.up, ups, seat.start, 1), (item.down, downs, seat.end, -1)):
            for u, foot, spot in zip(seat.across, feet, spots, strict=False):
                target = (spot[0] + corner[0], spot[1] + corner[1])
                bend = edge + inward * (lead - 2.1)
                across, along = target if style.down else (target[1], target[0])
                path = ((u, edge), (u, bend), (across, bend), (across, along))
                ink.line(*(style.at(*p) for p in path), width=labels.lead)
                _pin(
                    ink,
                    foot,
                    style.at(u, edge),
                    _pin_text(style, u, edge, inward),
                    "end" if style.down else "middle",
                )
        middle = (corner[0] + CELL / 2, corner[1] + CELL / 2)
        if style.down:
            x = max(corner[0] + right, seat.across[-1]) + AIR
            _stack(ink, words, x, corner[1] + 2.4, "start")
        else:
            y = max(corner[1] + bottom, seat.across[-1]) + LINE - 0.4
            _stack(ink, words, corner[0], y, "start")
        return ink.symbol(item, shape.id, labels.title, middle)

    half = max(0.0, (CELL - pitch * (item.columns - 1)) / 2)
    if style.down:
        length = max(CELL + 2 * lead, lead + 2.4 + LINE * len(words))
        return Cell(item, length, half + 4.0, half + room + 2 * AIR, pitch, draw, shape.id)
    length = max(CELL, room) + 2 * lead + 2.0
    return Cell(item, length, half + 3.0, half + LINE * len(words) + AIR, pitch, draw, shape.id)


def _pin_text(style: Style, u: float, edge: float, inward: int) -> XY:
    if style.down:
        return (u - AIR, edge + (2.0 if inward > 0 else -0.4))
    return (edge + inward * 2.2, u - AIR)
