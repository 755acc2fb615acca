"""Confirming readings: never end on one reading.

The readings so far leave one answer. Each rival is held off by the readings it
contradicts; where that is one reading only, that one may be wrong. A confirming
reading is one on which the answer and as many close rivals as possible differ.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from wiring.identify.alike import standing_keys
from wiring.identify.choose import Choice, expected_of, hoist_probes, symbols, trouble
from wiring.identify.meter import Answer, Expect
from wiring.identify.panel import WRONG, Panel, Voice
from wiring.identify.probe import REST, Probe
from wiring.identify.space import Block, Space
from wiring.model.behaviour import State

#: How many readings must speak against the nearest rival: after many confirming readings without a
#: contradiction, as a rule, and at most. With two alone, one wrong reading in ten made three answers
#: of 400 certain and wrong; with three, none.
HELD_OFF_LEAST, HELD_OFF, HELD_OFF_MOST = 2, 3, 4
#: It is taken that at most one reading in so many is wrong.
ONE_WRONG_IN = 10
#: A reading that touches a core not yet read on that side is worth more by this: both ends count.
FRESH = 0.85
#: At most this many rivals are looked at.
RIVALS = 400


@dataclass(frozen=True, slots=True)
class Standing:
    """The answers that fit best, and what stands near them. gap: contradictions that the nearest
    rival has more than they."""

    answers: tuple[Voice, ...]
    rivals: Panel
    gap: int


def needed_gap(space: Space) -> int:
    """How far every rival must be held off before an answer is called certain.

    Farther than one wrong reading in ten can reach, and never less than three, but for a rival that
    no reading tells apart any further: after as many confirming readings as there are cores and
    four, all of one voice, the least is enough.
    """
    reach = math.ceil(len(space.taken) / ONE_WRONG_IN)
    most = HELD_OFF if space.dropped else HELD_OFF_MOST  # what can be carried
    wanted = max(HELD_OFF, min(most, reach + 1 - space.best))
    spent = space.idle >= len(space.cores) + 4
    return HELD_OFF_LEAST if spent and space.best == 0 else wanted


def standing(space: Space, need: int) -> Standing:
    """The best answers and their rivals, one hypothesis for each answer. Asks for a space that is
    complete up to `need - 1`."""
    single = [_single(block, len(space.cores)) for block in space.near(need - 1)]
    answers = [
        Voice(block, block.row(i), 1.0)
        for block in single
        for i in np.flatnonzero(block.cost == space.best).tolist()
    ]
    others = [block.only(block.cost > space.best) for block in single]
    gap = min((int(block.cost.min()) - space.best for block in others if len(block.rows)), default=need)
    return Standing(tuple(answers), _rivals(space, others), gap)


def _single(block: Block, cores: int) -> Block:
    """One row for each answer, the one that contradicts least."""
    order = np.argsort(block.cost, kind="stable")
    return block.only(order[np.sort(np.unique(standing_keys(block, cores)[order], return_index=True)[1])])


def _rivals(space: Space, others: list[Block]) -> Panel:
    """The nearest of all rivals, weighted by how near they are."""
    every = np.sort(np.concatenate([block.cost for block in others] or [np.zeros(0, np.int64)]))
    most = int(every[min(RIVALS, len(every)) - 1]) if len(every) else 0
    parts, room = [], RIVALS - int((every < most).sum())
    for block in others:
        last = np.flatnonzero(block.cost == most)[:room]
        room -= len(last)
        near = block.only(np.sort(np.concatenate([np.flatnonzero(block.cost < most), last])))
        if len(near.rows):
            parts.append((near, WRONG ** (near.cost - space.best).astype(np.float64)))
    return Panel(tuple(parts))


def confirming(
    space: Space, now: Standing, listed: list[State], ties: bool, skipped: frozenset[Probe] = frozenset()
) -> Choice | None:
    """The probe that holds off most of the near rivals, for its trouble; None where none does."""
    last = space.taken[-1].probe if space.taken else None
    truth = now.answers[0]
    whole = sum(float(weights.sum()) for _, weights in now.rivals.parts)
    unseen, moved = unread(space), moving(space, truth, now.rivals)
    best: Choice | None = None
    for probe, past in candidates(space, truth, listed, ties):
        if not (probe.a | probe.b) & moved:
            continue
        mine = expected_of(truth, space, probe)
        if probe in skipped or (past is not None and not mine.accepts(past)):
            continue
        others = now.rivals.shares(space, probe)
        told = sum(weight * apart(mine, other, past) for other, weight in others.items())
        fresh = any((probe.a | probe.b) & cores for side, cores in unseen.items() if side == probe.side)
        cost = trouble(probe, last) * (FRESH if fresh else 1.0)
        choice = Choice(probe, told / whole, 2, cost)
        if told > 1e-6 and (best is None or choice.worth > best.worth):
            best = choice
    return best


def moving(space: Space, truth: Voice, rivals: Panel) -> frozenset[str]:
    """Cores that are something else to some rival; all of them where a rival is another type."""
    if any(block.model is not truth.block.model for block, _ in rivals.parts):
        return frozenset(space.cores)
    mine = dict(zip(truth.block.placed, truth.row, strict=True))
    found: set[int] = set()
    for block, _ in rivals.parts:
        for k, role in enumerate(block.placed):
            other = block.rows[:, k][block.rows[:, k] != mine.get(role, -1)]
            if len(other):
                found |= {*other.tolist(), mine.get(role, int(other[0]))}
    return frozenset(space.cores[i] for i in found)


def unread(space: Space) -> dict[str, frozenset[str]]:
    """Side to the cores that no reading touched there."""
    found = {}
    for side in ("handset", "hoist"):
        touched = [t.probe.a | t.probe.b for t in space.taken if t.probe.side == side and not t.probe.live]
        found[side] = frozenset(space.cores) - frozenset().union(*touched)
    return found


def apart(mine: Expect, other: Expect, past: Answer | None) -> float:
    """Share of the answers of one that the other does not allow; with an earlier answer known, that one."""
    if past is not None:
        return 0.0 if other.accepts(past) else 1.0
    if mine == other:
        return 0.0
    theirs = symbols(other)
    return 1.0 - sum(share for symbol, share in symbols(mine).items() if symbol in theirs)


def candidates(
    space: Space, truth: Voice, listed: list[State], ties: bool
) -> Iterator[tuple[Probe, Answer | None]]:
    """Probes that can confirm, and the answers of those that were taken before."""
    for taken in space.taken:
        if not taken.probe.live:
            yield taken.probe, taken.answer
    for state in listed:
        for probe in handset_probes(space, truth, state, ties):
            yield probe, None
    if ("hoist", REST) in space.views:
        for probe in hoist_probes(space):
            yield probe, None


def handset_probes(space: Space, truth: Voice, state: State, ties: bool) -> Iterator[Probe]:
    """On the handset: what must close, and what must stay open, the latter with everything tied."""
    groups = joined_cores(space, truth, state)
    for group in groups:
        others = [core for core in space.cores if core not in group]
        for a, b in combinations(group, 2):
            yield Probe(frozenset([a]), frozenset([b]), "handset", state)
        if ties and others:
            yield Probe(frozenset(group), frozenset(others), "handset", state)
            yield Probe(frozenset(group[:1]), frozenset(others), "handset", state)
        elif not ties:
            for a in group:
                for b in others:
                    yield Probe(frozenset([a]), frozenset([b]), "handset", state)
    if ties and not groups:
        yield Probe(frozenset(space.cores[::2]), frozenset(space.cores[1::2]), "handset", state)


def joined_cores(space: Space, truth: Voice, state: State) -> list[list[str]]:
    """The groups of cores that the answer joins on the handset in a state."""
    sheet = truth.block.model.sheet("handset", state)
    together: dict[int, list[str]] = {}
    for role, core in truth.at(space).items():
        together.setdefault(sheet.moving[role], []).append(core)
    return [cores for cores in together.values() if len(cores) > 1]
