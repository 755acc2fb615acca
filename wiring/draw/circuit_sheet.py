"""The circuit as a layer: from netlist to placed symbols, for any circuit."""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from dataclasses import replace

from wiring.draw import colours, names
from wiring.draw.cells import XREF, Cell, Labels, Style, many_cell, pair_cell
from wiring.draw.items import Item, local
from wiring.draw.layout import lay_out
from wiring.draw.nets import is_run
from wiring.draw.parts import DEAD, LIVE, THIN, WIDE, Layer, Stroke, Symbol
from wiring.draw.place import grid
from wiring.draw.placed import Placed
from wiring.draw.special import block_cell, bridge_cell, reference_cell, run_cell, terminal_cell
from wiring.draw.state import live_nets, state_words
from wiring.draw.symbols import shape_id, shapes
from wiring.model.circuit import Part


def circuit_layer(placed: Placed, style_name: str, widths: Mapping[int, float]) -> Layer:
    """Symbols, wires and dots of the circuit, from the layer's own origin. widths: line of each net."""
    style = Style(style_name, shapes(style_name))
    cells = _cells(placed, style, widths)
    count_rows, count_columns = grid(placed.items)
    gone = frozenset(net for item in placed.items if item.gone for net in item.nets)
    layer = lay_out(cells, style, count_rows, count_columns, widths, gone)
    return replace(layer, strokes=_links(placed, layer, style))


def item_sizes(placed: Placed, style_name: str) -> dict[str, tuple[float, float, float]]:
    """Of each item: length along the current, room before and behind its middle across it [mm]."""
    cells = _cells(placed, Style(style_name, shapes(style_name)), {})
    return {cell.item.name: (cell.length, cell.before, cell.after) for cell in cells}


def _cells(placed: Placed, style: Style, widths: Mapping[int, float]) -> list[Cell]:
    labels = _wire_labels(placed)
    return [_cell(item, placed, style, labels, widths) for item in placed.items]


def line_widths(placed: Placed) -> Mapping[int, float]:
    """Line of each net: power wide and control thin; in a state view live wide and dead thin."""
    if placed.facts.state is not None:
        live = live_nets(placed, placed.facts.state)
        return {net: LIVE if net in live else DEAD for item in placed.items for net in item.nets}
    return dict.fromkeys(wide_nets(placed), WIDE)


def wide_nets(placed: Placed) -> frozenset[int]:
    """Nets of the power path: those with a power part that is more than supply or terminal."""
    return frozenset(
        net
        for item in placed.items
        if item.block == "power" and item.part and item.kind == "part" and item.part.role != "earth"
        for net in item.nets
    )


def _links(placed: Placed, layer: Layer, style: Style) -> tuple[Stroke, ...]:
    """Dashed lines between the poles of one device: they move together."""
    poles: dict[str, list[Symbol]] = {}
    for item, symbol in zip(placed.items, layer.symbols, strict=True):
        part = item.part
        if item.mates and part and part.kind == "contact" and "plug" not in part.name and not item.gone:
            poles.setdefault(f"{item.mates} {names.designation(part, style.name)} {part.by}", []).append(
                symbol
            )
    ends = [
        (first.at, second.at)
        for group in poles.values()
        for first, second in itertools.pairwise(sorted(group, key=lambda s: s.at))
    ]
    blade = 1.0 if style.down else 0.0  # the line meets the open blade, left of the path
    return tuple(Stroke(((ax - blade, ay), (bx - blade, by)), THIN, "link") for (ax, ay), (bx, by) in ends)


def wire_names(placed: Placed) -> dict[int, tuple[str, tuple[str, ...]]]:
    """Net to the text printed for it and the numbers it stands for, each once."""
    wires: dict[int, list[str]] = {}
    for net, found in placed.wiring.wires.items():
        wires.setdefault(placed.merged.get(net, net), []).extend(found)
    numbers = {part.name: part.number for part in placed.circuit.parts}
    labels = {}
    for net, known in wires.items():
        told = (numbers.get(name) or names.bare(name).removeprefix("wire:") for name in known)
        shown = tuple(dict.fromkeys(told))
        labels[net] = (shown[0] if len(shown) == 1 else f"{shown[0]}+{len(shown) - 1}", shown)
    return labels


def _wire_labels(placed: Placed) -> dict[tuple[str, str], str]:
    """Where each net's wire number stands: (item, "wire") on the supply side of a part, else "under"."""
    texts = {net: label for net, (label, _) in wire_names(placed).items()}
    found: dict[tuple[str, str], str] = {}
    for side in ("wire", "under"):
        for item in sorted(placed.items, key=lambda it: (it.row, it.column)):
            feet = item.up if side == "wire" else item.down
            if len(feet) == 1 and not item.bridge and item.kind != "supply" and feet[0].net in texts:
                found[item.name, side] = texts.pop(feet[0].net)
    return found


def _cell(
    item: Item,
    placed: Placed,
    style: Style,
    wires: Mapping[tuple[str, str], str],
    widths: Mapping[int, float],
) -> Cell:
    lead = min((widths.get(net, THIN) for net in item.nets), default=THIN)
    wire, under = wires.get((item.name, "wire"), ""), wires.get((item.name, "under"), "")
    part = item.part
    if item.kind == "terminal":
        earth = style.shapes["protective_earth"] if item.point == placed.circuit.earth else None
        labels = Labels(names.sign(item.point), wire=wire or under, title=f"terminal {item.point}", lead=lead)
        return terminal_cell(item, labels, style, earth)
    if item.kind == "reference":
        return _reference(item, style, lead)
    assert part is not None
    if item.kind == "supply":
        return _supply_cell(item, placed, style, widths)
    title = f"{part.kind} {part.name}"
    if part.kind == "wire" and is_run(part):
        return _run(item, part, placed, style, Labels(wire=wire, lead=lead))
    if part.kind == "supply-input":
        lines = _receiver_lines(placed)
        head = Labels("receiver", wire=wire, title=title)
        return block_cell(item, lines, head, style, "receiver")
    unmoved = replace(placed, facts=replace(placed.facts, state=None))
    lines = _lines(part, unmoved if item.gone else placed)
    if not style.down:
        lines = tuple(piece for line in lines for piece in names.folded(line))
    tag = names.designation(part, style.name)
    grouped = bool(item.mates)
    leads = item.mates in ("", item.name) or _mark(part, style) != _leader_mark(item, placed, style)
    labels = Labels(tag if leads else "", lines if leads else (), wire, under, title, lead=lead)
    if grouped and item.mates == item.name and _shares_tag(item, placed, style):
        labels = replace(labels, beside=True)
    shape = style.shapes[shape_id(part, placed.circuit, style.name)]
    if item.bridge:
        return bridge_cell(item, shape, labels, style)
    if len(item.up) != 1 or len(item.down) != 1:
        return many_cell(item, shape, labels, style)
    return pair_cell(item, shape, labels, style)


def _reference(item: Item, style: Style, lead: float) -> Cell:
    tag = (*item.up, *item.down)[0].label
    places = tuple(XREF + other for other in item.others)
    return reference_cell(item, Labels(tag, places, title=f"goes on: {tag}", lead=lead), style)


def _shares_tag(item: Item, placed: Placed, style: Style) -> bool:
    """True for the first pole of a group whose poles are all one device worked by one cause."""
    mates = [other for other in placed.items if other.mates == item.name and other.part]
    return len({_mark(m.part, style) for m in mates if m.part}) == 1


def _mark(part: Part, style: Style) -> tuple[str, str]:
    """What poles must share to be labelled once: designation and cause."""
    return names.designation(part, style.name), part.by


def _leader_mark(item: Item, placed: Placed, style: Style) -> tuple[str, str]:
    """The mark of the first pole of a group; poles of another one carry labels of their own."""
    for other in placed.items:
        if other.name == item.mates and other.part:
            return _mark(other.part, style)
    return "", ""


def _lines(part: Part, placed: Placed) -> tuple[str, ...]:
    circuit = placed.circuit
    rated = names.rating_lines(part, circuit, placed.facts.ratings)
    if part.kind in ("contact", "semiconductor"):
        return (*state_words(part, placed.facts.state), *names.contact_lines(part, circuit), *rated)
    if part.kind == "coil":
        locked = [b if a == part.name else a for a, b in circuit.interlocks if part.name in (a, b)]
        locks = tuple(f"locked with {names.bare(other)}" for other in locked)
        shown = (*state_words(part, placed.facts.state), *((part.label,) if part.label else ()))
        return (*shown, *rated, *locks, *names.coil_contacts(part, circuit, placed.wiring.spare))
    shown = (part.label,) if part.label else ()
    return (*state_words(part, placed.facts.state, circuit), *shown, *rated)


def _run(item: Item, part: Part, placed: Placed, style: Style, labels: Labels) -> Cell:
    colour = placed.facts.colours.get(part.name, part.colour)
    letters = colours.letters(colour) if colour else ""
    name = part.name.replace("core:", "core ") if part.owner == "core" else part.name
    number = f"no. {part.number}" if part.number else ""
    role = part.role if part.role and part.role not in name else ""
    lines = tuple(t for t in (f"{letters} {part.size}".strip(), role, number) if t)
    labels = replace(labels, tag=name, lines=lines, title=f"conductor {part.name}")
    return run_cell(item, labels, style, colours.inks(colour))


def _receiver_lines(placed: Placed) -> tuple[str, ...]:
    """The receiver's block: its name, supply, and each output with terminals, key and place."""
    circuit = placed.circuit
    parts = {part.by: part for part in circuit.parts if part.by.startswith("output:")}
    spare = {part.name for part in placed.wiring.spare}
    lines = [placed.facts.receiver]
    idle: list[str] = []
    for output in circuit.outputs:
        part = parts.get(f"output:{output.name}")
        if part is None:
            continue
        key = output.key.replace("key:", "key ") or "no key"
        if part.name in spare:
            idle.append(f"{local(part.name)} {names.pair(part)}")
        else:
            lines.append(f"{local(part.name)} {names.pair(part)} {key} @{part.name}")
    for start in range(0, len(idle), 3):
        lines.append(("not used: " if not start else "  ") + ", ".join(idle[start : start + 3]))
    return tuple(lines)


def _supply_cell(item: Item, placed: Placed, style: Style, widths: Mapping[int, float]) -> Cell:
    sources = [part for part in item.parts if part.kind == "source"]
    first = sources[0].values
    volts, hertz = names.amount(first.get("voltage")), first.get("frequency")
    direct = hertz is not None and hertz.si == 0
    mains = any(".mains." in f".{pin.replace(':', '.')}" for part in sources for pin in part.pins)
    lines = [placed.facts.supply] if placed.facts.supply and mains else []
    each = f" each to {local(sources[0].pins[1])}" if len(sources) > 1 else ""
    lines.append(f"{volts} {'DC' if direct else names.amount(hertz)}{each}".strip())
    bonds = [part for part in item.parts if part.kind == "wire"]
    lines += [f"{local(b.pins[0])} bonded to {local(b.pins[1])}" for b in bonds]
    labels = Labels("supply", title="supply " + " ".join(part.name for part in sources))
    return block_cell(item, lines, labels, style, "supply", widths)
