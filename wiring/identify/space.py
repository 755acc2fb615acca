"""What the cords can still be: hoist types with every way their roles can lie on the cores.

A hypothesis is a type and the cores of its roles. None is ever struck out by one
reading: each keeps the set of readings that it contradicts, and the fewer the
better. Large cords would have hundreds of millions of hypotheses, so a type's
roles are placed only when a state is opened in which they matter; roles that no
opened state tells apart stand for each other.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

import numpy as np

from wiring.identify import volts
from wiring.identify.meter import ANYTHING, Expect, Model, Sheet
from wiring.identify.probe import Probe, Taken
from wiring.identify.rows import Flags, Ints, Marks, Rows, costs, different, marked, no_marks, one_row, spread
from wiring.model.behaviour import State

#: Below this many hypotheses every role is placed from the start.
WHOLE = 6000
#: Where there are more, only those with this many contradictions more than the best are carried on.
RADIUS = 1
#: More than this many are not carried at all: the farthest go, and no answer is certain then.
CROWD = 150_000
#: A type with more spare cores than another is taken to be rarer by this factor a core.
SPARE = 0.5

View = tuple[str, State]  # a side and a state
Group = frozenset[str]


@dataclass(frozen=True, eq=False)
class Block:
    """The hypotheses of one type. placed: the roles in the order of a row; rows: the number of the
    core of each placed role; misses: the readings each contradicts; weight: prior of one row."""

    model: Model
    placed: tuple[str, ...]
    rows: Rows
    misses: Marks
    weight: float

    @cached_property
    def cost(self) -> Ints:
        """How many readings each row contradicts."""
        return costs(self.misses)

    def only(self, which: Flags | Ints) -> Block:
        """Some of the rows."""
        return replace(self, rows=self.rows[which], misses=self.misses[which])

    def row(self, number: int) -> tuple[int, ...]:
        """One row: the number of the core of each placed role."""
        return tuple(self.rows[number].tolist())

    def coded(self, code: list[int]) -> tuple[list[tuple[int, ...]], Ints]:
        """The different rows once each core is only what the code says of it (0, 1 or 2), and which
        of them each row is."""
        width = len(self.placed)
        powers = 3 ** np.arange(width, dtype=np.int64)
        number = np.array(code, np.int64)[self.rows] @ powers
        distinct, which = np.unique(number, return_inverse=True)
        return [tuple(int(x) // 3**k % 3 for k in range(width)) for x in distinct], which


def needed(model: Model, sheet: Sheet) -> tuple[str, ...]:
    """The roles that a sheet tells apart from loose ends."""
    if sheet.side == "hoist":
        return model.roles
    count: dict[int, int] = {}
    for role in model.roles:
        count[sheet.moving[role]] = count.get(sheet.moving[role], 0) + 1
    return tuple(role for role in model.roles if count[sheet.moving[role]] > 1)


@dataclass(frozen=True, eq=False)
class Space:
    """All hypotheses under the readings taken so far. A value: `rebuild.after` gives the next one.

    cores: core ids; views: sides and states opened, in order; dropped: fewest contradictions
    of a hypothesis that was dropped, 0 where none was; idle: readings that struck out none of
    the best hypotheses, which is what a confirming reading does.
    """

    cores: tuple[str, ...]
    blocks: tuple[Block, ...]
    taken: tuple[Taken, ...] = ()
    views: tuple[View, ...] = ()
    dropped: int = 0
    idle: int = 0

    # -- making --------------------------------------------------------------------------------
    @staticmethod
    def start(models: Iterable[Model], cores: tuple[str, ...]) -> Space:
        """Every type that has no more cores than were seen."""
        fitting = [model for model in models if len(model.roles) <= len(cores)]
        shares = [SPARE ** (len(cores) - len(model.roles)) for model in fitting]
        whole = sum(shares) or 1.0
        blocks = tuple(
            Block(model, (), one_row(), no_marks(1), share / whole)
            for model, share in zip(fitting, shares, strict=True)
        )
        space = Space(cores, blocks)
        size = sum(math.perm(len(cores), len(model.roles)) for model in fitting)
        return space.placed_all() if size <= WHOLE else space

    def placed_all(self) -> Space:
        """Every role of every type placed."""
        return replace(self, blocks=tuple(self.extended(block, block.model.roles) for block in self.blocks))

    def extended(self, block: Block, roles: Iterable[str]) -> Block:
        """A block with these roles placed too, in every way."""
        more = tuple(role for role in roles if role not in block.placed)
        if not more or not len(block.rows):
            return block
        rows, origin = spread(block.rows, len(self.cores), len(more))
        free = len(self.cores) - len(block.placed)
        weight = block.weight / math.perm(free, len(more))
        return Block(block.model, (*block.placed, *more), rows, block.misses[origin], weight)

    # -- readings ------------------------------------------------------------------------------
    def judged(self, block: Block, taken: Taken, number: int) -> Block:
        """A block with a reading marked on the rows that it contradicts. number: of the reading."""
        if taken.probe.live:
            return self._live(block, taken, number)
        expects, which = self.expected(block, taken.probe)
        fits = np.array([expect.accepts(taken.answer) for expect in expects], np.bool_)
        return block if fits.all() else replace(block, misses=marked(block.misses, number, ~fits[which]))

    def _live(self, block: Block, taken: Taken, number: int) -> Block:
        read = taken.probe.a | taken.probe.b
        codes, which = block.coded([int(core in read) for core in self.cores])
        fits = np.array(
            [volts.accepts(block.model, held(block, code, 1), taken.probe, taken.answer) for code in codes],
            np.bool_,
        )
        return replace(block, misses=marked(block.misses, number, ~fits[which]))

    def expected(self, block: Block, probe: Probe) -> tuple[list[Expect], Ints]:
        """What the rows of a block expect of a probe: the different readings, and which each row has."""
        sheet = block.model.sheet(probe.side, probe.state)
        points_a, points_b = points(probe.a), points(probe.b)
        if not sheet.seat.keys() >= points_a | points_b:  # a point that this type does not have
            return [ANYTHING], np.zeros(len(block.rows), np.int64)
        code = np.array([1 if core in probe.a else 2 * (core in probe.b) for core in self.cores], np.int64)
        width = len(block.placed)
        numbers, which = different(code[block.rows] @ powers(width), 3**width)
        known = sheet.known(block.placed, points_a, points_b)
        found = []
        for number in numbers.tolist():
            expect = known.get(number)
            if expect is None:
                digits = [number // 3**k % 3 for k in range(width)]
                groups = [held(block, digits, 1) | points_a, held(block, digits, 2) | points_b]
                expect = known[number] = sheet.expect(*groups)
            found.append(expect)
        return found, which

    def whole(self, beyond: int) -> bool:
        """True where every hypothesis up to `beyond` worse than the best is here."""
        return not self.dropped or self.best + beyond < self.dropped

    def pruned(self) -> Space:
        """Hypotheses far from the best dropped, as soon as there are too many to carry."""
        size = sum(len(block.rows) for block in self.blocks)
        return self if size <= WHOLE else self.within(self.best + RADIUS)

    def within(self, most: int) -> Space:
        """Hypotheses with more than `most` contradictions dropped."""
        dropped = self.dropped
        blocks = []
        for block in self.blocks:
            kept = block.cost <= most
            if not kept.all():
                dropped = min(dropped or most + 1, most + 1)
                block = block.only(kept)
            blocks.append(block)
        return replace(self, blocks=tuple(blocks), dropped=dropped)

    # -- reading it ----------------------------------------------------------------------------
    @cached_property
    def best(self) -> int:
        """Fewest contradictions of any hypothesis."""
        return min((int(block.cost.min()) for block in self.blocks if len(block.rows)), default=0)

    def near(self, beyond: int = 0) -> list[Block]:
        """The hypotheses at most `beyond` worse than the best, type by type."""
        kept = [block.only(block.cost <= self.best + beyond) for block in self.blocks]
        return [block for block in kept if len(block.rows)]

    def count(self, beyond: int = 0) -> int:
        """How many hypotheses are at most `beyond` worse than the best."""
        return sum(int((block.cost <= self.best + beyond).sum()) for block in self.blocks)


@lru_cache(maxsize=64)
def powers(width: int) -> Ints:
    """Powers of three, one for each place of a row."""
    return 3 ** np.arange(width, dtype=np.int64)


def held(block: Block, code: Sequence[int], part: int) -> Group:
    """The roles that lie on the cores to which a code gives this part."""
    return frozenset([role for role, c in zip(block.placed, code, strict=True) if c == part])


def points(group: Group) -> Group:
    """The points of a group that are no cores."""
    return frozenset([name for name in group if ":" in name])
