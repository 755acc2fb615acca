"""The one place that knows the schematic library: our symbols become its elements, its figure becomes SVG.

Its traps are handled here and nowhere else: optional packages that slow its
import or change its geometry are kept out, text stays text, labels are cleaned
before it sees them, one figure is filled element by element (its drawing
stack is shared between threads), and numbers are rounded on the way out.
"""

from __future__ import annotations

import importlib
import re
import sys
from functools import lru_cache
from types import ModuleType
from typing import Any
from xml.etree import ElementTree as ET

from wiring.draw.parts import Circle, Stroke, Text
from wiring.draw.words import FACE, clean

SVG = "http://www.w3.org/2000/svg"
UNWANTED = ("matplotlib", "ziamath", "ziafont")
DASHES = {"link": "1.6 0.8", "gone": "2.4 1.0"}
NUMBER = re.compile(r"-?\d+\.\d+(?:e-?\d+)?")
PT_PER_IN = 72.0

_loaded: dict[str, Any] = {}


def library() -> dict[str, Any]:
    """The library's parts we use, loaded once without its optional companions."""
    if not _loaded:
        hidden = {name: sys.modules.get(name) for name in UNWANTED}
        for name in UNWANTED:
            if hidden[name] is None:
                sys.modules[name] = None  # type: ignore[assignment]
        try:
            backend: ModuleType = importlib.import_module("schemdraw.backends.svg")
            elements = importlib.import_module("schemdraw.elements.elements")
            segments = importlib.import_module("schemdraw.segments")
            types = importlib.import_module("schemdraw.types")
        finally:
            for name in UNWANTED:
                if hidden[name] is None:
                    sys.modules.pop(name, None)
        backend.ziamath = None  # type: ignore[attr-defined]
        backend.config.text = "text"
        _loaded.update(
            Figure=backend.Figure, Element=elements.Element, Segment=segments.Segment,
            SegmentCircle=segments.SegmentCircle, BBox=types.BBox,
        )  # fmt: skip
    return _loaded


class Page:
    """One figure of the library in millimetres; elements are added one at a time, each as a group."""

    def __init__(self, width: float, height: float) -> None:
        lib = library()
        box = lib["BBox"](0.0, -height, width, 0.0)
        self._figure = lib["Figure"](box, inches_per_unit=1 / PT_PER_IN, margin=0.0)
        self.width, self.height = width, height
        self.root = ET.Element("svg")

    def group(
        self,
        parent: ET.Element,
        attributes: dict[str, str],
        title: str = "",
        strokes: tuple[Stroke, ...] = (),
        circles: tuple[Circle, ...] = (),
        texts: tuple[Text, ...] = (),
        cap: str = "butt",
    ) -> ET.Element:
        """Draw one element and put its shapes into a group of their own."""
        node = ET.SubElement(parent, "g", attributes)
        if title:
            ET.SubElement(node, "title").text = clean(title)
        self._draw(node, strokes, circles, cap)
        for text in texts:
            node.append(text_node(text))
        return node

    def _draw(
        self, node: ET.Element, strokes: tuple[Stroke, ...], circles: tuple[Circle, ...], cap: str
    ) -> None:
        if not strokes and not circles:
            return
        lib = library()
        element = lib["Element"]()
        for s in strokes:
            points = [(x, -y) for x, y in s.points]
            if s.closed:
                points.append(points[0])
            element.segments.append(
                lib["Segment"](
                    points, color=s.colour, lw=s.width, ls=DASHES.get(s.dash, "-"), fill=s.fill,
                    capstyle=cap, joinstyle="miter", zorder=2,
                )
            )  # fmt: skip
        for c in circles:
            element.segments.append(
                lib["SegmentCircle"](
                    (c.x, -c.y), c.r, color=c.colour, lw=c.width, ls="-", fill=c.fill, zorder=3
                )
            )
        drawn = self._figure.svgelements
        before = len(drawn)
        element._place((0, 0), 0)
        element._draw(self._figure)
        fresh = drawn[before:]
        del drawn[before:]
        node.extend(shape for _, shape in sorted(fresh, key=lambda pair: pair[0]))


def text_node(text: Text) -> ET.Element:
    """A text element: the pinned face, plain characters, no markup of any kind."""
    node = ET.Element(
        "text",
        {
            "x": f"{text.x}",
            "y": f"{text.y}",
            "font-size": f"{text.size}",
            "text-anchor": text.anchor,
            "class": text.role,
            "fill": text.colour,
        },
    )
    if text.bold:
        node.set("font-weight", "bold")
    node.text = clean(text.text)
    return node


def written(root: ET.Element) -> str:
    """SVG text with every number of its geometry rounded to two digits and plain attributes for style."""
    for node in root.iter():
        for key, value in list(node.attrib.items()):
            if key == "style":
                _plain_style(node, value)
            elif key in GEOMETRY:
                node.set(key, _rounded(value))
    ET.indent(root, space=" ")
    return ET.tostring(root, encoding="unicode") + "\n"


GEOMETRY = {
    "d",
    "x",
    "y",
    "cx",
    "cy",
    "r",
    "rx",
    "ry",
    "points",
    "font-size",
    "x1",
    "x2",
    "y1",
    "y2",
    "width",
    "height",
    "viewBox",
}
STYLE_KEYS = ("stroke", "fill", "stroke-width", "stroke-dasharray", "stroke-linecap", "stroke-linejoin")
DEFAULTS = {"stroke-linejoin": "miter", "stroke-linecap": "butt"}


def _plain_style(node: ET.Element, style: str) -> None:
    """Style declarations as attributes; the library's solid dash `-` is no value and goes."""
    del node.attrib["style"]
    for entry in filter(None, style.split(";")):
        key, _, value = entry.partition(":")
        if value == "-" or DEFAULTS.get(key) == value or key not in STYLE_KEYS:
            continue
        node.set(key, _rounded(value) if key in ("stroke-width", "stroke-dasharray") else value)


@lru_cache(8192)
def _rounded(text: str) -> str:
    def one(match: re.Match[str]) -> str:
        number = round(float(match.group()), 2) + 0.0
        return f"{number:.2f}".rstrip("0").rstrip(".") or "0"

    return NUMBER.sub(one, text).replace("-0 ", "0 ")


def font() -> str:
    """The face every text is set in."""
    return FACE
