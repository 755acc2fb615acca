"""The SVG writer: one picture a sheet, sheets below each other; text as text; same bytes every time."""

from __future__ import annotations

from xml.etree import ElementTree as ET

from wiring.draw.parts import GREY, Circle, Drawing, Layer, Sheet, Stroke, Symbol, Text, Wire
from wiring.draw.schem import SVG, Page, font, written
from wiring.draw.words import clean

DOT = 0.6  # radius of a junction [mm]
BETWEEN = 10.0  # between sheets [mm]


def svg(drawing: Drawing, sheet: int | None = None) -> str:
    """The drawing as SVG text; `sheet` (from 1) picks one sheet, None stacks all.

    Raises ValueError for a drawing without sheets or a sheet number it does not have.
    """
    chosen = [s for s in drawing.sheets if sheet is None or s.number == sheet]
    if not chosen:
        raise ValueError("no such sheet" if drawing.sheets else "a drawing without sheets cannot be written")
    wide = max(s.width for s in chosen)
    high = sum(s.height for s in chosen) + BETWEEN * (len(chosen) - 1)
    page = Page(wide, high)
    root = page.root
    root.set("xmlns", SVG)
    root.set("width", f"{wide}mm")
    root.set("height", f"{high}mm")
    root.set("viewBox", f"0 0 {wide} {high}")
    root.set("role", "img")
    root.set("aria-labelledby", "drawing-title drawing-text")
    root.set("font-family", font())
    ET.SubElement(root, "title", {"id": "drawing-title"}).text = clean(drawing.title)
    ET.SubElement(root, "desc", {"id": "drawing-text"}).text = clean(drawing.description)
    top = 0.0
    for each in chosen:
        node = ET.SubElement(root, "g", {"class": "sheet", "data-sheet": str(each.number)})
        if top:
            node.set("transform", f"translate(0,{top:g})")
        _sheet(page, node, each)
        top += each.height + BETWEEN
    return written(root)


def _sheet(page: Page, node: ET.Element, sheet: Sheet) -> None:
    ET.SubElement(
        node, "rect",
        {"x": "0", "y": "0", "width": f"{sheet.width}", "height": f"{sheet.height}", "fill": "#ffffff"},
    )  # fmt: skip
    _layer(page, node, sheet.frame, "frame")
    body = ET.SubElement(node, "g", {"class": "body"})
    for gone in (True, False):
        wires = [w for w in sheet.body.wires if w.gone is gone]
        if wires:
            name = "wires gone" if gone else "wires"
            page.group(body, {"class": name}, strokes=tuple(_line(w) for w in wires), cap="round")
    for symbol in sheet.body.symbols:
        _symbol(page, body, symbol)
    for gone in (True, False):
        dots = [d for d in sheet.body.dots if d.gone is gone]
        if dots:
            colour = GREY if gone else "#000000"
            circles = tuple(Circle(d.x, d.y, DOT, 0.1, colour, colour) for d in dots)
            page.group(body, {"class": "dots gone" if gone else "dots"}, circles=circles)
    _layer(
        page,
        body,
        Layer(strokes=sheet.body.strokes, circles=sheet.body.circles, texts=sheet.body.texts),
        "notes",
    )


def _layer(page: Page, node: ET.Element, layer: Layer, name: str) -> None:
    if layer.strokes or layer.circles or layer.texts:
        page.group(node, {"class": name}, "", layer.strokes, layer.circles, layer.texts)


def _line(wire: Wire) -> Stroke:
    return Stroke(
        (wire.a, wire.b), wire.width, "gone" if wire.gone else "", colour=GREY if wire.gone else "#000000"
    )


def _symbol(page: Page, parent: ET.Element, symbol: Symbol) -> None:
    """One symbol as a group. data-part and data-pin name part and pin only, never what they are joined to."""
    attributes = {
        "class": "symbol gone" if symbol.gone else "symbol",
        "data-part": " ".join(symbol.parts),
        "data-kind": symbol.kind,
    }
    if symbol.through:
        attributes["data-through"] = "yes"
    strokes, circles, texts = symbol.strokes, symbol.circles, symbol.texts
    if symbol.gone:
        strokes = tuple(Stroke(s.points, s.width, s.dash or "gone", s.closed, s.fill, GREY) for s in strokes)
        circles = tuple(Circle(c.x, c.y, c.r, c.width, c.fill, GREY) for c in circles)
        texts = tuple(Text(t.x, t.y, t.text, t.size, t.anchor, t.bold, t.role, GREY) for t in texts)
    node = page.group(parent, attributes, symbol.title, strokes, circles, texts)
    for pin in symbol.pins:
        refs = " ".join(f"{name}#{number}" for name, number in pin.refs)
        ET.SubElement(
            node, "circle",
            {"cx": f"{pin.x}", "cy": f"{pin.y}", "r": "0.1", "fill": "none", "data-pin": refs},
        )  # fmt: skip
