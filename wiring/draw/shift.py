"""Moving and scaling drawing matter, and the box it fills."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from wiring.draw.parts import XY, Circle, Dot, Layer, Pin, Stroke, Symbol, Text, Wire
from wiring.draw.words import ASCENT, DESCENT, width

Box = tuple[float, float, float, float]


def moved(layer: Layer, dx: float, dy: float, scale: float = 1.0) -> Layer:
    """The layer scaled about its origin, then moved. Texts and lines scale with it."""

    def p(x: float, y: float) -> XY:
        return (round(x * scale + dx, 2), round(y * scale + dy, 2))

    def stroke(s: Stroke) -> Stroke:
        points = tuple([p(*q) for q in s.points])
        return Stroke(points, s.width, s.dash, s.closed, s.fill, s.colour)

    def circle(c: Circle) -> Circle:
        x, y = p(c.x, c.y)
        return Circle(x, y, c.r * scale, c.width, c.fill, c.colour)

    def text(t: Text) -> Text:
        x, y = p(t.x, t.y)
        return Text(x, y, t.text, t.size * scale, t.anchor, t.bold, t.role, t.colour)

    def pin(n: Pin) -> Pin:
        x, y = p(n.x, n.y)
        return Pin(n.refs, x, y, n.label)

    def symbol(s: Symbol) -> Symbol:
        return replace(
            s,
            pins=tuple(pin(n) for n in s.pins),
            strokes=tuple(stroke(k) for k in s.strokes),
            circles=tuple(circle(c) for c in s.circles),
            texts=tuple(text(t) for t in s.texts),
            at=p(*s.at),
        )

    return Layer(
        tuple(symbol(s) for s in layer.symbols),
        tuple(Wire(p(*w.a), p(*w.b), w.width, w.gone) for w in layer.wires),
        tuple(Dot(*p(d.x, d.y), d.gone) for d in layer.dots),
        tuple(stroke(k) for k in layer.strokes),
        tuple(circle(c) for c in layer.circles),
        tuple(text(t) for t in layer.texts),
    )


def joined(*layers: Layer) -> Layer:
    """Several layers as one."""
    return Layer(
        tuple(s for layer in layers for s in layer.symbols),
        tuple(w for layer in layers for w in layer.wires),
        tuple(d for layer in layers for d in layer.dots),
        tuple(k for layer in layers for k in layer.strokes),
        tuple(c for layer in layers for c in layer.circles),
        tuple(t for layer in layers for t in layer.texts),
    )


def text_box(t: Text) -> Box:
    """The box a text fills, by our own width rule."""
    wide = width(t.text, t.size)
    left = t.x - {"start": 0.0, "middle": wide / 2, "end": wide}[t.anchor]
    return left, t.y - ASCENT * t.size, left + wide, t.y + DESCENT * t.size


def extent(layer: Layer) -> Box:
    """The box the layer fills; (0, 0, 0, 0) for an empty one."""
    found = list(boxes(layer))
    if not found:
        return (0.0, 0.0, 0.0, 0.0)
    return (
        min(b[0] for b in found),
        min(b[1] for b in found),
        max(b[2] for b in found),
        max(b[3] for b in found),
    )


def boxes(layer: Layer) -> Iterator[Box]:
    """The box of every line, circle and text of a layer."""
    for w in layer.wires:
        yield min(w.a[0], w.b[0]), min(w.a[1], w.b[1]), max(w.a[0], w.b[0]), max(w.a[1], w.b[1])
    sources: tuple[Layer | Symbol, ...] = (layer, *layer.symbols)
    for source in sources:
        for s in source.strokes:
            xs, ys = [x for x, _ in s.points], [y for _, y in s.points]
            yield min(xs), min(ys), max(xs), max(ys)
        for c in source.circles:
            yield c.x - c.r, c.y - c.r, c.x + c.r, c.y + c.r
        for t in source.texts:
            yield text_box(t)
