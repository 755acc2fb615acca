"""The circuit as lines of text: chains of parts between named nodes, and lists for what has more ends."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping

from wiring.draw import colours, names
from wiring.draw.items import Item
from wiring.draw.nets import is_run
from wiring.draw.parts import Block, Rung
from wiring.draw.placed import Placed
from wiring.model.circuit import Part

HEADS = {"power": "Power path", "control": "Control", "gone": "Removed, as found"}


def ladder(placed: Placed) -> tuple[Block, ...]:
    """Blocks of rungs, supply first; every drawn part stands in exactly one line."""
    nodes = node_names(placed)
    found: list[Block] = []
    for block in ("power", "control", "gone"):
        items = sorted(
            (item for item in placed.items if item.block == block), key=lambda it: (it.column, it.row)
        )
        if items:
            lines = tuple(_many(item, placed, nodes) for item in items if not _is_pair(item))
            found.append(Block(HEADS[block], _rungs([i for i in items if _is_pair(i)], placed, nodes), lines))
    return tuple(found)


def node_names(placed: Placed) -> Mapping[int, str]:
    """A name for every net: the pin that feeds it, else one of its points, else its terminal."""
    points: dict[int, list[str]] = defaultdict(list)
    for net, found in placed.wiring.points.items():
        points[placed.merged.get(net, net)] += [names.bare(p) for p in found]
    result: dict[int, str] = {}
    for item in sorted(placed.items, key=lambda it: (it.row, it.column)):
        part = item.part
        if part is not None and item.kind == "part" and not is_run(part):
            for foot in item.down:
                result.setdefault(foot.net, names.bare(part.pins[foot.refs[0][1] - 1]))
    for net, known in points.items():
        result.setdefault(net, min(known, key=lambda p: (len(p), p)))
    for item in placed.items:
        for net in item.nets if item.point else ():
            result.setdefault(net, names.bare(item.point))
    return result


def _is_pair(item: Item) -> bool:
    return (
        item.kind != "supply" and len(item.nets) <= 2 and not (item.kind == "terminal" and len(item.nets) < 2)
    )


def _rungs(items: list[Item], placed: Placed, nodes: Mapping[int, str]) -> tuple[Rung, ...]:
    on: dict[int, list[Item]] = defaultdict(list)
    for item in placed.items:
        for foot in (*item.up, *item.down):
            on[foot.net].append(item)
    left = {item.name: item for item in items}

    def is_node(net: int) -> bool:
        return len(on[net]) != 2 or any(not _is_pair(item) for item in on[net])

    def further(item: Item, net: int) -> Item | None:
        others = [other for other in on[net] if other is not item and other.name in left]
        return others[0] if others and not is_node(net) else None

    found: list[Rung] = []
    for item in items:
        if item.name not in left:
            continue
        chain, top = [item], item.nets[0]
        while (up := further(chain[0], top)) and up not in chain:
            chain.insert(0, up)
            top = _other(up, top)
        bottom = top
        for link in chain:
            bottom = _other(link, bottom)
        while (down := further(chain[-1], bottom)) and down not in chain:
            chain.append(down)
            bottom = _other(down, bottom)
        for link in chain:
            del left[link.name]
        words = tuple(_word(link, placed) for link in chain)
        found.append(Rung(nodes.get(top, "-"), words, nodes.get(bottom, "-")))
    return tuple(found)


def _other(item: Item, net: int) -> int:
    nets = item.nets
    return nets[-1] if nets[0] == net else nets[0]


def _many(item: Item, placed: Placed, nodes: Mapping[int, str]) -> str:
    """A part with more than two ends: each print and the node it is on."""
    ends = [f"{foot.label or '·'} on {nodes.get(foot.net, '-')}" for foot in (*item.up, *item.down)]
    if item.kind == "terminal":
        return f"○ {names.bare(item.point)}"
    if item.kind == "supply":
        return f"supply: {', '.join(ends)}"
    part = item.part
    assert part is not None
    rated = " ".join(names.rating_lines(part, placed.circuit, placed.facts.ratings))
    kind = {"motor3": "three-phase motor"}.get(part.kind, part.kind)
    return f"{names.bare(part.name)} ({kind}) {rated}: {', '.join(ends)}"


def _word(item: Item, placed: Placed) -> str:
    """One part in a rung: its sign and its name."""
    part = item.part
    if part is None:
        return f"○ {names.bare(item.point)}"
    name = names.bare(part.name)
    if part.kind in ("contact", "semiconductor"):
        return f"{'┤/├' if part.form == 'NC' else '┤ ├'} {_contact_word(part)}"
    if part.kind == "coil":
        return f"( {name} )"
    if part.kind == "wire" and is_run(part):
        colour = placed.facts.colours.get(part.name, part.colour)
        return f"═ {name} {colours.letters(colour)}".strip() + " ═"
    signs = {"fuse": "▭", "capacitor": "┤(├", "supply-input": "▭ supply of", "winding": "∿"}
    signs["wire"] = part.role or "wire"
    rated = amount_of(part, placed)
    return f"{signs.get(part.kind, part.kind)} {name}{rated}"


def amount_of(part: Part, placed: Placed) -> str:
    """The rating of a fuse or capacitor, in the rung."""
    if part.kind not in ("fuse", "capacitor"):
        return ""
    rated = names.rating_lines(part, placed.circuit, {})
    return f" {rated[0]}" if rated else ""


def _contact_word(part: Part) -> str:
    name, by = names.bare(part.name), names.bare(part.by)
    cause = by.partition(":")[0]
    if cause == "coil":
        return name
    return f"{name} ({names.spoken(by)})" if cause != "output" else f"{name.replace(':', ' ')} (output)"
