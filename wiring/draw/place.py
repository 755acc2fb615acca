"""Rows and columns: each item gets a row along the current and a column across it.

Poles that move together stand side by side. A chain of parts keeps its column,
so that it is drawn as one straight line; branches go to the right of it.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from wiring.draw.flow import LOADS, TURNING
from wiring.draw.items import Item, item_nets

POLES = re.compile(r"[.:][\w+]+-[\w+]+$")
BONDING = ("source", "transformer", "wire")  # what may stand between the supply and the earth terminal
OWNERS = ("hoist", "receiver", "pendant")


@dataclass
class Bunch:
    """One item, or the poles of one device that are drawn side by side."""

    items: list[Item]
    children: list[Bunch] = field(default_factory=list)
    parent: Bunch | None = None

    @property
    def row(self) -> int:
        return self.items[0].row

    @property
    def columns(self) -> int:
        return sum(item.columns for item in self.items)


def stem(name: str) -> str:
    """The device a contact belongs to: the name without its terminal pair."""
    found = POLES.sub("", name)
    return name if found in OWNERS else found


def blocks(items: list[Item]) -> None:
    """Put every item into the power block or the control block. Changes the items."""
    power = _power(items)
    for item in items:
        item.block = "power" if item.name in power else "control"


def _power(items: list[Item]) -> set[str]:
    """Items between the sources and what turns, after branches that end in a coil are peeled away."""
    loads = [item for item in items if item.part and item.part.kind in LOADS]
    if not loads:
        return {item.name for item in items}
    if not any(item.part and item.part.kind in TURNING for item in items):
        return _mains_side(items)
    graph = [
        item
        for item in items
        if not (item.part and item.part.kind in (*LOADS, "suppressor", "transformer") and item.kind == "part")
    ]
    ends: set[int] = set()
    for item in graph:
        if item.kind == "supply" or (item.part and item.part.kind in TURNING):
            ends.update(item.nets)
    alive = {item.name: item for item in graph}
    while True:
        count: dict[int, int] = defaultdict(int)
        for item in alive.values():
            for net in set(item.nets):
                count[net] += 1
        loose = [
            name
            for name, item in alive.items()
            if item.kind != "supply"
            and not (item.part and item.part.kind in TURNING)
            and sum(count[net] > 1 or net in ends for net in set(item.nets)) < 2
        ]
        if not loose:
            break
        for name in loose:
            del alive[name]
    return _with_motor(alive)


def _with_motor(alive: Mapping[str, Item]) -> set[str]:
    """Only what hangs together with a motor or a supply of one."""
    on = item_nets(list(alive.values()))
    todo = [item for item in alive.values() if item.part and item.part.kind in TURNING]
    found = {item.name for item in todo}
    while todo:
        item = todo.pop()
        for net in item.nets:
            for other in on[net]:
                if other.name not in found:
                    found.add(other.name)
                    todo.append(other)
    return found


def _mains_side(items: list[Item]) -> set[str]:
    """Without a motor in the circuit (a drive): what lies between the mains and loads across the mains."""
    mains = [item for item in items if item.kind == "supply" and _alternating(item)]
    found = {item.name for item in mains}
    lines = {
        foot.net
        for item in mains
        for foot in item.down
        if {name for name, _ in foot.refs} & {p.name for p in item.parts if p.kind == "source"}
    }
    grown = True
    while grown:
        grown = False
        for item in items:
            part = item.part
            pole = part is not None and (
                part.kind == "fuse" or (part.by.startswith("stop:") and part.role == "power")
            )
            across = part is not None and part.kind in LOADS and set(item.nets) <= lines
            if item.name not in found and ((pole and set(item.nets) & lines) or across):
                found.add(item.name)
                lines |= set(item.nets)
                grown = True
    return found


def _alternating(item: Item) -> bool:
    hertz = [part.values.get("frequency") for part in item.parts if part.kind == "source"]
    return any(value is None or value.si > 0 for value in hertz)


def rows(items: list[Item]) -> None:
    """Longest path from the supply inside each block; loads of the control block stand in its last rows."""
    for block in ("power", "control", "gone"):
        mine = [item for item in items if item.block == block]
        level = _levels(mine)
        for item in mine:
            item.row = level[item.name]
        if block == "control":
            _drop_loads(mine)


def _levels(items: list[Item]) -> dict[str, int]:
    drivers: dict[int, list[Item]] = defaultdict(list)
    for item in items:
        for foot in item.down:
            drivers[foot.net].append(item)
    done: dict[str, int] = {}
    busy: set[str] = set()

    def level(item: Item) -> int:
        if item.name in done:
            return done[item.name]
        if item.name in busy:
            return 0
        busy.add(item.name)
        feeding = [d for foot in item.up for d in drivers[foot.net] if d is not item and d.name not in busy]
        if item.earth:  # the bond is shown at the supply and the transformer, not behind the coils
            feeding = [d for d in feeding if d.part is None or d.part.kind in BONDING]
        above = [level(d) for d in feeding]
        busy.discard(item.name)
        done[item.name] = max(above, default=-1) + 1
        return done[item.name]

    for item in items:
        level(item)
    return done


def _drop_loads(items: list[Item]) -> None:
    """Move loads, and what lies behind them, down so that coils stand in one line."""
    below: dict[int, list[Item]] = defaultdict(list)
    for item in items:
        for foot in item.up:
            if not item.earth:
                below[foot.net].append(item)
    last = max((item.row for item in items), default=0)
    sunk: dict[str, int] = {}

    def sink(item: Item) -> int:
        if item.name not in sunk:
            sunk[item.name] = last  # a loop ends here
            under = [sink(other) for foot in item.down for other in below[foot.net] if other is not item]
            sunk[item.name] = max(item.row, min(under, default=last + 1) - 1)
        return sunk[item.name]

    behind: list[Item] = [
        item
        for item in items
        if item.part and item.part.kind in (*LOADS, "suppressor") and item.kind == "part"
    ]
    seen: set[str] = set()
    while behind:
        item = behind.pop()
        if item.name not in seen:
            seen.add(item.name)
            item.row = sink(item)
            behind += [other for foot in item.down for other in below[foot.net]]


def bunches(items: list[Item]) -> list[Bunch]:
    """Group poles: contacts worked by one thing in one row, heaters, and what stands pole under pole."""
    keys: dict[str, str] = {}
    for item in items:
        if item.block == "power":
            keys[item.name] = _pole_key(item)
    grouped: dict[tuple[str, int], list[Item]] = defaultdict(list)
    for item in items:
        key = keys.get(item.name, "")
        grouped[(key or f"alone {item.name}", item.row)].append(item)
    first = [Bunch(group) for group in grouped.values()]
    return _pole_under_pole(first)


def _pole_key(item: Item) -> str:
    part = item.part
    if part is None or item.kind != "part" or item.bridge:
        return ""
    if part.kind in ("contact", "semiconductor"):
        return f"{part.by}|{part.form}|{part.owner}|{part.role}" if part.by else ""
    if part.kind == "wire" and part.role == "heater":
        return f"heater {stem(part.name)}"
    return ""


def _pole_under_pole(first: list[Bunch]) -> list[Bunch]:
    """Join single items of one kind that each stand under another pole of one bunch."""
    done: list[Bunch] = []
    waiting = sorted(first, key=lambda bunch: bunch.row)
    while waiting:
        bunch = waiting.pop(0)
        done.append(bunch)
        feet = [foot.net for item in bunch.items for foot in item.down]
        if len(feet) < 2:
            continue
        under: dict[tuple[str, int], list[tuple[int, Bunch]]] = defaultdict(list)
        for other in waiting:
            item = other.items[0]
            if (
                len(other.items) == 1
                and len(item.up) == 1
                and item.up[0].net in feet
                and item.block == "power"
            ):
                kind = item.part.kind if item.part else item.kind
                under[(kind, item.row)].append((feet.index(item.up[0].net), other))
        for mates in under.values():
            poles = [index for index, _ in mates]
            if len(mates) > 1 and len(set(poles)) == len(poles):
                mates.sort(key=lambda pair: pair[0])
                kept = mates[0][1]
                kept.items = [other.items[0] for _, other in mates]
                waiting = [b for b in waiting if b is kept or all(b is not other for _, other in mates)]
    return done


def columns(items: list[Item]) -> int:
    """Give every item its column. Returns the number of columns. Changes the items."""
    width = 0
    for block in ("power", "control", "gone"):
        mine = [item for item in items if item.block == block]
        width = _columns_of(mine, width)
    return width


def _columns_of(items: list[Item], start: int) -> int:
    groups = bunches(items)
    drivers: dict[int, list[Bunch]] = defaultdict(list)
    for bunch in groups:
        for item in bunch.items:
            for foot in item.down:
                drivers[foot.net].append(bunch)
    order = {id(bunch): index for index, bunch in enumerate(groups)}
    for bunch in groups:
        above = [d for item in bunch.items for foot in item.up for d in drivers[foot.net] if d is not bunch]
        above = [d for d in above if d.row < bunch.row]
        if above:
            bunch.parent = max(above, key=lambda d: (d.row, -order[id(d)]))
            bunch.parent.children.append(bunch)
    free: dict[int, int] = defaultdict(lambda: start)
    roots = [bunch for bunch in groups if bunch.parent is None]
    for bunch in sorted(roots, key=lambda b: (b.row, b.items[0].kind != "supply", -_depth(b))):
        _settle(bunch, start, free, drivers)
    return max((item.column + item.columns for item in items), default=start)


def _depth(bunch: Bunch) -> int:
    return 1 + max((_depth(child) for child in bunch.children), default=0)


def _settle(bunch: Bunch, want: int, free: dict[int, int], drivers: Mapping[int, list[Bunch]]) -> None:
    """Place a bunch and its straight chain, then the branches from the lowest upwards."""
    chain = [bunch]
    while chain[-1].children:
        kids = sorted(chain[-1].children, key=lambda b: (_aside(b), -b.columns, -_depth(b)))
        chain.append(kids[0])
    first = bunch.parent.row + 1 if bunch.parent else bunch.row
    span = range(first, chain[-1].row + 1)
    at = max([want, *(free[row] for row in span)])
    for link in chain:
        at = max(at, _under(link, at)) if link is not bunch else at
        _put(link, at)
        for row in range(first, link.row + 1):
            free[row] = max(free[row], at + link.columns)
    for link in reversed(chain):
        for child in link.children:
            if child not in chain:
                _settle(child, max(_under(child, at), at), free, drivers)


def _aside(bunch: Bunch) -> bool:
    """A suppressor stands beside its coil, never before it."""
    part = bunch.items[0].part
    return part is not None and part.kind == "suppressor"


def _under(bunch: Bunch, default: int) -> int:
    """The column of the pole that feeds the bunch, as far left as one does."""
    if bunch.parent is None:
        return default
    feet = {
        foot.net: item.column + index for item in bunch.parent.items for index, foot in enumerate(item.down)
    }
    found = [feet[foot.net] for item in bunch.items for foot in item.up if foot.net in feet]
    return min(found, default=default)


def _put(bunch: Bunch, at: int) -> None:
    """Columns for the items of a bunch, poles in the order of the poles above them."""
    if bunch.parent and len(bunch.items) > 1:
        feet = {
            foot.net: (item.column, index)
            for item in bunch.parent.items
            for index, foot in enumerate(item.down)
        }
        seats = [feet.get(item.up[0].net) if item.up else None for item in bunch.items]
        if all(seat is not None for seat in seats) and len(set(seats)) == len(seats):
            order = sorted(range(len(seats)), key=lambda i: seats[i] or (0, 0))
            bunch.items = [bunch.items[i] for i in order]
    for index, item in enumerate(bunch.items):
        item.column = at
        item.mates = bunch.items[0].name if len(bunch.items) > 1 else ""
        at += item.columns
        if index and item.block != "power":
            item.mates = ""


def grid(items: Iterable[Item]) -> tuple[int, int]:
    """Number of rows and columns used."""
    all_items = list(items)
    return (
        max((item.row for item in all_items), default=-1) + 1,
        max((item.column + item.columns for item in all_items), default=0),
    )
