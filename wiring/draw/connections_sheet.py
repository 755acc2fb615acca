"""What to land where: hoist terminals, devices and receiver as blocks, every new wire from end to end."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from wiring.draw import colours, names
from wiring.draw.cells import Style
from wiring.draw.empty import put
from wiring.draw.items import Foot, local
from wiring.draw.layout import lay_out
from wiring.draw.nets import is_plain, is_run
from wiring.draw.packing import packed
from wiring.draw.parts import SMALL, TAG, TEXT, Block, Layer, Text
from wiring.draw.placed import Facts
from wiring.draw.shift import extent, joined, moved
from wiring.draw.strips import Place, Strip, leads_of, strip_cell
from wiring.draw.symbols import shapes
from wiring.draw.words import NO_BREAK, wrap
from wiring.model.circuit import Circuit, Part
from wiring.model.plan import Plan

ENDS = [
    "number at both ends; ferrule of the conductor's size on fine strands",
    "torque as printed beside the terminal, else as the maker says",
]
HOIST, DEVICE, RECEIVER = 0, 1, 2  # rows, from left to right
OUTER = ("hoist", "core", "receiver")  # blocks of the first and the last row
READABLE = 0.9  # wires go on another sheet rather than be set smaller than this
LEAST_FILLED = 0.5  # of what a sheet holds, before it is ended where a device ends


@dataclass(frozen=True, slots=True)
class Landing:
    """One new wire, or a cord tail that stays: the part and the strips its two ends land on."""

    part: Part
    ends: tuple[str, str]
    status: str


def connection_sheets(
    plan: Plan, circuit: Circuit, facts: Facts, room: tuple[float, float]
) -> tuple[tuple[str, Layer], ...]:
    """Named layers, one a sheet: each new wire on one of them from end to end, the lists on one.

    room: width and height of a sheet's field [mm].
    """

    def layer(mine: Sequence[Landing], more: Mapping[str, str]) -> Layer:
        return _layer(_strips(plan, circuit, facts, mine, more))

    lists = notes_of(plan, circuit)
    landings = landings_of(circuit)
    if not landings:
        none = Layer(texts=(Text(0.0, 3.0, "No connections are stated yet.", TAG, bold=True),))
        return (("connections", joined(none, _lists(lists, extent(none)))),)
    whole = layer(landings, {})
    noted = joined(whole, _lists(lists, extent(whole)))
    if fits(noted, room):
        return (("connections", noted),)
    widest = {pin: "more on sheets 8 9 10" for landing in landings for pin in landing.part.pins}
    groups = grouped(landings, lambda mine: fits(layer(mine, widest), room))
    boxes = [extent(layer(mine, widest)) for mine in groups]
    field = (room[0] / READABLE, room[1] / READABLE)
    seats = packed([(x1 - x0, y1 - y0) for x0, y0, x1, y1 in boxes], field, down=True)
    sheets: list[list[Layer]] = [[] for _ in range(1 + max(seat.sheet for seat in seats))]
    for index, (mine, seat) in enumerate(zip(groups, seats, strict=True)):
        body = layer(mine, _elsewhere(groups, [s.sheet for s in seats], index))
        x0, y0, _, _ = extent(body)
        sheets[seat.sheet].append(moved(body, seat.box[0] - x0, seat.box[1] - y0))
    layers = _with_lists([joined(*found) for found in sheets], lists, room)
    return tuple((f"connections {number}", one) for number, one in enumerate(layers, 1))


def _elsewhere(groups: Sequence[Sequence[Landing]], sheets: Sequence[int], index: int) -> Mapping[str, str]:
    """Terminal of one group to the words that tell where more wires land on it."""
    found: dict[str, set[int]] = defaultdict(set)
    for group, sheet in zip(groups, sheets, strict=True):
        if group is not groups[index]:
            for point in {pin for landing in group for pin in landing.part.pins}:
                found[point].add(sheet)
    own = sheets[index]
    return {
        point: "more on this sheet" if homes == {own} else "more on sheet "
        + " ".join(str(home + 1) for home in sorted(homes))
        for point, homes in found.items()
    }  # fmt: skip


def _with_lists(layers: list[Layer], lists: Sequence[Block], room: tuple[float, float]) -> list[Layer]:
    """The lists in an empty place of one of the sheets, the last ones first, else on a sheet of their own."""
    field = (room[0] / READABLE, room[1] / READABLE)
    for index in reversed(range(len(layers))):
        for tall in (46.0, 80.0, 160.0):
            found = put(layers[index], _lists(lists, (0.0, 0.0, 0.0, 0.0), tall), field, low=False)
            if found is not None:
                return [*layers[:index], found, *layers[index + 1 :]]
    return [*layers, _lists(lists, (0.0, 0.0, 0.0, 0.0), 160.0)]


def fits(layer: Layer, room: tuple[float, float]) -> bool:
    """Whether a layer can be read when it is set to fill its room."""
    x0, y0, x1, y1 = extent(layer)
    return (x1 - x0) * READABLE <= room[0] and (y1 - y0) * READABLE <= room[1]


def grouped(
    landings: Sequence[Landing], able: Callable[[Sequence[Landing]], bool]
) -> tuple[tuple[Landing, ...], ...]:
    """Wires for one sheet after the other, as many as fit; those of one device together where they do."""
    keys = _keys(landings)
    waiting = sorted(landings, key=lambda landing: keys[landing.part.name])
    found = []
    while waiting:
        low, high = 1, len(waiting)
        while low < high:
            middle = (low + high + 1) // 2
            low, high = (middle, high) if able(waiting[:middle]) else (low, middle - 1)
        if low < len(waiting):
            ends = [n for n in range(1, low + 1) if _key(keys, waiting, n - 1) != _key(keys, waiting, n)]
            low = ends[-1] if ends and ends[-1] > low * LEAST_FILLED else low
        found.append(tuple(waiting[:low]))
        del waiting[:low]
    return tuple(found)


def _key(keys: Mapping[str, tuple[int, str]], landings: Sequence[Landing], n: int) -> tuple[int, str]:
    return keys[landings[n].part.name]


def _keys(landings: Iterable[Landing]) -> dict[str, tuple[int, str]]:
    """Wire to the device it is told with: the one with most wires; between hoist and receiver none."""
    weight: dict[str, int] = defaultdict(int)
    devices = {landing.part.name: [e for e in landing.ends if e not in OUTER] for landing in landings}
    for ends in devices.values():
        for end in set(ends):
            weight[end] += 1
    return {
        name: min(((-weight[end], end) for end in ends), default=(-(10**6), ""))
        for name, ends in devices.items()
    }


def _layer(strips: Sequence[Strip]) -> Layer:
    """Blocks and wires of one sheet."""
    style = Style("us", shapes("us"))
    cells, starts = [], dict.fromkeys((HOIST, DEVICE, RECEIVER), 0)
    rooms = {strip.name: leads_of(strip) for strip in strips}
    for strip in strips:
        mates = [rooms[other.name] for other in strips if other.row == strip.row]
        leads = max(left for left, _ in mates), max(right for _, right in mates)
        cell = strip_cell(strip, starts[strip.row], leads)
        starts[strip.row] += cell.item.columns
        cells.append(cell)
    return lay_out(cells, style, 3, max(starts.values()), {})


def landings_of(circuit: Circuit) -> tuple[Landing, ...]:
    """New conductors and links, and cores that stay, whole or as tails; in the circuit's order."""
    found = []
    for part in circuit.parts:
        core = part.owner == "core"
        new = not core and (bool(part.cable) or part.owner == "wire")
        if part.kind == "wire" and (new or (core and circuit.about == "after")):
            found.append(
                Landing(part, (_owner(part.pins[0]), _owner(part.pins[1])), "new" if new else "stays")
            )
    return tuple(found)


def _owner(point: str) -> str:
    """The block a point stands in: hoist terminals and plug together, a device with all its units."""
    owner = point.partition(":")[0].partition(".")[0]
    return "hoist" if owner == "plug" else owner


def _strips(
    plan: Plan,
    circuit: Circuit,
    facts: Facts,
    landings: Iterable[Landing],
    more: Mapping[str, str],
) -> list[Strip]:
    """The blocks for some of the wires. more: terminal to the words that tell of its other wires."""
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
        for point in strip.terminals:
            strip.remarks[point] = ", ".join(filter(None, (more.get(point, ""), strip.remarks[point])))
    return sorted(strips.values(), key=lambda s: (s.row, s.name != "hoist", s.name))


def _order(point: str, circuit: Circuit) -> int:
    """Terminals in the order in which the circuit has them."""
    return next((i for i, p in enumerate(circuit.points) if p.name == point), len(circuit.points))


def _strip(owner: str, plan: Plan, facts: Facts) -> Strip:
    if owner == "hoist":
        hoist = plan.catalog.hoists.get(plan.job.hoist.type or "") if plan.job.hoist.type else None
        return Strip("hoist", hoist.title if hoist else "type unknown", HOIST)
    if owner == "core":
        return Strip("cord tail", "far ends of the cores that stay", HOIST)
    if owner == "receiver":
        return Strip("receiver", facts.receiver, RECEIVER)
    if owner == "pendant":
        return Strip("handset", "on the far end of the cord that stays", DEVICE)
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
    name = part.name.replace("core:", "core ")
    number = part.number or (name.removeprefix("wire:") if name.startswith("wire:") else "")
    words = ["link" if name.startswith("wire:") else name]
    words += [word for word in (part.size, f"no. {number}" if number else "", landing.status) if word]
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
    staying = {part.name for part in circuit.parts if part.owner == "core"}
    for core in plan.job.cores:
        seat = circuit.aliases.get(f"core:{core.id}")
        if seat and f"core:{core.id}" not in staying:
            letters = colours.letters(core.colour) if core.colour else ""
            words[seat].insert(0, f"core {core.id} {letters} {core.role or 'role unknown'} sat here")
    receiver = plan.catalog.receivers.get(plan.job.receiver.type or "") if plan.job.receiver.type else None
    for terminal in receiver.net.terminals if receiver else ():
        sizes = "-".join(str(size) for size in (terminal.size_min, terminal.size_max) if size)
        torque = str(terminal.torque) if terminal.torque else ""
        extra = [text.replace(" ", NO_BREAK) for text in (sizes, torque) if text]
        words[f"receiver:{terminal.id}"][:0] = extra
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


def _lists(blocks: Iterable[Block], box: tuple[float, float, float, float], tall: float = 46.0) -> Layer:
    """The lists in columns below the picture, no taller than `tall` [mm]."""
    texts: list[Text] = []
    x, top = box[0], box[3] + 8.0
    room = 74.0
    y = top
    for block in blocks:
        lines = [line for entry in block.lines for line in wrap(entry, room, SMALL, 3)]
        if y > top and y + 3.4 + 2.7 * len(lines) > top + tall:
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
