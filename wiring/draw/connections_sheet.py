"""What to land where: hoist terminals, devices and receiver as blocks, every new wire from end to end."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from wiring.draw import colours, names
from wiring.draw.cells import Style
from wiring.draw.items import Foot, local
from wiring.draw.layout import lay_out
from wiring.draw.nets import is_plain, is_run
from wiring.draw.parts import SMALL, TAG, TEXT, Block, Layer, Text
from wiring.draw.placed import Facts
from wiring.draw.shift import extent, joined
from wiring.draw.strips import Place, Strip, strip_cell
from wiring.draw.symbols import shapes
from wiring.draw.words import wrap
from wiring.model.circuit import Circuit, Part
from wiring.model.plan import Plan

ENDS = [
    "number at both ends; ferrule of the conductor's size on fine strands",
    "torque as printed beside the terminal, else as the maker says",
]
HOIST, DEVICE, RECEIVER = 0, 1, 2  # rows, from left to right


@dataclass(frozen=True, slots=True)
class Landing:
    """One new wire, or a cord tail that stays: the part and the strips its two ends land on."""

    part: Part
    ends: tuple[str, str]
    status: str


def connections_layer(plan: Plan, circuit: Circuit, facts: Facts) -> Layer:
    """Blocks and wires of the connections sheet, lists below them."""
    landings = landings_of(circuit)
    strips = _strips(plan, circuit, facts, landings)
    style = Style("us", shapes("us"))
    cells, starts = [], dict.fromkeys((HOIST, DEVICE, RECEIVER), 0)
    for strip in strips:
        cell = strip_cell(strip, starts[strip.row])
        starts[strip.row] += cell.item.columns
        cells.append(cell)
    if not cells:
        return Layer(texts=(Text(0.0, 3.0, "No connections are stated yet.", TAG, bold=True),))
    body = lay_out(cells, style, 3, max(starts.values()), {})
    return joined(body, _lists(notes_of(plan, circuit), extent(body)))


def landings_of(circuit: Circuit) -> tuple[Landing, ...]:
    """New conductors and links, and tails of the cord; in the circuit's order."""
    found = []
    for part in circuit.parts:
        new = bool(part.cable) or part.owner == "wire"
        tail = part.owner == "core" and circuit.about == "after"
        if part.kind == "wire" and (new or tail):
            found.append(
                Landing(part, (_owner(part.pins[0]), _owner(part.pins[1])), "new" if new else "stays")
            )
    return tuple(found)


def _owner(point: str) -> str:
    """The block a point stands in: hoist terminals and plug together, a device with all its units."""
    owner = point.partition(":")[0].partition(".")[0]
    return "hoist" if owner == "plug" else owner


def _strips(plan: Plan, circuit: Circuit, facts: Facts, landings: Iterable[Landing]) -> list[Strip]:
    strips: dict[str, Strip] = {}
    for index, landing in enumerate(landings):
        rows = []
        for owner, point in zip(landing.ends, landing.part.pins, strict=True):
            strip = strips.setdefault(owner, _strip(owner, plan, facts))
            if point not in strip.prints:
                strip.terminals.append(point)
                strip.prints[point] = _print(point)
            rows.append(strip.row)
        for end in (0, 1):
            strip, point = strips[landing.ends[end]], landing.part.pins[end]
            right = rows[end] < rows[1 - end] or rows[end] == HOIST
            side = strip.right if right else strip.left
            side.setdefault(point, []).append(_place(landing, index, end, facts))
    _remarks(plan, circuit, strips)
    for strip in strips.values():
        strip.terminals.sort(key=lambda point: _order(point, circuit))
    return sorted(strips.values(), key=lambda s: (s.row, s.name != "hoist", s.name))


def _order(point: str, circuit: Circuit) -> int:
    """Terminals in the order in which the circuit has them."""
    return next((i for i, p in enumerate(circuit.points) if p.name == point), len(circuit.points))


def _strip(owner: str, plan: Plan, facts: Facts) -> Strip:
    if owner == "hoist":
        return Strip("hoist", plan.job.hoist.type or "type unknown", HOIST)
    if owner == "core":
        return Strip("cord tail", "far ends of the cores that stay", HOIST)
    if owner == "receiver":
        return Strip("receiver", facts.receiver, RECEIVER)
    kinds = {device.id: device.type for device in plan.job.devices}
    entry = plan.catalog.devices.get(kinds.get(owner, "")) if owner in kinds else None
    if owner in kinds:
        return Strip(owner, entry.title if entry else kinds[owner], DEVICE)
    return Strip(owner, "ends not landed: insulate and tag", DEVICE)


def _print(point: str) -> str:
    owner, _, rest = point.partition(":")
    unit = owner.partition(".")[2]
    return f"{unit}:{rest}" if unit else (point if owner == "plug" else rest)


def _place(landing: Landing, index: int, end: int, facts: Facts) -> Place:
    part = landing.part
    colour = facts.colours.get(part.name, part.colour)
    words = [part.name.replace("core:", "core ") if not part.name.startswith("wire:") else "link"]
    words += [
        word for word in (part.size, f"no. {part.number}" if part.number else "", landing.status) if word
    ]
    foot = Foot(index, ((part.name, end + 1),), _print(part.pins[end]))
    return Place(" ".join(words), colours.inks(colour), colours.letters(colour) if colour else "", foot)


def _remarks(plan: Plan, circuit: Circuit, strips: Mapping[str, Strip]) -> None:
    """Beside each terminal: what it belongs to, what sat or stays there, size range and torque."""
    words: dict[str, list[str]] = defaultdict(list)
    for part in circuit.parts:
        for pin in part.pins:
            if is_plain(part) and part.owner == "hoist":
                words[pin].append(f"{names.bare(part.name)} stays")
            elif part.kind != "wire" or part.role == "jumper":
                words[pin].append(_belongs(part, circuit))
    for core in plan.job.cores:
        seat = circuit.aliases.get(f"core:{core.id}")
        if seat:
            letters = colours.letters(core.colour) if core.colour else ""
            words[seat].insert(0, f"core {core.id} {letters} {core.role or 'role unknown'} sat here")
    receiver = plan.catalog.receivers.get(plan.job.receiver.type or "") if plan.job.receiver.type else None
    for terminal in receiver.net.terminals if receiver else ():
        sizes = "-".join(str(size) for size in (terminal.size_min, terminal.size_max) if size)
        extra = ", ".join(t for t in (sizes, str(terminal.torque) if terminal.torque else "") if t)
        if extra:
            words[f"receiver:{terminal.id}"].append(extra)
    for strip in strips.values():
        for point in strip.terminals:
            strip.remarks[point] = ", ".join(dict.fromkeys(words.get(point, ())))


def _belongs(part: Part, circuit: Circuit) -> str:
    cause, _, id = part.by.partition(":")
    if part.role == "jumper":
        return f"{local(part.name)} to {' '.join(local(p) for p in part.pins)} fitted"
    if cause == "output":
        keys = [o.key.replace("key:", "key ") for o in circuit.outputs if o.name == id]
        return f"{local(part.name)} {keys[0] if keys and keys[0] else ''}".strip()
    if part.kind in ("contact", "semiconductor"):
        return f"{part.form} {names.pair(part)}"
    return {"supply-input": "supply", "coil": "coil"}.get(part.kind, part.kind)


def notes_of(plan: Plan, circuit: Circuit) -> tuple[Block, ...]:
    """Lists below the picture: cables, jumpers, what is removed, what is insulated and tagged."""
    job = plan.job
    cables = [
        f"{c.id}: {c.type or 'type unknown'}, {c.size or 'size unknown'}, "
        f"{c.length or 'length unknown'}, conductors {' '.join(c.order or ()) or 'unknown'}; new"
        for c in job.cables
    ]
    gone = [
        f"{names.bare(r.name)}" + (f" ({' - '.join(names.bare(e) for e in r.ends)})" if r.ends else "")
        + (f": {r.why}" if r.why else "")
        for r in circuit.removed
    ]  # fmt: skip
    jumpers = [f"{j.id}: {'fitted' if j.fitted else 'taken out' if j.fitted is False else 'unknown'}"
               for j in job.receiver.jumpers]  # fmt: skip
    loose = loose_ends(circuit)
    fate = job.cord.fate or "not stated"
    cord = [f"pendant cord: {fate}" + (f", {job.cord.kept_length} kept" if job.cord.kept_length else "")]
    return tuple(
        Block(title, lines=tuple(lines))
        for title, lines in (
            ("Cables", cables), ("Cord", cord), ("Jumpers of the receiver", jumpers),
            ("Ends", ENDS), ("Insulate and tag", loose), ("Take out", gone),
        )
        if lines
    )  # fmt: skip


def loose_ends(circuit: Circuit) -> list[str]:
    """Ends of conductors and tails on which nothing else sits."""
    count: dict[str, int] = defaultdict(int)
    for part in circuit.parts:
        for pin in part.pins:
            count[pin] += 1
    points = {point.name: point for point in circuit.points}
    found = []
    for part in circuit.parts:
        if is_run(part) and part.role != "earth":
            for pin in part.pins:
                end = pin.endswith((".from", ".to")) or points[pin].zone in ("cord", "cable")
                if count[pin] == 1 and end:
                    found.append(f"{part.name} at {pin}")
    return found


def _lists(blocks: Iterable[Block], box: tuple[float, float, float, float]) -> Layer:
    """The lists in columns below the picture."""
    texts: list[Text] = []
    x, top = box[0], box[3] + 8.0
    room = 74.0
    y = top
    for block in blocks:
        lines = [line for entry in block.lines for line in wrap(entry, room, SMALL, 3)]
        if y > top and y + 3.4 + 2.7 * len(lines) > top + 46.0:
            x, y = x + room + 6.0, top
        texts.append(Text(x, y, block.title, TEXT, bold=True, role="heading"))
        for line in lines:
            y += 2.7
            texts.append(Text(x, y, line, SMALL))
        y += 5.6
    return Layer(texts=tuple(texts))


def connection_blocks(circuit: Circuit, facts: Facts) -> tuple[Block, ...]:
    """The same for the text writer: one line a wire."""
    lines = []
    for landing in landings_of(circuit):
        part = landing.part
        colour = facts.colours.get(part.name, part.colour)
        letters = colours.letters(colour) if colour else "colour not known"
        number = f", no. {part.number}" if part.number else ""
        wire = f"{part.name} {letters} {part.size}{number} ({landing.status})"
        lines.append(f"{part.pins[0]} ── {wire} ── {part.pins[1]}")
    return (Block("Connections", lines=tuple(lines) or ("none stated",)),)
