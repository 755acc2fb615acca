"""A circuit too large for one sheet, cut into groups of items that each fit, joined by references.

First the power path, the control circuit and what is removed stand apart. A group
that is still too large is cut where the fewest nets cross: between rungs, or across
one long rung. Every net that goes on elsewhere ends in a reference of its own name.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace

from wiring.draw import names
from wiring.draw.items import Foot, Item
from wiring.draw.ladder import node_names
from wiring.draw.nets import is_run
from wiring.draw.place import columns, grid, rows
from wiring.draw.placed import Placed

Size = tuple[float, float, float]  # along the current, across it before and behind the middle [mm]
OVER = 8.0  # what a group twice its room costs, in crossing nets
UNEVEN = 0.6  # what two halves of different size cost, in crossing nets
CHANNEL = 4.0  # room for wires between two rows [mm]


def divided(
    placed: Placed, sizes: Mapping[str, Size], room: tuple[float, float], fits: Callable[[Placed], bool]
) -> tuple[Placed, ...]:
    """The groups in reading order. sizes: of each item; room: along and across [mm]; fits: whether a
    group as drawn fits its sheet."""
    known = net_names(placed)
    waiting = [
        [item for item in placed.items if item.block == block] for block in ("power", "control", "gone")
    ]
    waiting = [group for group in waiting if group]
    done: list[list[Item]] = []
    while waiting:
        group = waiting.pop(0)
        fresh = _replaced(group)
        tried = [*done, fresh, *waiting]
        halves = None
        if not fits(_with_references(placed, tried, len(done), known)):
            halves = _cut(fresh, sizes, room)
        if halves is None:
            done.append(group)
        else:
            waiting[:0] = halves
    return tuple(_with_references(placed, done, index, known) for index in range(len(done)))


def net_names(placed: Placed) -> Mapping[int, str]:
    """A name for every net: the pin or terminal that feeds it, else as the ladder has it.

    No two nets have one name: a reference is followed by its name.
    """
    first: dict[int, str] = {}
    for item in sorted(placed.items, key=lambda it: (it.row, it.column)):
        part = item.part
        for foot in item.down:
            if item.point:
                first.setdefault(foot.net, names.sign(item.point))
            elif part is not None and item.kind == "part" and not is_run(part):
                first.setdefault(foot.net, names.sign(part.pins[foot.refs[0][1] - 1]))
    seen: dict[str, int] = defaultdict(int)
    found = {}
    for net, name in {**node_names(placed), **first}.items():
        name = names.sign(name)
        seen[name] += 1
        found[net] = name if seen[name] == 1 else f"{name} ({seen[name]})"
    return found


def _replaced(group: Iterable[Item]) -> list[Item]:
    """Copies of the items, in rows and columns of their own."""
    items = [replace(item, up=list(item.up), down=list(item.down), row=-1, column=-1) for item in group]
    rows(items)
    columns(items)
    return items


def _homes(groups: Sequence[Sequence[Item]]) -> Mapping[int, list[int]]:
    """Net to the groups it stands in, in their order."""
    found: dict[int, list[int]] = defaultdict(list)
    for index, group in enumerate(groups):
        for net in dict.fromkeys(net for item in group for net in item.nets):
            found[net].append(index)
    return found


def _with_references(
    placed: Placed, groups: Sequence[Sequence[Item]], index: int, known: Mapping[int, str]
) -> Placed:
    """One of the groups on a grid of its own, with a reference on every net that goes on in another."""
    group = groups[index]
    driven = {foot.net for item in group for foot in item.down}
    references = []
    for net, homes in _homes(groups).items():
        if index not in homes or len(homes) < 2:
            continue
        # the first of a net tells all the others, these tell the first
        others = [i for i in homes if i != index] if homes[0] == index else homes[:1]
        name = known.get(net, f"net {net}")
        foot = Foot(net, ((f"reference {name} {index + 1}", 0),), name)
        up, down = ([foot], []) if net in driven else ([], [foot])
        mark = Item(f"reference {name}", "reference", (), up, down, block=group[0].block)
        mark.others = tuple(f"reference {name} {i + 1}" for i in others)
        references.append(mark)
    return replace(placed, items=tuple(_replaced([*group, *references])))


def _cut(
    items: list[Item], sizes: Mapping[str, Size], room: tuple[float, float]
) -> tuple[list[Item], list[Item]] | None:
    """The best way to cut a group in two; None where there is none."""
    high, wide = grid(items)
    across = [[item.column >= column for item in items] for column in range(1, wide)]
    along = [[item.row >= row for item in items] for row in range(1, high)]
    best: tuple[float, list[Item], list[Item]] | None = None
    for second in (*across, *along):
        halves = (
            [item for item, behind in zip(items, second, strict=True) if not behind],
            [item for item, behind in zip(items, second, strict=True) if behind],
        )
        if not halves[0] or not halves[1] or _parts_mates(*halves):
            continue
        price = _price(halves, sizes, room)
        if best is None or price < best[0] - 1e-9:
            best = (price, *halves)
    return best[1:] if best else None


def _parts_mates(first: Iterable[Item], second: Iterable[Item]) -> bool:
    """True where poles that move together would come apart."""
    return bool({item.mates for item in first if item.mates} & {item.mates for item in second if item.mates})


def _price(
    halves: tuple[list[Item], list[Item]], sizes: Mapping[str, Size], room: tuple[float, float]
) -> float:
    nets = [{net for item in half for net in item.nets} for half in halves]
    filled = [_filled(half, sizes, room) for half in halves]
    over = sum(max(0.0, share - 1.0) for share in filled)
    return len(nets[0] & nets[1]) + OVER * over + UNEVEN * abs(filled[0] - filled[1])


def _filled(items: list[Item], sizes: Mapping[str, Size], room: tuple[float, float]) -> float:
    """How much of its room a group needs, in the direction that is the tighter one."""
    length: dict[int, float] = defaultdict(float)
    before: dict[int, float] = defaultdict(float)
    behind: dict[int, float] = defaultdict(float)
    for item in items:
        along, near, far = sizes[item.name]
        length[item.row] = max(length[item.row], along)
        before[item.column] = max(before[item.column], near)
        last = item.column + item.columns - 1
        behind[last] = max(behind[last], far)
    return max(
        (sum(length.values()) + CHANNEL * len(length)) / room[0],
        (sum(before.values()) + sum(behind.values())) / room[1],
    )
