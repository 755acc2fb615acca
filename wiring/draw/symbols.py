"""Symbol shapes: read from the catalog's symbol tables, and which shape a part gets.

A shape lives in a cell of 10 x 10 mm. After IEC practice current runs down
through x = 5, after US practice to the right through y = 5.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from wiring.draw.parts import THIN, WIDE, XY, Circle, Stroke, Text
from wiring.draw.shift import text_box
from wiring.files import load_catalog
from wiring.model.circuit import Circuit, Part

CELL = 10.0
AXIS = 5.0
PRACTICE = {"iec": "after IEC 60617 practice", "us": "after US ladder practice"}


@dataclass(frozen=True, slots=True)
class Shape:
    """Lines of one symbol in its cell. pins: terminal to place on the cell edge."""

    id: str
    name: str
    basis: str
    source: str
    pins: Mapping[str, XY]
    strokes: tuple[Stroke, ...]
    circles: tuple[Circle, ...]
    texts: tuple[Text, ...]

    def bounds(self) -> tuple[float, float, float, float]:
        """Left, top, right, bottom of what is drawn and written, within the cell's coordinates."""
        xs = [x for stroke in self.strokes for x, _ in stroke.points]
        ys = [y for stroke in self.strokes for _, y in stroke.points]
        for c in self.circles:
            xs += [c.x - c.r, c.x + c.r]
            ys += [c.y - c.r, c.y + c.r]
        for t in self.texts:
            left, top, right, bottom = text_box(t)
            xs += [left, right]
            ys += [top, bottom]
        return min(xs), min(ys), max(xs), max(ys)


@functools.cache
def shapes(style: str) -> Mapping[str, Shape]:
    """All shapes of one style. Raises KeyError for a style without a table."""
    table = load_catalog().tables[f"symbols-{style}"]
    return {id: _shape(id, {k: str(v) for k, v in row.items()}) for id, row in table.rows.items()}


def _shape(id: str, row: Mapping[str, str]) -> Shape:
    strokes: list[Stroke] = []
    circles: list[Circle] = []
    texts: list[Text] = []
    for prim in row["prims"].split(";"):
        _read(prim.strip(), strokes, circles, texts)
    pins = {}
    for entry in filter(None, row["terminals"].split(";")):
        name, _, place = entry.strip().partition("=")
        pins[name] = _xy(place)
    return Shape(
        id, row["name"], row["shape_basis"], row["shape_source"], pins,
        tuple(strokes), tuple(circles), tuple(texts),
    )  # fmt: skip


def _xy(text: str) -> XY:
    x, y = text.split(",")
    return float(x), float(y)


def _read(prim: str, strokes: list[Stroke], circles: list[Circle], texts: list[Text]) -> None:
    """One primitive of the table's short form into lines, circles or text."""
    kind, *rest = prim.split()
    if kind in ("L", "W", "D"):
        points = tuple(_xy(p) for p in rest)
        strokes.append(Stroke(points, WIDE if kind == "W" else THIN, "link" if kind == "D" else ""))
    elif kind == "P":
        strokes.append(Stroke(tuple(_xy(p) for p in rest), closed=True))
    elif kind in ("R", "RF", "DR"):
        (x, y), (w, h) = _xy(rest[0]), _xy(rest[1])
        box = ((x, y), (x + w, y), (x + w, y + h), (x, y + h))
        strokes.append(
            Stroke(
                box,
                closed=True,
                dash="link" if kind == "DR" else "",
                fill="#000000" if kind == "RF" else "none",
            )
        )
    elif kind in ("C", "F"):
        x, y = _xy(rest[0])
        circles.append(Circle(x, y, float(rest[1]), fill="#000000" if kind == "F" else "none"))
    elif kind == "A":
        strokes.append(Stroke(_arc(_xy(rest[0]), float(rest[1]), float(rest[2]), float(rest[3]))))
    elif kind == "T":
        x, y = _xy(rest[0])
        size = max(float(rest[1]), 1.8)
        texts.append(Text(x, y + 0.36 * size, " ".join(rest[2:]), size, "middle", role="mark"))
    else:
        raise ValueError(f"unknown primitive {kind!r} in a symbol table")


def _arc(centre: XY, r: float, start: float, end: float) -> tuple[XY, ...]:
    """An arc as a polyline, a corner every 15 degrees; angles clockwise from +x on a page with y down."""
    steps = max(2, math.ceil(abs(end - start) / 15))
    angles = [math.radians(start + (end - start) * i / steps) for i in range(steps + 1)]
    return tuple(
        (round(centre[0] + r * math.cos(a), 3), round(centre[1] + r * math.sin(a), 3)) for a in angles
    )


def turned(shape: Shape, style: str) -> Shape:
    """The shape for a path across the usual one: a quarter turn, text upright."""

    def turn(p: XY) -> XY:
        return (p[1], CELL - p[0]) if style == "iec" else (CELL - p[1], p[0])

    def turn_text(t: Text) -> Text:
        x, y = turn((t.x, t.y - 0.36 * t.size))
        return Text(x, y + 0.36 * t.size, t.text, t.size, t.anchor, t.bold, t.role)

    return Shape(
        shape.id, shape.name, shape.basis, shape.source,
        {name: turn(at) for name, at in shape.pins.items()},
        tuple(replace(s, points=tuple(turn(p) for p in s.points)) for s in shape.strokes),
        tuple(Circle(*turn((c.x, c.y)), c.r, c.width, c.fill) for c in shape.circles),
        tuple(turn_text(t) for t in shape.texts),
    )  # fmt: skip


def shape_id(part: Part, circuit: Circuit, style: str, step: bool = False) -> str:
    """The shape a part is drawn with. Raises KeyError for a kind that has none."""
    if part.kind in ("contact", "semiconductor"):
        return _contact(part, circuit, style)
    if part.kind == "wire":
        pole = "plug_socket" if "plug" in part.name else "jumper"
        return {"heater": "ol_element"}.get(part.role, pole)
    if part.kind == "suppressor":
        return {"rc": "rc_suppressor", "varistor": "varistor", "diode": "diode"}.get(part.rect, "bleeder")
    if part.kind == "winding":
        alone = any(m.kind == "dc-permanent-magnet" and part.name in m.parts for m in circuit.motors)
        return "motor_dc_pm" if alone else "winding"
    fixed = {
        "fuse": "fuse", "coil": "coil", "motor3": "motor_3ph", "capacitor": "capacitor",
        "brake": "brake_spring",
        "transformer": "transformer", "rectifier": "rectifier", "load": "load", "drive-input": "drive_input",
        "supply-input": "receiver",
    }  # fmt: skip
    return fixed[part.kind]


def _contact(part: Part, circuit: Circuit, style: str) -> str:
    closed = part.form == "NC"
    cause = part.by.partition(":")[0]
    if part.kind == "semiconductor":
        return "contact_solid"
    if cause == "coil" and part.role == "power":
        return "contact_pole_nc" if closed else "contactor_pole"
    if cause in ("button", "key"):
        return "pb_nc" if closed else "pb_no"
    if cause == "limit":
        kinds = {limit.kind for limit in circuit.limits if limit.input == part.by}
        if closed and kinds & {"back-up", "capacity"}:
            return "overtravel"
        if closed and "slack-rope" in kinds:
            return "slack_rope"
        return "limit_nc" if closed else "limit_no"
    if cause == "thermal":
        coil = any(other.role == "heater" and other.owner == part.owner for other in circuit.parts)
        return ("ol_contact_nc" if coil else "motor_thermal_cutout") if closed else "contact_no"
    if cause == "stop":
        return _stop_contact(part, circuit, style)
    if cause == "selector":
        return "selector_nc" if closed else "selector_no"
    return "contact_nc" if closed else "contact_no"


def _stop_contact(part: Part, circuit: Circuit, style: str) -> str:
    kinds = [stop.kind for stop in circuit.stops if stop.input == part.by]
    kind = kinds[0] if kinds else ""
    if kind == "plug":
        return "plug_socket"
    if kind == "isolator":
        return "switch_disconnector" if style == "iec" else "disconnect"
    if kind == "breaker":
        return "breaker"
    return "estop_latch_nc" if part.form == "NC" else "pb_no"
