"""One reading more, and the way back to what was dropped.

Large cords carry only hypotheses near the best. When wrong readings have pushed
the best that far out that a dropped one could be as good, all of them are gone
over again: state by state, each state's placements judged once, joined to the
rows so far, and cut where even the best of the later states could not make up.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from math import perm

import numpy as np

from wiring.identify.meter import Model
from wiring.identify.opening import lean, of_view, opened, placed, ready
from wiring.identify.probe import Taken
from wiring.identify.rows import (
    Ints,
    Marks,
    Rows,
    apart,
    both,
    costs,
    keys,
    no_marks,
    one_row,
    spread,
    stacked,
)
from wiring.identify.space import CROWD, RADIUS, Block, Space, View, needed

#: A view whose roles can lie in more ways than this is joined row by row.
TABLE = 12000
#: So many pairs of rows are joined at a time.
LOT = 300_000

Numbered = tuple[tuple[int, Taken], ...]


@dataclass(frozen=True, eq=False)
class Table:
    """Placements of the roles of one view, and the view's readings that each contradicts; floor:
    the fewest of them, whatever the rest is."""

    roles: tuple[str, ...]
    rows: Rows
    misses: Marks
    floor: int


def after(space: Space, taken: Taken) -> Space:
    """The space with one more reading."""
    number = len(space.taken)
    if taken.probe.side == "hoist" and not ready(space):  # judged when every role can be placed
        return replace(space, taken=(*space.taken, taken))
    base = opened(space, taken.probe.side, taken.probe.state)
    blocks = tuple(base.judged(block, taken, number) for block in base.blocks)
    found = replace(base, blocks=blocks, taken=(*space.taken, taken))
    idle = found.best == base.best and found.count() == base.count()
    if found.dropped:  # what a later look back needs, a little at a time
        for block in found.blocks:
            _table_of(found, block.model, (taken.probe.side, taken.probe.state))
    return complete(replace(found, idle=space.idle + idle), 0).pruned()


def complete(space: Space, beyond: int) -> Space:
    """A space in which no hypothesis up to `beyond` worse than the best was dropped, if it can be
    carried; `whole(beyond)` tells."""
    for _ in range(3):
        if space.whole(beyond):
            break
        most = space.best + max(beyond, RADIUS)
        space = again(space, most)
        if space.dropped <= most:
            break  # too many to carry
    return space


def again(space: Space, most: int) -> Space:
    """The same readings on all hypotheses with at most `most` contradictions."""
    fresh = Space.start([block.model for block in space.blocks], space.cores)
    found = replace(fresh, taken=space.taken, idle=space.idle)
    views = sorted(space.views, key=lambda view: view[0] == "hoist")  # that side places every role
    tables = [[_table_of(space, block.model, view) for view in views] for block in found.blocks]
    for k, view in enumerate(views):
        blocks = []
        for block, own in zip(found.blocks, tables, strict=True):
            left = most - sum(table.floor for table in own[k + 1 :] if table is not None)
            blocks.append(_stepped(found, block, view, own[k], left))
        found = replace(found, blocks=tuple(blocks), views=(*found.views, view), dropped=most + 1)
        while sum(len(block.rows) for block in found.blocks) > CROWD and most > 0:
            most -= 1
            found = found.within(most)
    return found


def _stepped(space: Space, block: Block, view: View, table: Table | None, most: int) -> Block:
    """A block with one view more, up to `most` contradictions."""
    if table is not None:
        return lean(_joined(block, table, most, len(space.cores)))
    block = placed(space, block, view)
    for number, taken in of_view(space, view):
        block = space.judged(block, taken, number)
    return replace(space, blocks=(block,)).within(most).blocks[0]


def _table_of(space: Space, model: Model, view: View) -> Table | None:
    """The table of a view; None where its roles can lie in too many ways, and on the hoist side."""
    roles = needed(model, model.sheet(*view))
    if view[0] == "hoist" or perm(len(space.cores), len(roles)) > TABLE:
        return None
    return _table(model, space.cores, view, of_view(space, view))


@lru_cache(maxsize=1024)
def _table(model: Model, cores: tuple[str, ...], view: View, listed: Numbered) -> Table:
    """Every placement of the roles that matter in one view, with the view's readings it contradicts."""
    roles = needed(model, model.sheet(*view))
    if listed:
        before = _table(model, cores, view, listed[:-1])
        number, taken = listed[-1]
        block = Block(model, roles, before.rows, before.misses, 1.0)
        block = Space(cores, (block,)).judged(block, taken, number)
        return Table(roles, before.rows, block.misses, int(block.cost.min()) if len(block.rows) else 0)
    rows, _ = spread(one_row(), len(cores), len(roles))
    return Table(roles, rows, no_marks(len(rows)), 0)


def _joined(block: Block, table: Table, most: int, cores: int) -> Block:
    """Rows extended by the placements of a view that agree with them, up to `most` contradictions."""
    more = [role for role in table.roles if role not in block.placed]
    shared = [role for role in table.roles if role in block.placed]
    block, close = block.only(block.cost <= most), costs(table.misses) <= most
    rows, misses = table.rows[close], table.misses[close]
    mine = keys(block.rows[:, [block.placed.index(role) for role in shared]], cores)
    theirs = keys(rows[:, [table.roles.index(role) for role in shared]], cores)
    order = np.argsort(theirs, kind="stable")
    fresh = rows[order][:, [table.roles.index(role) for role in more]]
    misses, theirs = misses[order], theirs[order]
    begin = np.searchsorted(theirs, mine, "left")
    size = np.searchsorted(theirs, mine, "right") - begin
    found_rows: list[Rows] = [np.zeros((0, len(block.placed) + len(more)), np.uint8)]
    found_marks: list[Marks] = [no_marks(0)]
    for lot in _lots(size):
        one = np.repeat(lot, size[lot])
        before = np.cumsum(size[lot]) - size[lot]
        two = begin[one] + np.arange(len(one)) - np.repeat(before, size[lot])
        marks = both(block.misses[one], misses[two])
        kept = (costs(marks) <= most) & apart(block.rows[one], fresh[two])
        found_rows.append(np.column_stack((block.rows[one], fresh[two]))[kept])
        found_marks.append(marks[kept])
    weight = block.weight / perm(cores - len(block.placed), len(more))
    placed = (*block.placed, *more)
    return Block(block.model, placed, np.concatenate(found_rows), stacked(found_marks), weight)


def _lots(sizes: Ints) -> Iterator[Ints]:
    """Numbers of rows, so many together that the sizes add up to about a lot."""
    number = np.cumsum(sizes) // LOT
    for lot in np.unique(number):
        yield np.flatnonzero(number == lot)
