"""Confirming readings laid out side by side: what each would tell of every rival.

On the handset: what must close, and what must stay open. On the hoist side: pairs,
what hangs together there against everything else, and numbers with the loose cores
tied to their ends.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from wiring.identify.ahead import gives
from wiring.identify.choose import expected_of, hoist_probes, symbols, trouble, wider
from wiring.identify.meter import CLOSED_OHM, FRAME, Answer, Expect
from wiring.identify.panel import Panel, Voice, Weights
from wiring.identify.probe import REST, Probe, same
from wiring.identify.space import Space
from wiring.model.behaviour import State

#: Of two readings that tell alike, the one that touches a core not yet read on that side comes first.
FRESH = 0.99
#: The number of confirming readings counts, their trouble by this share.
TROUBLE = 0.25
#: A number in a narrow band, high over low, counts this much more than OL or a closed contact.
FIRM, NARROW = 0.5, 10.0
#: From so many readings of the hoist side more cores are tied to the leads, so many times at most,
#: until so many readings are laid out.
STARTS, WIDER, MOST = 8, 5, 360


@dataclass(frozen=True, slots=True)
class Standing:
    """The answers that fit best, and the rivals that are not held off. lacking: contradictions that
    each rival lacks, in the order of the panel."""

    answers: tuple[Voice, ...]
    rivals: Panel
    lacking: Weights


NOTHING = Standing((), Panel(), np.zeros(0))


def is_firm(expect: Expect) -> bool:
    """True for a number that no contact shows, known within a narrow band."""
    number = not expect.open and not expect.moves and expect.low > CLOSED_OHM
    return number and expect.high <= NARROW * expect.low


class Desk:
    """Readings that could be taken now, each with what it would tell of every rival."""

    def __init__(self, space: Space, now: Standing, skipped: frozenset[Probe]) -> None:
        self.space, self.now, self.skipped = space, now, skipped
        self.last = space.taken[-1].probe if space.taken else None
        self.vain = in_vain(space, now)
        self.unseen, self.moved = unread(space), moving(space, now.answers[0], now.rivals)
        self.probes: list[Probe] = []
        self.told: list[Weights] = []
        self.effort: list[float] = []
        self.past: list[bool] = []
        self.known = {same(taken.probe) for taken in space.taken}

    def lay(self, probe: Probe, past: Answer | None) -> float:
        """One more reading to choose from: what it gives the rivals, 0 where it is not laid."""
        mine = expected_of(self.now.answers[0], self.space, probe)
        touched = probe.a | probe.b
        if probe in self.skipped or not touched & self.moved or (past and not mine.accepts(past)):
            return 0.0
        told = self.telling(probe, mine, past)
        fresh = any(touched & cores for side, cores in self.unseen.items() if side == probe.side)
        effort = (1.0 + TROUBLE * (trouble(probe, self.last) - 1.0)) * (FRESH if fresh else 1.0)
        worth = float(gives(told[None], self.now.lacking, np.array([effort]))[0])
        if worth > 0.0:
            self.probes.append(probe)
            self.told.append(told)
            self.effort.append(effort)
            self.past.append(past is not None)
        return worth

    def telling(self, probe: Probe, mine: Expect, past: Answer | None) -> Weights:
        """How many contradictions a reading is expected to put on each rival."""
        each = []
        for block, _ in self.now.rivals.parts:
            expects, which = self.space.expected(block, probe)
            told = [0.0 if (mine, e) in self.vain else apart(mine, e, past) for e in expects]
            each.append(np.array(told)[which])
        found: Weights = np.concatenate(each) * (1.0 + FIRM * is_firm(mine))
        return found


def widen(desk: Desk) -> None:
    """Hoist readings with more cores tied to either lead, as long as that tells more: a number
    between two ends, with the loose cores tied to them, shows too that those are loose."""
    if not desk.probes:
        return
    worth = gives(np.stack(desk.told), desk.now.lacking, np.array(desk.effort)).tolist()
    able = [i for i, probe in enumerate(desk.probes) if probe.side == "hoist" and not desk.past[i]]
    for start in sorted(able, key=lambda i: -worth[i])[:STARTS]:
        probe, best = desk.probes[start], worth[start]
        for _ in range(WIDER):
            if len(desk.probes) > MOST:
                return
            fresh = [wide for wide in wider(probe, desk.space.cores) if same(wide) not in desk.known]
            found = [(desk.lay(wide, None), wide) for wide in fresh]
            top = max(found, key=lambda pair: pair[0], default=(0.0, probe))
            if top[0] <= best + 1e-9:
                break
            best, probe = top


def in_vain(space: Space, now: Standing) -> frozenset[tuple[Expect, Expect]]:
    """Bands of the answer and of a rival where one reading fell into both: its like would again."""
    found = set()
    for taken in space.taken:
        mine = expected_of(now.answers[0], space, taken.probe)
        if taken.probe.live or taken.answer.word or not mine.accepts(taken.answer):
            continue
        for block, _ in now.rivals.parts:
            others = space.expected(block, taken.probe)[0]
            found |= {(mine, other) for other in others if other != mine and other.accepts(taken.answer)}
    return frozenset(found)


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
    past = {same(taken.probe): taken for taken in space.taken if not taken.probe.live}
    for taken in past.values():
        yield taken.probe, taken.answer
    fresh = [probe for state in listed for probe in handset_probes(space, truth, state, ties)]
    if ("hoist", REST) in space.views:
        fresh += hoist_probes(space)
        fresh += apart_probes(space, truth, ties)
    for probe in {same(probe): probe for probe in fresh if same(probe) not in past}.values():
        yield probe, None


def handset_probes(space: Space, truth: Voice, state: State, ties: bool) -> Iterator[Probe]:
    """On the handset: what must close, and what must stay open, the latter with everything tied."""
    groups = joined_cores(space, truth, state)
    loose = frozenset(space.cores).difference(*groups)
    for group in groups:
        for a, b in combinations(group, 2):
            yield Probe(frozenset([a]), frozenset([b]), "handset", state)
        others = frozenset(space.cores).difference(group)
        if ties and others:
            yield Probe(frozenset(group), others, "handset", state)
            yield Probe(frozenset(group[:1]), others, "handset", state)
        elif not ties:
            for a in group:
                for b in sorted(others):
                    yield Probe(frozenset([a]), frozenset([b]), "handset", state)
    if ties and len(groups) > 1 and loose:
        yield Probe(frozenset(space.cores) - loose, loose, "handset", state)
    if ties and groups:
        for core in sorted(loose):
            yield Probe(frozenset([core]), frozenset(space.cores) - {core}, "handset", state)
    if ties and not groups:
        yield Probe(frozenset(space.cores[::2]), frozenset(space.cores[1::2]), "handset", state)


def apart_probes(space: Space, truth: Voice, ties: bool) -> Iterator[Probe]:
    """On the hoist side: what hangs together there against everything else, each core against all."""
    if not ties:
        return
    groups = truth.block.model.sheet("hoist", REST).moving
    at = truth.at(space)
    together: dict[int, set[str]] = {groups[FRAME]: {FRAME}} if FRAME in groups else {}
    for role, core in at.items():
        together.setdefault(groups[role], set()).add(core)
    everything = frozenset(space.cores) | {FRAME}
    listed = [frozenset(group) for group in together.values()]
    listed += [frozenset([core]) for core in space.cores]
    for group in dict.fromkeys(listed):
        if everything - group:
            yield Probe(group, everything - group, "hoist")


def joined_cores(space: Space, truth: Voice, state: State) -> list[list[str]]:
    """The groups of cores that the answer joins on the handset in a state."""
    sheet = truth.block.model.sheet("handset", state)
    together: dict[int, list[str]] = {}
    for role, core in truth.at(space).items():
        together.setdefault(sheet.moving[role], []).append(core)
    return [cores for cores in together.values() if len(cores) > 1]
