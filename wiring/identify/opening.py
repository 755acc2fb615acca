"""Opening a side in a state: the roles that matter there get their places.

One row stands for all rows that the handset cannot tell apart.

Many handsets have twins of their own: the two ends of a stop loop, the two loops
of a double stop. Only the hoist side parts them. Until it is read, one row stands
for all its twins; when it is opened, the twins come back.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from math import perm

import numpy as np

from wiring.identify.alike import Swap, exchanges, handset_sheets
from wiring.identify.meter import Model
from wiring.identify.probe import Taken
from wiring.identify.rows import keys
from wiring.identify.space import CROWD, Block, Space, View, needed
from wiring.model.behaviour import State


def twins(model: Model) -> tuple[Swap, ...]:
    """Changes of places among a type's roles that no reading of the handset notices."""
    return _twins(model)


@lru_cache(maxsize=256)
def _twins(model: Model) -> tuple[Swap, ...]:
    return exchanges(model, tuple(handset_sheets(model)), ())


def moves(block: Block) -> list[tuple[int, ...]]:
    """Twin changes that stay among the placed roles and leave all others alone, as places in a row."""
    roles = block.model.roles
    at = {role: k for k, role in enumerate(block.placed)}
    found = []
    for swap in twins(block.model)[1:]:
        moved = [i for i, j in enumerate(swap) if i != j]
        if all(roles[i] in at for i in moved):
            order = list(range(len(block.placed)))
            for i in moved:
                order[at[roles[i]]] = at[roles[swap[i]]]
            found.append(tuple(order))
    return found


def lean(block: Block) -> Block:
    """Only the first of each set of twin rows. The rows left out are counted in the weight."""
    orders = moves(block)
    if not orders or not len(block.rows):
        return block
    above = int(block.rows.max()) + 1
    own = keys(block.rows, above)
    first = np.ones(len(block.rows), np.bool_)
    for order in orders:
        first &= own <= keys(block.rows[:, list(order)], above)
    kept = block.only(first)  # never empty
    return replace(kept, weight=block.weight * len(block.rows) / len(kept.rows))


def full(block: Block) -> Block:
    """Every twin row again."""
    orders = moves(block)
    if not orders or not len(block.rows):
        return block
    rows = np.concatenate([block.rows, *(block.rows[:, list(order)] for order in orders)])
    misses = np.concatenate([block.misses] * (len(orders) + 1))
    first = np.sort(np.unique(keys(rows, int(rows.max()) + 1), return_index=True)[1])
    weight = block.weight * len(block.rows) / max(1, len(first))
    return replace(block, rows=rows[first], misses=misses[first], weight=weight)


def opened(space: Space, side: str, state: State) -> Space:
    """The space with the roles placed that matter on a side in a state."""
    view = (side, state)
    if view in space.views:
        return space
    found = replace(space, blocks=tuple(placed(space, block, view) for block in space.blocks))
    found = replace(found, views=(*space.views, view))
    for number, taken in of_view(space, view):  # readings that had to wait for this
        found = replace(found, blocks=tuple(found.judged(block, taken, number) for block in found.blocks))
    return found.pruned()


def placed(space: Space, block: Block, view: View) -> Block:
    """A block with the roles placed that matter in a view."""
    roles = needed(block.model, block.model.sheet(*view))
    if view[0] == "hoist":
        return space.extended(full(block), roles)
    hoist = any(side == "hoist" for side, _ in space.views)
    grown = space.extended(block, roles)
    return grown if hoist or len(block.placed) == len(block.model.roles) else lean(grown)


def of_view(space: Space, view: View) -> tuple[tuple[int, Taken], ...]:
    """Readings taken in a view, with their numbers."""
    return tuple(
        (number, taken)
        for number, taken in enumerate(space.taken)
        if (taken.probe.side, taken.probe.state) == view
    )


def ready(space: Space) -> bool:
    """True where the hoist side can be opened: not too many hypotheses once every role is placed."""
    if any(side == "hoist" for side, _ in space.views):
        return True
    size = 0
    for block in space.blocks:
        missing = len(block.model.roles) - len(block.placed)
        size += (
            len(block.rows) * perm(len(space.cores) - len(block.placed), missing) * len(twins(block.model))
        )
    return size <= 2 * CROWD
