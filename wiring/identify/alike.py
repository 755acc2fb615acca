"""What no dead reading can tell apart: symmetries of a type, and hypotheses that read alike.

A symmetry of a type is a change of places among its roles that leaves every
reading as it was: the two line phases with their motor ends, the two halves of a
loop. Hypotheses that differ by one are one answer.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

import numpy as np

from wiring.identify.meter import FRAME, Model, Sheet
from wiring.identify.rows import Ints, keys
from wiring.identify.space import Block

Swap = tuple[int, ...]  # for each role of the type, the number of the role that takes its place


def handset_sheets(model: Model) -> Iterator[Sheet]:
    """Every sheet of the handset that a person can read."""
    states: list[frozenset[str]] = [frozenset(), frozenset({"stop"})]
    buttons = [name for name in model.operated if name.startswith("button:")]
    states += [frozenset({name}) for name in buttons] + [frozenset({name, "stop"}) for name in buttons]
    for state in states:
        yield model.sheet("handset", state)


def sheets_of(model: Model) -> Iterator[Sheet]:
    """Every sheet that a person can read with the hoist dead and no limit opened by hand."""
    yield from handset_sheets(model)
    yield model.sheet("hoist", frozenset())


def symmetries(model: Model) -> tuple[Swap, ...]:
    """All changes of places that no reading notices, the first of them none at all."""
    return _symmetries(model)


@lru_cache(maxsize=256)
def _symmetries(model: Model) -> tuple[Swap, ...]:
    return exchanges(model, tuple(sheets_of(model)), (FRAME,))


def exchanges(model: Model, sheets: tuple[Sheet, ...], points: tuple[str, ...]) -> tuple[Swap, ...]:
    """Changes of places among the roles that leave every reading of these sheets as it was, also
    those to the named points."""
    names = (*model.roles, *points)
    table = {
        (i, j): tuple(sheet.expect(frozenset([a]), frozenset([b])) for sheet in sheets)
        for i, a in enumerate(names)
        for j, b in enumerate(names)
        if i != j
    }
    n = len(model.roles)
    kinds = [
        (
            tuple(table[i, n + k] for k in range(len(points))),
            tuple(sorted(repr(table[i, j]) for j in range(n) if j != i)),
        )
        for i in range(n)
    ]
    found: list[Swap] = []

    def place(head: list[int]) -> None:
        i = len(head)
        if i == n:
            found.append(tuple(head))
            return
        for j in range(n):
            if j in head or kinds[j] != kinds[i]:
                continue
            if all(table[k, i] == table[head[k], j] for k in range(i)):
                place([*head, j])

    place([])
    return tuple(sorted(found, key=lambda swap: swap != tuple(range(n))))


def standing_keys(block: Block, cores: int) -> Ints:
    """For each row a value that all rows of the same answer share, and no others. cores: above
    every number of a core."""
    at = {role: k for k, role in enumerate(block.placed)}
    rows = np.full((len(block.rows), len(block.model.roles)), cores, np.uint8)  # where none is placed
    for i, role in enumerate(block.model.roles):
        if role in at:
            rows[:, i] = block.rows[:, at[role]]
    found = keys(rows, cores + 1)
    for swap in symmetries(block.model)[1:]:
        other = keys(rows[:, list(swap)], cores + 1)
        found = np.where(other < found, other, found)
    return found
