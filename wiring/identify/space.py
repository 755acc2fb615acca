"""What the cords can still be: hoist types with every way their roles can lie on the cores.

A hypothesis is a type and the cores of its roles. None is ever struck out by one
reading: each keeps the set of readings that it contradicts, and the fewer the
better. Large cords would have hundreds of millions of hypotheses, so a type's
roles are placed only when a state is opened in which they matter; roles that no
opened state tells apart stand for each other.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property

from wiring.identify import volts
from wiring.identify.meter import ANYTHING, Expect, Model, Sheet
from wiring.identify.probe import Probe, Taken
from wiring.model.behaviour import State

#: Below this many hypotheses every role is placed from the start.
WHOLE = 6000
#: Where there are more, only those with this many contradictions more than the best are carried on.
RADIUS = 1
#: More than this many are not carried at all: the farthest go, and no answer is certain then.
CROWD = 40000
#: A type with more spare cores than another is taken to be rarer by this factor a core.
SPARE = 0.5

View = tuple[str, State]  # a side and a state
Row = tuple[int, ...]  # the cores of the placed roles, as bits


@dataclass(frozen=True, slots=True)
class Block:
    """The hypotheses of one type. placed: the roles in the order of a row; rows: the core of
    each placed role, as a bit; misses: the readings each contradicts, as bits; weight: prior
    of one row."""

    model: Model
    placed: tuple[str, ...]
    rows: tuple[tuple[int, ...], ...]
    misses: tuple[int, ...]
    weight: float

    def roles_in(self, row: tuple[int, ...], mask: int) -> frozenset[str]:
        """The roles that lie on the cores of a mask."""
        return frozenset(role for role, bit in zip(self.placed, row, strict=True) if bit & mask)


def needed(model: Model, sheet: Sheet) -> tuple[str, ...]:
    """The roles that a sheet tells apart from loose ends."""
    if sheet.side == "hoist":
        return model.roles
    count: dict[int, int] = {}
    for role in model.roles:
        count[sheet.moving[role]] = count.get(sheet.moving[role], 0) + 1
    return tuple(role for role in model.roles if count[sheet.moving[role]] > 1)


def spread(rows: Iterable[Row], roles: int, bits: Row) -> Iterator[tuple[int, Row]]:
    """Each row, with its number, extended by `roles` more cores in every way."""
    for number, row in enumerate(rows):
        heads = [row]
        for _ in range(roles):
            heads = [(*head, bit) for head in heads for bit in bits if bit not in head]
        for head in heads:
            yield number, head


@dataclass(frozen=True)
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
            Block(model, (), ((),), (0,), share / whole) for model, share in zip(fitting, shares, strict=True)
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
        if not more or not block.rows:
            return block
        bits = tuple(1 << i for i in range(len(self.cores)))
        rows, misses = [], []
        for number, row in spread(block.rows, len(more), bits):
            rows.append(row)
            misses.append(block.misses[number])
        free = len(self.cores) - len(block.placed)
        weight = block.weight / math.perm(free, len(more))
        placed = (*block.placed, *more)
        return replace(block, placed=placed, rows=tuple(rows), misses=tuple(misses), weight=weight)

    # -- readings ------------------------------------------------------------------------------
    def judged(self, block: Block, taken: Taken, number: int) -> Block:
        """A block with a reading marked on the rows that it contradicts. number: of the reading."""
        if taken.probe.live:
            cores = self.split(taken.probe.a | taken.probe.b)[0]
            fits = [
                volts.accepts(block.model, block.roles_in(row, cores), taken.probe, taken.answer)
                for row in block.rows
            ]
        else:
            fits = [expect.accepts(taken.answer) for expect in self.expected(block, taken.probe)]
        marks = [0 if fit else 1 << number for fit in fits]
        misses = tuple(miss | mark for miss, mark in zip(block.misses, marks, strict=True))
        return replace(block, misses=misses)

    def expected(self, block: Block, probe: Probe) -> list[Expect]:
        """What each row of a block expects of a probe."""
        sheet = block.model.sheet(probe.side, probe.state)
        (mask_a, points_a), (mask_b, points_b) = self.split(probe.a), self.split(probe.b)
        if not sheet.seat.keys() >= points_a | points_b:
            return [ANYTHING] * len(block.rows)  # a point that this type does not have tells nothing of it
        memo: dict[tuple[int, ...], Expect] = {}
        both = mask_a | mask_b
        found = []
        for row in block.rows:
            key = tuple([1 if bit & mask_a else 2 if bit & both else 0 for bit in row])
            expect = memo.get(key)
            if expect is None:
                a, b = block.roles_in(row, mask_a) | points_a, block.roles_in(row, mask_b) | points_b
                expect = memo[key] = sheet.expect(a, b)
            found.append(expect)
        return found

    def split(self, group: frozenset[str]) -> tuple[int, frozenset[str]]:
        """The cores of a group as a mask, and its points."""
        mask = sum(1 << i for i, core in enumerate(self.cores) if core in group)
        return mask, frozenset(name for name in group if ":" in name)

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
            kept = [i for i, miss in enumerate(block.misses) if miss.bit_count() <= most]
            if len(kept) < len(block.rows):
                dropped = min(dropped or most + 1, most + 1)
                rows, misses = tuple(block.rows[i] for i in kept), tuple(block.misses[i] for i in kept)
                block = replace(block, rows=rows, misses=misses)
            blocks.append(block)
        return replace(self, blocks=tuple(blocks), dropped=dropped)

    # -- reading it ----------------------------------------------------------------------------
    @cached_property
    def best(self) -> int:
        """Fewest contradictions of any hypothesis."""
        return min((miss.bit_count() for block in self.blocks for miss in block.misses), default=0)

    def near(self, beyond: int = 0) -> list[tuple[Block, int]]:
        """Block and row number of every hypothesis at most `beyond` worse than the best."""
        most = self.best + beyond
        return [
            (block, i)
            for block in self.blocks
            for i, miss in enumerate(block.misses)
            if miss.bit_count() <= most
        ]
