"""Drawing faults for the geometry test: each spoils an SVG the way a slip of the hand would."""

from __future__ import annotations

import random
import re
from xml.etree import ElementTree as ET

NS = "{http://www.w3.org/2000/svg}"
STEP = 2.5
FAULTS = (
    "wire end moved",
    "dot dropped",
    "pin prints swapped",
    "wire lost",
    "dot on a crossing",
    "symbol shifted",
    "two parts exchanged",
    "wire doubled aside",
)


def plant(svg: str, fault: str, chance: random.Random) -> str | None:
    """The SVG with one fault, or None where it has no place for it."""
    ET.register_namespace("", NS[1:-1])
    root = ET.fromstring(svg)
    done = _PLANTERS[fault](root, chance)
    return ET.tostring(root, encoding="unicode") if done else None


def _wires(root: ET.Element) -> list[ET.Element]:
    return [s for g in root.iter(f"{NS}g") if g.get("class") == "wires" for s in g if s.tag == f"{NS}path"]


def _symbols(root: ET.Element) -> list[ET.Element]:
    return [g for g in root.iter(f"{NS}g") if (g.get("class") or "") == "symbol"]


def _numbers(shape: ET.Element) -> list[float]:
    return [float(n) for n in re.findall(r"-?\d+\.?\d*", shape.get("d") or "")]


def _path(points: list[float]) -> str:
    pairs = [f"{x},{y}" for x, y in zip(points[::2], points[1::2], strict=True)]
    return "M " + " L ".join(pairs)


def _move_end(root: ET.Element, chance: random.Random) -> bool:
    shape = chance.choice(_wires(root))
    n = _numbers(shape)
    level = abs(n[1] - n[-1]) < 0.01
    n[-2 if level else -1] += STEP * chance.choice((-1, 1))
    shape.set("d", _path(n))
    return True


def _drop_dot(root: ET.Element, chance: random.Random) -> bool:
    groups = [g for g in root.iter(f"{NS}g") if g.get("class") == "dots" and len(g)]
    if not groups:
        return False
    groups[0].remove(chance.choice(list(groups[0])))
    return True


def _swap_prints(root: ET.Element, chance: random.Random) -> bool:
    texts = [[t for t in g.iter(f"{NS}text") if t.get("class") == "pin"] for g in _symbols(root)]
    able = [found for found in texts if len(found) > 1 and found[0].text != found[1].text]
    if not able:
        return False
    a, b = chance.sample(chance.choice(able), 2)
    a.text, b.text = b.text, a.text
    return True


def _lose_wire(root: ET.Element, chance: random.Random) -> bool:
    group = next(g for g in root.iter(f"{NS}g") if g.get("class") == "wires")
    group.remove(chance.choice([s for s in group if s.tag == f"{NS}path"]))
    return True


def _dot_on_crossing(root: ET.Element, chance: random.Random) -> bool:
    lines = [_numbers(s) for s in _wires(root)]
    places = []
    for a in lines:
        for b in lines:
            if abs(a[1] - a[-1]) < 0.01 and abs(b[0] - b[-2]) < 0.01:
                x, y = b[0], a[1]
                if (
                    min(a[0], a[-2]) + 1 < x < max(a[0], a[-2]) - 1
                    and min(b[1], b[-1]) + 1 < y < max(b[1], b[-1]) - 1
                ):
                    places.append((x, y))
    dots = [g for g in root.iter(f"{NS}g") if g.get("class") == "dots"]
    taken = {(float(c.get("cx") or 0), float(c.get("cy") or 0)) for g in dots for c in g}
    free = [p for p in places if all(abs(p[0] - t[0]) + abs(p[1] - t[1]) > 0.1 for t in taken)]
    if not free or not dots:
        return _lose_wire(root, chance)  # a sheet without a crossing
    x, y = chance.choice(free)
    ET.SubElement(dots[0], f"{NS}circle", {"cx": f"{x}", "cy": f"{y}", "r": "0.6"})
    return True


def _shift_symbol(root: ET.Element, chance: random.Random) -> bool:
    group = chance.choice([g for g in _symbols(root) if len([c for c in g.iter() if c.get("data-pin")]) > 1])
    for node in group.iter():
        if node.tag == f"{NS}path":
            n = _numbers(node)
            n[::2] = [x + STEP for x in n[::2]]
            node.set("d", _path(n))
        elif node.get("data-pin"):
            node.set("cx", f"{float(node.get('cx') or 0) + STEP}")
    return True


def _exchange(root: ET.Element, chance: random.Random) -> bool:
    """Two contacts trade their names: the ink stays, the sheet now tells another circuit."""
    able = [g for g in _symbols(root) if len([c for c in g.iter() if c.get("data-pin")]) == 2]
    a, b = chance.sample([g for g in able if g.get("data-kind") not in ("terminal", "run")], 2)
    for g, h in ((a, b), (b, a)):
        g.set("swap", h.get("data-part") or "")
    for g in (a, b):
        old, new = g.get("data-part") or "", g.attrib.pop("swap")
        g.set("data-part", new)
        for node in g.iter():
            if node.get("data-pin"):
                node.set("data-pin", (node.get("data-pin") or "").replace(old, new))
    return True


def _double_aside(root: ET.Element, chance: random.Random) -> bool:
    """A wire drawn a second time one step aside: its ends touch nothing or the wrong thing."""
    shape = chance.choice([s for s in _wires(root) if abs(_numbers(s)[0] - _numbers(s)[-2]) < 0.01])
    n = _numbers(shape)
    shape.set("d", _path([x + (STEP if i % 2 == 0 else 0.0) for i, x in enumerate(n)]))
    return True


_PLANTERS = {
    "wire end moved": _move_end,
    "dot dropped": _drop_dot,
    "pin prints swapped": _swap_prints,
    "wire lost": _lose_wire,
    "dot on a crossing": _dot_on_crossing,
    "symbol shifted": _shift_symbol,
    "two parts exchanged": _exchange,
    "wire doubled aside": _double_aside,
}
