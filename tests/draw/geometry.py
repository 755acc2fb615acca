"""An independent reader of our SVG: what is joined to what, by geometry alone.

Reads lines, dots, pin marks and printed texts, and knows nothing of how the
sheet was made. The rules of the reader are those of a person: a dot joins
whatever runs through it; two line ends that meet are a corner; a line end on
a pin is landed; everything else that merely crosses or touches is not joined,
and touching without a dot is reported as a problem.
"""

from __future__ import annotations

import itertools
import math
import re
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from xml.etree import ElementTree as ET

NS = "{http://www.w3.org/2000/svg}"
NEAR = 0.03  # two places closer than this are one [mm]
Ref = tuple[str, int]
XY = tuple[float, float]


@dataclass
class PinMark:
    refs: tuple[Ref, ...]
    at: XY
    symbol: int
    printed: str = ""


@dataclass
class Reading:
    """What the sheet says. nets: groups of refs; problems: anything a person could misread."""

    nets: set[frozenset[Ref]]
    pins: list[PinMark]
    parts: set[str]
    problems: list[str] = field(default_factory=list)


def read(svg: str, gone: bool = False) -> Reading:
    """Read a drawing; `gone` reads the grey part instead of the live one."""
    root = ET.fromstring(svg)
    pins: list[PinMark] = []
    parts: set[str] = set()
    sets = _Sets()
    problems: list[str] = []
    for number, sheet in enumerate(root.iter(f"{NS}g")):
        if sheet.get("class") == "sheet":
            _sheet(sheet, number * 10_000, gone, pins, parts, sets, problems)
    groups: dict[object, set[Ref]] = defaultdict(set)
    for pin in pins:
        for ref in pin.refs:
            if not ref[0].startswith("reference "):
                groups[sets.find(("ref", ref))].add(ref)
    parts = {name for name in parts if not name.startswith("reference")}
    return Reading({frozenset(group) for group in groups.values()}, pins, parts, problems)


def _sheet(
    sheet: ET.Element,
    base: int,
    gone: bool,
    pins: list[PinMark],
    parts: set[str],
    sets: _Sets,
    problems: list[str],
) -> None:
    lines = list(_lines(sheet, gone))
    dots = list(_dots(sheet, gone))
    fresh: list[PinMark] = []
    for index, group in enumerate(sheet.iter(f"{NS}g")):
        if (group.get("class") or "").split()[:1] == ["symbol"] and (
            "gone" in (group.get("class") or "")
        ) is gone:
            _symbol(group, base + index, fresh, parts, sets, problems)
    _land(base, lines, dots, fresh, sets, problems)
    pins += fresh


def _lines(sheet: ET.Element, gone: bool) -> Iterable[tuple[XY, XY]]:
    for group in sheet.iter(f"{NS}g"):
        words = (group.get("class") or "").split()
        if words[:1] == ["wires"] and ("gone" in words) is gone:
            for shape in group:
                if shape.tag == f"{NS}path":
                    numbers = [float(n) for n in re.findall(r"-?\d+\.?\d*", shape.get("d") or "")]
                    points = list(zip(numbers[::2], numbers[1::2], strict=True))
                    yield from itertools.pairwise(points)


def _dots(sheet: ET.Element, gone: bool) -> Iterable[XY]:
    for group in sheet.iter(f"{NS}g"):
        words = (group.get("class") or "").split()
        if words[:1] == ["dots"] and ("gone" in words) is gone:
            for shape in group:
                if shape.tag == f"{NS}circle":
                    yield float(shape.get("cx") or "nan"), float(shape.get("cy") or "nan")


def _symbol(
    group: ET.Element, index: int, pins: list[PinMark], parts: set[str], sets: _Sets, problems: list[str]
) -> None:
    """Pins of one symbol, the print nearest to each, and ink under every pin."""
    name = group.get("data-part") or "?"
    parts.update([name] if name.startswith("reference") else name.split())
    mine: list[PinMark] = []
    for mark in group.iter(f"{NS}circle"):
        if mark.get("data-pin"):
            refs = tuple(_ref(word) for word in _words(mark.get("data-pin") or ""))
            mine.append(PinMark(refs, (float(mark.get("cx") or 0), float(mark.get("cy") or 0)), index))
            for ref in refs[1:]:
                sets.join(("ref", refs[0]), ("ref", ref))
            sets.find(("ref", refs[0]))
    if group.get("data-through"):
        for pin in mine[1:]:
            sets.join(("ref", mine[0].refs[0]), ("ref", pin.refs[0]))
    if group.get("data-kind") == "reference":
        words = [text.text for text in group.iter(f"{NS}text") if text.get("class") == "reference"]
        sets.join(("ref", mine[0].refs[0]), ("goes on as", words[0]))
    ink = [p for shape in group.iter(f"{NS}path") for p in _points(shape.get("d") or "")]
    for pin in mine:
        if not any(_close(pin.at, p) for p in ink):
            problems.append(f"{name}: no line of the symbol reaches its pin at {pin.at}")
    _prints([text for text in group.iter(f"{NS}text") if text.get("class") == "pin"], mine)
    pins += mine


def _prints(texts: list[ET.Element], pins: list[PinMark]) -> None:
    """Give each pin its print: the pairing with the shortest way in all, as an eye would pair them."""
    places = [(float(t.get("x") or 0), float(t.get("y") or 0)) for t in texts]

    def way(chosen: tuple[PinMark, ...]) -> float:
        return sum(math.dist(pin.at, at) for pin, at in zip(chosen, places, strict=True))

    if texts and len(texts) <= len(pins):
        best = min(itertools.permutations(pins, len(texts)), key=way)
        for pin, text in zip(best, texts, strict=True):
            pin.printed = text.text or ""


def _words(text: str) -> list[str]:
    return [text] if text.startswith("reference") else text.split()


def _ref(word: str) -> Ref:
    name, _, number = word.rpartition("#")
    return name, int(number)


def _points(d: str) -> list[XY]:
    numbers = [float(n) for n in re.findall(r"-?\d+\.?\d*", d)]
    return list(zip(numbers[::2], numbers[1::2], strict=False))


def _close(a: XY, b: XY) -> bool:
    return abs(a[0] - b[0]) < NEAR and abs(a[1] - b[1]) < NEAR


def _on(p: XY, a: XY, b: XY) -> bool:
    """True where p lies on the upright or level line a-b, ends included."""
    inside_x = min(a[0], b[0]) - NEAR < p[0] < max(a[0], b[0]) + NEAR
    inside_y = min(a[1], b[1]) - NEAR < p[1] < max(a[1], b[1]) + NEAR
    return inside_x and inside_y


def _land(
    base: int,
    lines: list[tuple[XY, XY]],
    dots: list[XY],
    pins: list[PinMark],
    sets: _Sets,
    problems: list[str],
) -> None:
    ends: dict[XY, list[object]] = defaultdict(list)
    for i, (a, b) in enumerate(lines):
        key = ("line", base + i)
        if abs(a[0] - b[0]) > NEAR and abs(a[1] - b[1]) > NEAR:
            problems.append(f"a wire is neither upright nor level: {a} {b}")
        for end in (a, b):
            ends[_cell(end)].append(key)
    for i, dot in enumerate(dots):
        through = [("line", base + k) for k, (a, b) in enumerate(lines) if _on(dot, a, b)]
        if len(through) < 2:
            problems.append(f"a dot joins nothing at {dot}")
        for key in through:
            sets.join(("dot", base + i), key)
    for pin in pins:
        key = ("ref", pin.refs[0])
        touching = [k for k, (a, b) in enumerate(lines) if _on(pin.at, a, b)]
        for k in touching:
            if any(_close(pin.at, end) for end in lines[k]):
                sets.join(key, ("line", base + k))
            elif not any(_close(pin.at, dot) for dot in dots):
                problems.append(f"a wire runs over the pin of {pin.refs[0][0]} at {pin.at}")
        for other in pins:
            if other is not pin and _close(other.at, pin.at) and other.symbol != pin.symbol:
                sets.join(key, ("ref", other.refs[0]))
    for place, meeting in ends.items():
        landed = any(_close(place, pin.at) for pin in pins) or any(_close(place, dot) for dot in dots)
        if len(meeting) == 1 and not landed:
            problems.append(f"a wire ends in the air at {place}")
    _corners(base, lines, dots, ends, sets, problems)


def _corners(
    base: int,
    lines: list[tuple[XY, XY]],
    dots: list[XY],
    ends: dict[XY, list[object]],
    sets: _Sets,
    problems: list[str],
) -> None:
    for place, meeting in ends.items():
        dotted = any(_close(place, dot) for dot in dots)
        if len(meeting) == 2 and not dotted:
            sets.join(meeting[0], meeting[1])
        elif len(meeting) > 2 and not dotted:
            problems.append(f"{len(meeting)} line ends meet without a dot at {place}")
        for k, (a, b) in enumerate(lines):
            key = ("line", base + k)
            if key not in meeting and _on(place, a, b) and not dotted:
                problems.append(f"a line end touches another line without a dot at {place}")


def _cell(p: XY) -> XY:
    return (round(p[0], 2), round(p[1], 2))


class _Sets:
    def __init__(self) -> None:
        self._up: dict[object, object] = {}

    def find(self, item: object) -> object:
        self._up.setdefault(item, item)
        while self._up[item] != item:
            item = self._up[item]
        return item

    def join(self, a: object, b: object) -> None:
        first, second = self.find(a), self.find(b)
        if first != second:
            self._up[second] = first
