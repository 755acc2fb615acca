"""Labels that meet: texts over each other, over wires, over other symbols, or outside their sheet."""

from __future__ import annotations

from collections.abc import Iterator

from wiring.draw.parts import Drawing, Layer, Sheet, Symbol, Text
from wiring.draw.shift import Box, text_box

SLACK = 0.25  # boxes may share this much [mm]


def clashes(drawing: Drawing) -> list[str]:
    """Every clash on every sheet, in words; [] for a clean drawing."""
    return [problem for sheet in drawing.sheets for problem in _sheet(sheet)]


def _sheet(sheet: Sheet) -> Iterator[str]:
    texts = list(_texts(sheet))
    boxes = [(text, text_box(text)) for text in texts]
    for text, box in boxes:
        if box[0] < 0 or box[1] < 0 or box[2] > sheet.width or box[3] > sheet.height:
            yield f"sheet {sheet.number}: {text.text!r} leaves the paper"
    for i, (text, box) in enumerate(boxes):
        for other, second in boxes[i + 1 :]:
            if _meet(box, second):
                yield f"sheet {sheet.number}: {text.text!r} over {other.text!r} at {box[:2]}"
    for text, box in boxes:
        for line in _lines(sheet.body):
            if _meet(_less(box), line):
                yield f"sheet {sheet.number}: a line runs through {text.text!r} at {line}"


def _texts(sheet: Sheet) -> Iterator[Text]:
    for layer in (sheet.frame, sheet.body):
        yield from layer.texts
        for symbol in layer.symbols:
            yield from symbol.texts


def _lines(layer: Layer) -> Iterator[Box]:
    for wire in layer.wires:
        (ax, ay), (bx, by) = wire.a, wire.b
        yield min(ax, bx), min(ay, by), max(ax, bx), max(ay, by)
    for symbol in layer.symbols:
        yield from _upright(symbol)
    for stroke in layer.strokes:
        (ax, ay), (bx, by) = stroke.points[0], stroke.points[-1]
        yield min(ax, bx), min(ay, by), max(ax, bx), max(ay, by)


def _upright(symbol: Symbol) -> Iterator[Box]:
    """Level and upright lines of a symbol; a text may stand inside a box or on a slope of its own."""
    for stroke in symbol.strokes:
        if stroke.dash or stroke.closed:
            continue
        for (ax, ay), (bx, by) in zip(stroke.points, stroke.points[1:], strict=False):
            if abs(ax - bx) < 0.01 or abs(ay - by) < 0.01:
                yield min(ax, bx), min(ay, by), max(ax, bx), max(ay, by)


def _less(box: Box) -> Box:
    """The box of the letters themselves, without the room for tails that capitals leave free."""
    high = box[3] - box[1]
    return box[0] + 0.1, box[1] + 0.12 * high, box[2] - 0.1, box[3] - 0.26 * high


def _meet(a: Box, b: Box) -> bool:
    return (
        a[0] < b[2] - SLACK and b[0] < a[2] - SLACK and a[1] < b[3] - SLACK and b[1] < a[3] - SLACK
    ) or _crosses(a, b)


def _crosses(a: Box, b: Box) -> bool:
    """A line has no width: it crosses a box when it runs through its inside."""
    flat = b[2] - b[0] < 0.01 or b[3] - b[1] < 0.01
    return flat and a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
