"""Hypotheses that speak when readings are weighed: a share for each, and what they expect."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from wiring.identify.meter import Expect
from wiring.identify.probe import Probe
from wiring.identify.rows import Ints
from wiring.identify.space import Block, Space

#: Weight of a hypothesis for each contradiction more than the best (one reading in ten is wrong).
WRONG = 1.0 / 9.0
Weights = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Voice:
    """One hypothesis. row: number of the core of each placed role; weight: its share."""

    block: Block
    row: tuple[int, ...]
    weight: float

    def at(self, space: Space) -> dict[str, str]:
        """Role to core."""
        return {role: space.cores[n] for role, n in zip(self.block.placed, self.row, strict=True)}


@dataclass(frozen=True, eq=False)
class Panel:
    """Hypotheses type by type, each with its share."""

    parts: tuple[tuple[Block, Weights], ...] = ()

    def __len__(self) -> int:
        return sum(len(weights) for _, weights in self.parts)

    def voices(self) -> Iterator[Voice]:
        """One by one."""
        for block, weights in self.parts:
            for number, weight in enumerate(weights.tolist()):
                yield Voice(block, block.row(number), weight)

    def shares(self, space: Space, probe: Probe) -> dict[Expect, float]:
        """What is expected of a probe, and by which share."""
        found: dict[Expect, float] = {}
        for block, weights in self.parts:
            expects, which = space.expected(block, probe)
            sums = np.bincount(which, weights, len(expects)).tolist()
            for expect, weight in zip(expects, sums, strict=True):
                found[expect] = found.get(expect, 0.0) + weight
        return found


def panel(space: Space, beyond: int, most: int) -> Panel:
    """The likeliest hypotheses, the far ones weighted down; drawn at random where there are more."""
    near = space.near(beyond)
    total = sum(len(block.rows) for block in near)
    if total > most:
        near = _drawn(near, total, most)
    raw = [block.weight * WRONG ** (block.cost - space.best).astype(np.float64) for block in near]
    whole = sum(float(weights.sum()) for weights in raw) or 1.0
    return Panel(tuple((block, weights / whole) for block, weights in zip(near, raw, strict=True)))


def _drawn(near: list[Block], total: int, most: int) -> list[Block]:
    chosen: Ints = np.array(sorted(random.Random(total).sample(range(total), most)), np.int64)
    found, begin = [], 0
    for block in near:
        own = chosen[(chosen >= begin) & (chosen < begin + len(block.rows))] - begin
        begin += len(block.rows)
        if len(own):
            found.append(block.only(own))
    return found
