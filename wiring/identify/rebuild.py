"""One reading more, and the way back to what was dropped.

Large cords carry only hypotheses near the best. When wrong readings have pushed
the best that far out that a dropped one could be as good, all of them are gone
over again: state by state, each state's placements judged once, joined to the
rows so far, and cut where even the best of the later states could not make up.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import permutations
from math import perm

from wiring.identify.meter import Model
from wiring.identify.opening import lean, of_view, opened, placed, ready
from wiring.identify.probe import Taken
from wiring.identify.space import CROWD, RADIUS, Block, Row, Space, View, needed

#: A view whose roles can lie in more ways than this is joined row by row.
TABLE = 12000

Numbered = tuple[tuple[int, Taken], ...]


@dataclass(frozen=True, slots=True)
class Table:
    """Placements of the roles of one view, and the view's readings that each contradicts; floor:
    the fewest of them, whatever the rest is."""

    roles: tuple[str, ...]
    rows: tuple[Row, ...]
    misses: tuple[int, ...]
    floor: int


def after(space: Space, taken: Taken) -> Space:
    """The space with one more reading."""
    number = len(space.taken)
    if taken.probe.side == "hoist" and not ready(space):  # judged when every role can be placed
        return replace(space, taken=(*space.taken, taken))
    base = opened(space, taken.probe.side, taken.probe.state)
    blocks = tuple(base.judged(block, taken, number) for block in base.blocks)
    found = replace(base, blocks=blocks, taken=(*space.taken, taken))
    idle = found.best == base.best and len(found.near()) == len(base.near())
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
        misses = block.misses
        return Table(roles, before.rows, misses, min((m.bit_count() for m in misses), default=0))
    rows = tuple(permutations([1 << i for i in range(len(cores))], len(roles)))
    return Table(roles, rows, (0,) * len(rows), 0)


def _joined(block: Block, table: Table, most: int, cores: int) -> Block:
    """Rows extended by the placements of a view that agree with them, up to `most` contradictions."""
    more = tuple(role for role in table.roles if role not in block.placed)
    shared = [(block.placed.index(r), table.roles.index(r)) for r in table.roles if r in block.placed]
    fresh = [table.roles.index(role) for role in more]
    index: dict[Row, list[tuple[Row, int, int]]] = {}
    for row, miss in zip(table.rows, table.misses, strict=True):
        if miss.bit_count() <= most:
            extra = tuple([row[i] for i in fresh])
            index.setdefault(tuple([row[i] for _, i in shared]), []).append((extra, sum(extra), miss))
    rows, misses = [], []
    places = [i for i, _ in shared]
    for row, miss in zip(block.rows, block.misses, strict=True):
        used, left = sum(row), most - miss.bit_count()
        for extra, mask, added in index.get(tuple([row[i] for i in places]), ()):
            if not mask & used and added.bit_count() <= left:
                rows.append((*row, *extra))
                misses.append(miss | added)
    weight = block.weight / perm(cores - len(block.placed), len(more))
    return Block(block.model, (*block.placed, *more), tuple(rows), tuple(misses), weight)
