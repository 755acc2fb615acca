"""The drawing as a value: sheets with symbols, wires, dots and texts, in millimetres.

Origin top left, x to the right, y down. Every writer reads this value and adds
nothing of its own, so that SVG, PNG, PDF and text show the same thing.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field

XY = tuple[float, float]

THIN, MEDIUM, WIDE, BORDER = 0.25, 0.35, 0.5, 0.7  # line widths [mm]
LIVE, DEAD = 0.9, 0.13  # state view: energised and dead conductors [mm]
SMALL, TEXT, TAG, HEADING = 2.0, 2.5, 3.0, 4.0  # font sizes [mm]
INK, GREY = "#000000", "#8a8a8a"


@dataclass(frozen=True, slots=True)
class Stroke:
    """A polyline. dash: "" solid | "link" mechanical connection | "gone" removed as found."""

    points: tuple[XY, ...]
    width: float = THIN
    dash: str = ""
    closed: bool = False
    fill: str = "none"
    colour: str = INK


@dataclass(frozen=True, slots=True)
class Circle:
    x: float
    y: float
    r: float
    width: float = THIN
    fill: str = "none"
    colour: str = INK


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text. x, y: anchor on the base line; role says what it is, for readers of the SVG
    ("tag", "pin", "wire", "note", "xref", "field", "caution", "verdict", ...)."""

    x: float
    y: float
    text: str
    size: float = TEXT
    anchor: str = "start"  # start | middle | end
    bold: bool = False
    role: str = "note"
    colour: str = INK


@dataclass(frozen=True, slots=True)
class Pin:
    """Where a symbol is joined to wires. refs: what sits there, as (part, number of its pin from 1),
    or (terminal point, 0). label: the print of the terminal, "" where none is drawn."""

    refs: tuple[tuple[str, int], ...]
    x: float
    y: float
    label: str = ""


@dataclass(frozen=True, slots=True)
class Symbol:
    """A placed symbol. parts: the circuit's parts it stands for; gone: drawn grey, as found."""

    parts: tuple[str, ...]
    kind: str
    title: str
    pins: tuple[Pin, ...]
    strokes: tuple[Stroke, ...] = ()
    circles: tuple[Circle, ...] = ()
    texts: tuple[Text, ...] = ()
    gone: bool = False
    through: bool = False  # a terminal or reference: its pins are one point
    at: XY = (0.0, 0.0)  # the middle of the symbol, for cross-references


@dataclass(frozen=True, slots=True)
class Wire:
    """A straight piece of conductor."""

    a: XY
    b: XY
    width: float = THIN
    gone: bool = False


@dataclass(frozen=True, slots=True)
class Dot:
    x: float
    y: float
    gone: bool = False


@dataclass(frozen=True, slots=True)
class Layer:
    """Drawing matter without a frame, before it is set on a sheet."""

    symbols: tuple[Symbol, ...] = ()
    wires: tuple[Wire, ...] = ()
    dots: tuple[Dot, ...] = ()
    strokes: tuple[Stroke, ...] = ()
    circles: tuple[Circle, ...] = ()
    texts: tuple[Text, ...] = ()


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet of paper. width, height [mm]; frame: border, zones, title block, boxes."""

    number: int
    name: str
    width: float
    height: float
    body: Layer
    frame: Layer


@dataclass(frozen=True, slots=True)
class Rung:
    """One line of the text ladder: a chain of parts between two named nodes."""

    start: str
    parts: tuple[str, ...]
    end: str


@dataclass(frozen=True, slots=True)
class Block:
    """A titled run of lines for the text writer: ladder, list, box."""

    title: str
    rungs: tuple[Rung, ...] = ()
    lines: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Drawing:
    """A finished drawing. spare: contacts that lead nowhere and stand in a list, not in the picture;
    about: "before" | "after" | "both"; blocks: the same matter for the text writer."""

    title: str
    description: str
    symbols: str  # iec | us
    kind: str  # circuit | connections | legend
    sheets: tuple[Sheet, ...]
    about: str = "after"
    spare: tuple[str, ...] = ()
    blocks: tuple[Block, ...] = field(default=())
    date: datetime.date | None = None
