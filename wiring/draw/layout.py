"""The grid made real: coordinates of columns and rows, symbols placed, wires and dots drawn."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from wiring.draw.cells import Cell, Seat, Style
from wiring.draw.parts import THIN, XY, Dot, Layer, Symbol, Wire
from wiring.draw.route import MARGIN, PITCH, Channel, Plan, Port, Spot, Tap, plan_feeds, tracks

GAP = 1.6  # least room between two cells side by side [mm]
LEAST = 1.0  # height of a channel without a track [mm]


@dataclass(frozen=True, slots=True)
class Rows:
    """Edges of rows and first track of channels, along the sheet [mm]."""

    start: tuple[float, ...]
    end: tuple[float, ...]
    track: tuple[float, ...]


def lay_out(
    cells: Sequence[Cell],
    style: Style,
    rows: int,
    columns: int,
    widths: Mapping[int, float],
    gone: frozenset[int] = frozenset(),
) -> Layer:
    """Symbols at their places and the wires between them. widths: line of each net; gone: removed nets."""
    taps = [tap for cell in cells for tap in _taps(cell)]
    taken = {
        (cell.item.row, column)
        for cell in cells
        for column in range(cell.item.column, cell.item.column + cell.item.columns)
    }
    inside = {
        (cell.item.row, gap)
        for cell in cells
        for gap in range(cell.item.column, cell.item.column + cell.item.columns - 1)
    }
    plan = plan_feeds(taps, taken, inside, rows, columns)
    across = _across(cells, plan)
    channels = [tracks(plan.ports[k], across) for k in range(rows + 1)]
    leads = _leads(cells)
    along = _along(cells, rows, channels, leads)
    symbols = tuple(_placed(cell, across, along, leads) for cell in cells)
    wires, dots = _wires(plan, across, channels, along, style, widths, gone)
    return Layer(symbols, wires, dots)


def _taps(cell: Cell) -> list[Tap]:
    item = cell.item
    ups, downs = item.seats or (tuple(range(len(item.up))), tuple(range(len(item.down))))
    found = [Tap(foot.net, item.row, item.column + i, True) for i, foot in zip(ups, item.up, strict=True)]
    return found + [
        Tap(foot.net, item.row, item.column + i, False) for i, foot in zip(downs, item.down, strict=True)
    ]


def _leads(cells: Sequence[Cell]) -> Mapping[tuple[int, str], float]:
    """The longest lead among poles that stand side by side: their symbols line up."""
    found: dict[tuple[int, str], float] = defaultdict(float)
    for cell in cells:
        if cell.item.mates:
            key = (cell.item.row, cell.item.mates)
            found[key] = max(found[key], cell.lead)
    return found


def _placed(
    cell: Cell, across: Mapping[Spot, float], along: Rows, leads: Mapping[tuple[int, str], float]
) -> Symbol:
    item = cell.item
    seats = tuple(across[Spot(item.column + i)] for i in range(item.columns))
    lead = leads.get((item.row, item.mates), 0.0)
    symbol = cell.draw(Seat(seats, along.start[item.row], along.end[item.row], lead))
    return replace(symbol, gone=item.gone)


def _across(cells: Sequence[Cell], plan: Plan) -> dict[Spot, float]:
    """Coordinates of columns and lanes. Lanes keep clear of the cells in the rows they pass."""
    after: dict[tuple[int, int], float] = defaultdict(float)  # (row, column) -> room behind
    before: dict[tuple[int, int], float] = defaultdict(float)
    pitch: dict[int, float] = defaultdict(float)  # gap inside a cell
    inside: dict[int, set[int]] = defaultdict(set)
    for cell in cells:
        item = cell.item
        before[item.row, item.column] = max(before[item.row, item.column], cell.before)
        last = item.column + item.columns - 1
        after[item.row, last] = max(after[item.row, last], cell.after)
        for gap in range(item.column, last):
            pitch[gap] = max(pitch[gap], cell.pitch)
            inside[gap].add(item.row)
    passing: dict[int, set[int]] = defaultdict(set)
    for _, first, last, spot in plan.feeds:
        if spot.lane >= 0:
            passing[spot.column].update(range(first, last + 1))
    places: dict[Spot, float] = {}
    x = max((before[r, 0] for r in range(plan.rows)), default=0.0)
    x += _lanes_at(places, plan, -1, 0.0, 0.0)
    for column in range(plan.columns):
        x = round(x, 2)
        places[Spot(column)] = x
        rows = range(plan.rows)
        plain = max((after[r, column] + before[r, column + 1] for r in rows), default=0.0) + GAP
        crossed = passing[column]
        a = max((after[r, column] for r in crossed), default=0.0)
        b = max((before[r, column + 1] for r in crossed), default=0.0)
        lanes = _lanes_at(places, plan, column, x + max(a, 2.5), b)
        x += max(plain, pitch[column], (max(a, 2.5) + lanes + b) if lanes else 0.0)
    return places


def _lanes_at(places: dict[Spot, float], plan: Plan, gap: int, start: float, clear: float) -> float:
    """Place the lanes of a gap from `start` on; the room they take up to the next cell's edge."""
    count = plan.lanes.get(gap, 0)
    for lane in range(count):
        places[Spot(gap, lane)] = round(start + PITCH * (lane + 0.4), 2)
    return PITCH * (count + 0.4) if count else 0.0


def _along(
    cells: Sequence[Cell], rows: int, channels: Sequence[Channel], leads: Mapping[tuple[int, str], float]
) -> Rows:
    longest = [0.0] * rows
    for cell in cells:
        row = cell.item.row
        more = max(0.0, leads.get((row, cell.item.mates), 0.0) - cell.lead) if cell.item.mates else 0.0
        longest[row] = max(longest[row], cell.length + more)
    start, end, track = [], [], []
    y = 0.0
    for k in range(rows + 1):
        count = channels[k].count
        track.append(y + MARGIN)
        y += 2 * MARGIN + PITCH * (count - 1) if count else (LEAST if 0 < k < rows else 0.0)
        if k < rows:
            start.append(y)
            y = round(y + longest[k], 2)
            end.append(y)
    return Rows(tuple(start), tuple(end), tuple(track))


def _wires(
    plan: Plan,
    across: Mapping[Spot, float],
    channels: Sequence[Channel],
    along: Rows,
    style: Style,
    widths: Mapping[int, float],
    gone: frozenset[int],
) -> tuple[tuple[Wire, ...], tuple[Dot, ...]]:
    pieces: dict[int, list[tuple[XY, XY]]] = defaultdict(list)  # across, along
    dots: list[tuple[int, float, float]] = []
    for net, first, last, spot in plan.feeds:
        pieces[net].append(((across[spot], along.start[first]), (across[spot], along.end[last])))
    for k, channel in enumerate(channels):
        upper = along.end[k - 1] if k else along.track[0] - MARGIN
        lower = along.start[k] if k < len(along.start) else along.track[k] + PITCH * max(channel.count, 1)
        for net, ports in plan.ports[k].items():
            _in_channel(net, ports, channel, across, (upper, lower, along.track[k]), pieces, dots)
    wires = tuple(
        Wire(style.at(*a), style.at(*b), widths.get(net, THIN), net in gone)
        for net, found in sorted(pieces.items())
        for a, b in _merged(found)
    )
    return wires, tuple(Dot(*style.at(x, y), net in gone) for net, x, y in sorted(set(dots)))


def _in_channel(
    net: int,
    ports: Sequence[Port],
    channel: Channel,
    across: Mapping[Spot, float],
    edges: tuple[float, float, float],
    pieces: dict[int, list[tuple[XY, XY]]],
    dots: list[tuple[int, float, float]],
) -> None:
    """Stubs from the row edges to the track, and the track itself, with a dot where three meet."""
    upper, lower, first = edges
    if net not in channel.track:
        spots = {port.spot for port in ports}
        if len({port.above for port in ports}) == 2 and len(spots) == 1:
            x = across[next(iter(spots))]
            pieces[net].append(((x, upper), (x, lower)))
        return
    y = first + PITCH * channel.track[net]
    arms: dict[float, set[bool]] = defaultdict(set)
    for port in ports:
        x = across[port.spot]
        if port in channel.jogs:
            low = first + PITCH * (channel.count - 1)
            aside = x + PITCH / 2
            pieces[net] += [((x, lower), (x, low)), ((x, low), (aside, low)), ((aside, low), (aside, y))]
            arms[aside].add(False)
            continue
        above = port.above
        pieces[net].append(((x, upper if above else lower), (x, y)))
        arms[x].add(above)
    low_x, high_x = min(arms), max(arms)
    if high_x > low_x:
        pieces[net].append(((low_x, y), (high_x, y)))
    for x, sides in arms.items():
        if len(sides) + (x > low_x) + (x < high_x) > 2:
            dots.append((net, x, y))


def _merged(pieces: list[tuple[XY, XY]]) -> list[tuple[XY, XY]]:
    """Pieces that lie on one line and touch or overlap, as one."""
    lines: dict[tuple[int, float], list[tuple[float, float]]] = defaultdict(list)
    for (ax, ay), (bx, by) in pieces:
        if abs(ax - bx) < 1e-6 and abs(ay - by) < 1e-6:
            continue
        if abs(ax - bx) < 1e-6:
            lines[0, round(ax, 4)].append((min(ay, by), max(ay, by)))
        else:
            lines[1, round(ay, 4)].append((min(ax, bx), max(ax, bx)))
    found: list[tuple[XY, XY]] = []
    for (flat, fixed), spans in sorted(lines.items()):
        spans.sort()
        start, end = spans[0]
        for a, b in [*spans[1:], (float("inf"), float("inf"))]:
            if a <= end + 1e-6:
                end = max(end, b)
                continue
            found.append(((start, fixed), (end, fixed)) if flat else ((fixed, start), (fixed, end)))
            start, end = a, b
    return found
