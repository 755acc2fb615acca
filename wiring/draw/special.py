"""Cells that are no catalog shape: terminals, conductors with colour, blocks, the receiver, bridges."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

from wiring.draw.cells import (
    AIR,
    LINE,
    Cell,
    Ink,
    Labels,
    Seat,
    Style,
    _label,
    _pin,
    _stack,
    _wire_texts,
    shown_width,
)
from wiring.draw.items import Foot, Item
from wiring.draw.parts import SMALL, TAG, TEXT, THIN, Circle, Pin, Stroke, Symbol, Text
from wiring.draw.symbols import CELL, Shape, turned
from wiring.draw.words import width

RING = 0.9  # radius of a terminal [mm]
SLEEVE = (1.8, 6.0)  # across and along [mm]


def terminal_cell(item: Item, labels: Labels, style: Style, earth: Shape | None) -> Cell:
    """A terminal in the run: a ring with its name; the protective earth with its symbol beside it."""
    room = width(labels.tag, TEXT)
    sides = (*item.up[:1], *item.down[:1])
    slot = (
        3.4 if labels.wire and style.down else (width(labels.wire, SMALL) + 2 * AIR if labels.wire else 1.2)
    )

    def draw(seat: Seat) -> Symbol:
        ink, u = Ink(), seat.across[0]
        middle = seat.start + slot + RING + (0.0 if style.down else max(0.0, room / 2 - RING))
        ends = ([seat.start] if item.up else []) + ([seat.end] if item.down else [])
        for edge in ends:
            inner = middle - RING if edge < middle else middle + RING
            ink.line(style.at(u, edge), style.at(u, inner), width=labels.lead)
        x, y = style.at(u, middle)
        ink.circles.append(Circle(x, y, RING, fill="#ffffff"))
        for foot, edge in zip(sides, ends, strict=True):
            _pin(ink, Foot(foot.net, ((item.point, 0),)), style.at(u, edge), (0, 0), "start")
        where = (x + RING + AIR, y + 0.9) if style.down else (x, y - RING - AIR)
        ink.texts.append(
            Text(*where, labels.tag, TEXT, "start" if style.down else "middle", True, "terminal")
        )
        if earth:
            _earth(ink, earth, x, y, style)
        wire_at = (x + AIR, seat.start + 2.2) if style.down else (seat.start + AIR, y - AIR)
        _wire_texts(ink, labels, wire_at, wire_at)
        return ink.symbol(item, "terminal", labels.title, (x, y), through=True)

    extra = 9.0 if earth else 0.0
    if style.down:
        return Cell(item, slot + 2 * RING + 1.6, 2.0 + extra, RING + room + 2 * AIR, 0.0, draw, "terminal")
    length = slot + max(2 * RING, room) + 1.6
    return Cell(item, length, RING + TEXT + 2 * AIR, 1.6 + extra, 0.0, draw, "terminal")


def reference_cell(item: Item, labels: Labels, style: Style) -> Cell:
    """Where a wire goes on elsewhere: arrow head, name of the wire, places of its other ends."""
    foot = (*item.up, *item.down)[0]
    room = max(width(labels.tag, TEXT), *(shown_width(line, TEXT) for line in labels.lines))
    leaves = bool(item.up)
    more = 3.0 * (len(labels.lines) - 1)

    def draw(seat: Seat) -> Symbol:
        ink, u = Ink(), seat.across[0]
        edge = seat.start if leaves else seat.end
        tip = edge + 4.0 if leaves else edge - 4.0
        ink.line(style.at(u, edge), style.at(u, tip), width=labels.lead)
        back = tip - 2.0 if leaves else tip + 2.0
        head = (style.at(u - 1.0, back), style.at(u, tip), style.at(u + 1.0, back))
        if not leaves:
            head = (style.at(u - 1.0, tip), style.at(u, back), style.at(u + 1.0, tip))
        ink.strokes.append(Stroke(head, THIN, closed=True, fill="#000000"))
        x, y = style.at(u, tip)
        if style.down:
            spot, below, anchor = (x + 2.0, y - 1.2 if leaves else y - more), 3.0, "start"
        else:
            spot, below, anchor = (x + (1.0 if leaves else -1.0), y - 1.0), 3.6, "start" if leaves else "end"
        ink.texts.append(Text(*spot, labels.tag, TEXT, anchor, True, "reference"))
        for n, line in enumerate(labels.lines):
            ink.texts.append(_label(spot[0], spot[1] + below + 3.0 * n, line, TEXT, anchor))
        ink.pins.append(Pin(foot.refs, *style.at(u, edge)))
        name = foot.refs[0][0]
        return ink.symbol(replace(item, name=name), "reference", labels.title, (x, y), through=True)

    if style.down:
        return Cell(item, 9.0 + more, 2.0, 2.0 + room + AIR, 0.0, draw, "reference")
    return Cell(item, 6.0 + room + AIR, 4.0, 4.0 + more, 0.0, draw, "reference")


def _earth(ink: Ink, earth: Shape, x: float, y: float, style: Style) -> None:
    """The earth sign beside a terminal, on its own short lead, at 60 percent of the cell."""
    dx, dy = (-8.0, 0.0) if style.down else (0.0, 2.6)
    if style.down:
        ink.line((x - RING, y), (x - 5.0, y), (x - 5.0, y + 0.6))
    else:
        ink.line((x, y + RING), (x, y + dy))
    scale = 0.6
    for s in earth.strokes:
        points = tuple((x + dx + px * scale, y + dy + 0.6 * (style.down) + py * scale) for px, py in s.points)
        if not style.down:
            points = tuple((px - 3.0, py) for px, py in points)
        ink.strokes.append(Stroke(points, s.width, s.dash, s.closed, s.fill))
    for c in earth.circles:
        cx = x + dx + c.x * scale - (0.0 if style.down else 3.0)
        ink.circles.append(Circle(cx, y + dy + (0.6 if style.down else 0.0) + c.y * scale, c.r * scale))


def run_cell(item: Item, labels: Labels, style: Style, fills: Sequence[str]) -> Cell:
    """A core or a cable conductor: a short sleeve in its colour, with its letters beside it."""
    words = [(labels.tag, TEXT), *((line, SMALL) for line in labels.lines)]
    room = max((shown_width(t, s) for t, s in words if t), default=0.0)
    wide, long = SLEEVE
    slot = (
        3.2 if labels.wire and style.down else (width(labels.wire, SMALL) + 2 * AIR if labels.wire else 1.0)
    )

    def draw(seat: Seat) -> Symbol:
        ink, u = Ink(), seat.across[0]
        start = seat.start + slot + (0.0 if style.down else max(0.0, (room - long) / 2))
        ink.line(style.at(u, seat.start), style.at(u, seat.end), width=labels.lead)
        _sleeve(ink, style, u, start, fills)
        x, y = style.at(u, start + long / 2)
        if style.down:
            _stack(ink, words, x + wide / 2 + AIR, y - 0.2 - (len(words) - 2) * LINE / 2, "start")
        else:
            for i, (t, s) in enumerate(words):
                up = y - wide / 2 - AIR - LINE * (len(words) - 1 - i)
                ink.texts.append(_label(x, up, t, s, "middle"))
        wire_at = (x + AIR, seat.start + 2.2) if style.down else (seat.start + AIR, y - AIR)
        _wire_texts(ink, labels, wire_at, wire_at)
        for foot, edge in ((item.up[0], seat.start), (item.down[0], seat.end)):
            _pin(ink, Foot(foot.net, foot.refs), style.at(u, edge), (0, 0), "start")
        return ink.symbol(item, "run", labels.title, (x, y))

    rows = LINE * len(words)
    if style.down:
        return Cell(item, slot + max(long, rows) + 1.0, 2.0, wide / 2 + room + 2 * AIR, 0.0, draw, "run")
    return Cell(item, slot + max(long, room) + 1.0, wide / 2 + AIR + rows, 2.0, 0.0, draw, "run")


def _sleeve(ink: Ink, style: Style, u: float, start: float, fills: Sequence[str]) -> None:
    """The sleeve: base colour over its whole length, second colour as two bands, always outlined."""
    wide, long = SLEEVE

    def box(a: float, b: float, fill: str, line: float) -> Stroke:
        half = wide / 2
        corners = ((u - half, a), (u + half, a), (u + half, b), (u - half, b))
        return Stroke(tuple(style.at(*p) for p in corners), line, closed=True, fill=fill)

    ink.strokes.append(box(start, start + long, fills[0] if fills else "#ffffff", THIN))
    if len(fills) > 1:
        ink.strokes.append(box(start + long * 0.2, start + long * 0.4, fills[1], 0.1))
        ink.strokes.append(box(start + long * 0.6, start + long * 0.8, fills[1], 0.1))


def block_cell(
    item: Item,
    lines: Sequence[str],
    labels: Labels,
    style: Style,
    kind: str,
    widths: Mapping[int, float] | None = None,
) -> Cell:
    """A box with lines of text and one pin a column: the supply, or the receiver with its output list."""
    head = [(labels.tag, TAG), *((line, TEXT) for line in lines)]
    room = max(shown_width(t, s) for t, s in head)
    tall = LINE * len(head) + 1.6
    ends = [*((foot, True) for foot in item.up), *((foot, False) for foot in item.down)]
    lead = 4.0 if style.down else 3.0 + max((width(f.label, SMALL) for f, _ in ends), default=0.0)
    inset = 3.0
    wire = 3.0 if labels.wire and style.down else (width(labels.wire, SMALL) + AIR if labels.wire else 0.0)
    deep = tall if style.down else room + 2.4

    def draw(seat: Seat) -> Symbol:
        ink, u0 = Ink(), seat.across[0]
        a = seat.start + (lead + wire if item.up else 0.0)
        b = seat.end - (lead if item.down else 0.0) if item.up and item.down else a + deep
        span = max(seat.across[-1] - u0 + 2 * inset, room + 2.4 if style.down else tall)
        box = ((u0 - inset, a), (u0 - inset + span, a), (u0 - inset + span, b), (u0 - inset, b))
        ink.strokes.append(Stroke(tuple(style.at(*p) for p in box), 0.35, closed=True))
        x, y = style.at(u0 - inset, a)
        _stack(ink, head, x + 1.2, y + TAG, "start")
        columns = {id(foot): seat.across[i] for side in (item.up, item.down) for i, foot in enumerate(side)}
        for foot, top in ends:
            u, edge, inner = columns[id(foot)], seat.start if top else seat.end, a if top else b
            ink.line(style.at(u, edge), style.at(u, inner), width=(widths or {}).get(foot.net, labels.lead))
            tx, ty = style.at(u, inner)
            if style.down:
                place = (tx - AIR, ty + (-0.8 if top else 2.2))
            else:
                place = (tx + (-AIR if top else AIR), ty - AIR)
            _pin(ink, foot, style.at(u, edge), place, "end" if style.down or top else "start")
        wire_at = (x + inset + AIR, seat.start + 2.2) if style.down else (seat.start + 0.4, y + inset - AIR)
        _wire_texts(ink, labels, wire_at, wire_at)
        return ink.symbol(item, kind, labels.title, style.at(u0, (a + b) / 2))

    sides = (1 if item.up else 0) + (1 if item.down else 0)
    length = deep + lead * sides + wire
    after = max(inset, (room + 2.4 if style.down else tall) - inset - 8.0 * (item.columns - 1)) + 1.0
    label = max((width(f.label, SMALL) for f, _ in ends), default=0.0) + 2 * AIR if style.down else 0.0
    return Cell(item, length, max(inset + 1.0, label), after, max(8.0, label + 1.0), draw, kind)


def bridge_cell(item: Item, shape: Shape, labels: Labels, style: Style) -> Cell:
    """A two-pin part between two paths: the symbol lies across, both leads go to the supply side."""
    lying = turned(shape, style.name)
    left, top, right, bottom = lying.bounds()
    first, second = list(lying.pins.values())[:2]
    words = [(labels.tag, TAG), *((line, TEXT) for line in labels.lines)]
    room = max((shown_width(t, s) for t, s in words if t), default=0.0)
    lead = 5.0

    def draw(seat: Seat) -> Symbol:
        ink = Ink()
        middle = math.fsum(seat.across) / 2
        if style.down:
            corner = (middle - CELL / 2, seat.start + lead - top)
        else:
            corner = (seat.start + lead - left, middle - CELL / 2)
        ink.shape(lying, corner, labels.lead)
        ordered = sorted((first, second), key=lambda p: p[0] if style.down else p[1])
        for foot, u, spot in zip(item.up, seat.across, ordered, strict=True):
            x, y = spot[0] + corner[0], spot[1] + corner[1]
            turn = style.at(u, y if style.down else x)
            ink.line(style.at(u, seat.start), turn, (x, y), width=labels.lead)
            text_at = (u - AIR, seat.start + 2.2) if style.down else (seat.start + 2.0, u - AIR)
            _pin(ink, foot, style.at(u, seat.start), text_at, "end" if style.down else "middle")
        if style.down:
            _stack(ink, words, seat.across[-1] + AIR + 1.0, corner[1] + top + 2.6, "start")
        else:
            _stack(ink, words, corner[0] + right + AIR, middle, "start")
        return ink.symbol(item, shape.id, labels.title, (corner[0] + CELL / 2, corner[1] + CELL / 2))

    if style.down:
        return Cell(item, lead + (bottom - top) + 2.0 + LINE, 5.0, room + 3.0, 12.0, draw, shape.id)
    return Cell(item, lead + (right - left) + room + 3.0, 3.0, 3.0 + LINE, 12.0, draw, shape.id)
