"""Confirming readings: never end on one reading.

The readings so far leave one answer. Each rival is held off by the readings it
contradicts; where that is one reading only, that one may be wrong. A confirming
reading is one on which the answer and as many close rivals as possible differ.
"""

from __future__ import annotations

import math

import numpy as np

from wiring.identify.ahead import first_of
from wiring.identify.alike import standing_keys
from wiring.identify.choose import Choice, expected_of
from wiring.identify.desk import FIRM, NOTHING, Desk, Standing, candidates, is_firm, widen
from wiring.identify.panel import Panel, Voice, Weights
from wiring.identify.probe import Probe
from wiring.identify.rows import WORD, Marks, costs
from wiring.identify.space import Block, Space
from wiring.model.behaviour import State

#: How many readings must speak against the nearest rival: after many confirming readings without a
#: contradiction, as a rule, and at most. A number in a narrow band counts half as much again. Simulated
#: cords by tied groups, each reading or one in each ten wrong with 0.1:
#:
#:   held off by               confirming at 4, 6, 8, 12 cores   certain and wrong
#:   2 until a contradiction   1.5   2.0   2.5   2.0             1 of 500
#:   3                         3.0   4.0   5.2   5.6             0 of 2,000
HELD_OFF_LEAST, HELD_OFF, HELD_OFF_MOST = 2, 3, 4
#: It is taken that at most one reading in so many is wrong.
ONE_WRONG_IN = 10
#: At most this many rivals are looked at.
RIVALS = 200


def needed_gap(space: Space) -> int:
    """How far every rival must be held off before an answer is called certain.

    Three, but for a rival that no reading tells apart any further: after as many confirming readings
    as there are cores and four, all of one voice, the least is enough.
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
    if not answers:
        return NOTHING
    firm, own = firm_readings(space, answers[0])
    parts = []
    for block in others:
        more = costs(block.misses & ~_as_wide(own, block.misses) & _as_wide(firm, block.misses))
        lacking = need - (block.cost - space.best) - FIRM * more
        near = lacking > 0.0
        if near.any():
            parts.append((block.only(near), lacking[near].astype(np.float64)))
    return _nearest(tuple(answers), parts)


def firm_readings(space: Space, truth: Voice) -> tuple[int, int]:
    """The readings that showed a number where the answer expects one in a narrow band, and the
    readings that contradict the answer, both as bits. A wrong reading is OL or a contact as a rule:
    seldom does it show the very ohms of another type."""
    firm = own = 0
    for number, taken in enumerate(space.taken):
        if taken.probe.live:
            continue
        expect = expected_of(truth, space, taken.probe)
        firm |= is_firm(expect) << number
        own |= (not expect.accepts(taken.answer)) << number
    return firm, own


def _as_wide(number: int, marks: Marks) -> Marks:
    """Bits as one row of marks."""
    return np.array([number >> WORD * k & (1 << WORD) - 1 for k in range(marks.shape[1])], np.uint64)


def _single(block: Block, cores: int) -> Block:
    """One row for each answer, the one that contradicts least."""
    order = np.argsort(block.cost, kind="stable")
    return block.only(order[np.sort(np.unique(standing_keys(block, cores)[order], return_index=True)[1])])


def _nearest(answers: tuple[Voice, ...], parts: list[tuple[Block, Weights]]) -> Standing:
    """The nearest of all rivals."""
    every = np.concatenate([lacking for _, lacking in parts] or [np.zeros(0)])
    owner = np.concatenate([np.full(len(lacking), k) for k, (_, lacking) in enumerate(parts)] or [every])
    place = np.concatenate([np.arange(len(lacking)) for _, lacking in parts] or [every])
    chosen = np.sort(np.argsort(-every, kind="stable")[:RIVALS])
    kept = []
    for k, (block, lacking) in enumerate(parts):
        own = place[chosen[owner[chosen] == k]]
        if len(own):
            kept.append((block.only(own), lacking[own]))
    return Standing(answers, Panel(tuple(kept)), every[chosen])


def confirming(
    space: Space, now: Standing, listed: list[State], ties: bool, skipped: frozenset[Probe] = frozenset()
) -> Choice | None:
    """The reading that begins the shortest run of readings which hold off every rival; None where no
    reading does anything."""
    desk = Desk(space, now, skipped)
    for probe, past in candidates(space, now.answers[0], listed, ties):
        desk.lay(probe, past)
    if ties:
        widen(desk)
    if not desk.probes:
        return None
    best = first_of(np.stack(desk.told), now.lacking, np.array(desk.effort))
    if best is None:
        return None
    share = float((desk.told[best] > 0.0).sum()) / len(now.lacking)
    return Choice(desk.probes[best], share, 2, desk.effort[best])
