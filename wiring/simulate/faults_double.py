"""Every two faults at once, spread over processes, with progress and a clean end on interrupt.

Pairs are made of single faults that can be told apart. A pair is listed where it
leads to more than its two halves do one by one; the counts cover every pair.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Generator, Hashable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, wait
from dataclasses import dataclass
from itertools import combinations

from wiring.model.behaviour import FaultResult, Faults
from wiring.model.circuit import Circuit
from wiring.simulate.fault_run import Found, Inspector, Progress, compiled, notes, result
from wiring.simulate.faults import FaultSet, plain_faults, single_list, together
from wiring.simulate.faults_sights import Seen
from wiring.simulate.lanes_board import Setting, merged
from wiring.simulate.network import Network
from wiring.simulate.score import Pendant, pendant
from wiring.simulate.workers import pool

#: Pairs handed to a process at a time: a few seconds of work at most.
CHUNK = 400
#: Lanes of one batch: a whole tile.
BATCH = 1 << 14
#: Faults on one side of a tile of pairs.
TILE = 20
#: At most this many pairs are listed; all are counted.
LISTED = 2000

Cancel = Callable[[], bool]
Pair = tuple[int, int]
Row = tuple[Pair, tuple[Seen, ...]]


class Pairs:
    """The single faults of one circuit that can be told apart, and every two of them."""

    def __init__(self, network: Network) -> None:
        self.inspector = Inspector(network, plain_faults(network.circuit), keys=1, batch=BATCH)
        board, likeness = self.inspector.board, self.inspector.likeness
        first: dict[Hashable, int] = {}
        for number, setting in enumerate(board.settings):
            first.setdefault(likeness.of(setting, exact=True), number)
        self.singles = tuple(first.values())
        self.alone: dict[int, tuple[Seen, ...]] = {}

    def pairs(self) -> list[Pair]:
        """Every two that can happen together, as numbers of the plain fault list.

        In tiles of neighbouring faults, so that a batch breaks few wires and contracts the rest.
        """
        sets = self.inspector.sets
        tile = {number: place // TILE for place, number in enumerate(self.singles)}
        found = [pair for pair in combinations(self.singles, 2) if together(sets[pair[0]], sets[pair[1]])]
        return sorted(found, key=lambda pair: (tile[pair[0]], tile[pair[1]]))

    def run(self, pairs: list[Pair]) -> list[Row]:
        """The hazards of some pairs that neither half has by itself, or ends as well."""
        sets = self.inspector.board.settings
        both = {(a, b): merged(sets[a], sets[b]) for a, b in pairs}
        found = []
        for part in self.inspector.batches(pairs, both.__getitem__):
            settings = [both[pair] for pair in part]
            for pair, seen in zip(part, self.inspector.hazards(settings), strict=True):
                found.append((pair, self._more(pair, seen)))
        return found

    def singly(self) -> None:
        """Run the single faults, so that pairs can be told from them."""
        sets, board = self.singles, self.inspector.board
        size = self.inspector.size
        for low in range(0, len(sets), size):
            part = sets[low : low + size]
            settings: list[Setting] = [board.settings[n] for n in part]
            self.alone.update(zip(part, self.inspector.hazards(settings), strict=True))

    def _more(self, pair: Pair, seen: tuple[Seen, ...]) -> tuple[Seen, ...]:
        known = {(one.hazard, one.motion): one.score for n in pair for one in self.alone[n]}
        for n in pair:
            for one in self.alone[n]:
                old = known[one.hazard, one.motion]
                if one.score is not None and old is not None:
                    known[one.hazard, one.motion] = min(old, one.score)
        found = []
        for one in seen:
            key = (one.hazard, one.motion)
            old = known.get(key)
            if key not in known or (one.score is not None and old is not None and one.score < old):
                found.append(one)
        return tuple(found)


def pair_set(sets: tuple[FaultSet, ...], pair: Pair) -> FaultSet:
    """Two single faults as one set. It answers to the pendant like a pair behind a hidden first."""
    one, other = (sets[n] for n in pair)
    kind = one.kind if one.kind == other.kind else f"{one.kind} and {other.kind}"
    return FaultSet((*one.names, *other.names), kind, hidden=True)


# -- one process ------------------------------------------------------------------------------

_held: list[Pairs] = []


def _start(circuit: Circuit) -> None:
    """First thing in a worker: compile the circuit and run its single faults."""
    made = Pairs(Network(circuit))
    made.singly()
    _held[:] = [made]


def _work(pairs: list[Pair]) -> list[Row]:
    return _held[0].run(pairs)


def run_pairs(
    circuit: Circuit, processes: int = 2, progress: Progress | None = None, cancel: Cancel | None = None
) -> Iterator[Row]:
    """The hazards of every pair of one circuit. Ends early, without error, where `cancel()` says so;
    an interrupt ends the processes and is passed on."""
    made = Pairs(compiled(circuit))
    pairs = made.pairs()
    chunks = [pairs[low : low + CHUNK] for low in range(0, len(pairs), CHUNK)]
    done = 0
    if processes < 2 or len(chunks) < 2:
        made.singly()
        for chunk in chunks:
            if cancel is not None and cancel():
                return
            yield from made.run(chunk)
            done = _tell(progress, done + len(chunk), len(pairs))
        return
    others = pool(processes, _start, circuit)
    ended = False
    try:
        waiting: dict[Future[list[Row]], int] = {}
        rest = iter(chunks)
        for chunk in rest:
            waiting[others.submit(_work, chunk)] = len(chunk)
            if len(waiting) < 2 * processes:
                continue
            done = yield from _collect(waiting, done, len(pairs), progress)
            if cancel is not None and cancel():
                return
        while waiting:
            done = yield from _collect(waiting, done, len(pairs), progress)
            if cancel is not None and cancel():
                return
        ended = True
    finally:
        others.shutdown(wait=ended, cancel_futures=True)


def _collect(
    waiting: dict[Future[list[Row]], int], done: int, total: int, progress: Progress | None
) -> Generator[Row, None, int]:
    ready, _ = wait(waiting, return_when=FIRST_COMPLETED)
    for future in ready:
        done += waiting.pop(future)
        yield from future.result()
        _tell(progress, done, total)
    return done


def _tell(progress: Progress | None, done: int, total: int) -> int:
    if progress is not None:
        progress(done, total)
    return done


# -- judged -----------------------------------------------------------------------------------


@dataclass(slots=True)
class _Tally:
    count: int = 0
    worse: int = 0
    same: int = 0
    better: int = 0
    none: int = 0
    below_floor: int = 0

    def add(self, one: FaultResult) -> None:
        """Count one pair."""
        self.count += 1
        setattr(self, one.judgement, getattr(self, one.judgement) + 1)
        self.below_floor += one.below_floor


def double_faults(
    before: Circuit | Network,
    after: Circuit | Network,
    processes: int = 2,
    progress: Progress | None = None,
    cancel: Cancel | None = None,
) -> Faults:
    """Every two single faults of the converted circuit together. results: the worst pairs that
    lead to more than their halves; sampled: it was cancelled before the end."""
    began = time.perf_counter()
    old, new = compiled(before), compiled(after)
    reference = _reference(old)
    sets = plain_faults(new.circuit)
    singles = Pairs(new)
    total = len(singles.pairs())
    tally = _Tally()
    listed: list[FaultResult] = []
    for pair, seen in run_pairs(new.circuit, processes, progress, cancel):
        one = result(new.circuit, pair_set(sets, pair), seen, reference)
        tally.add(one)
        if seen:
            listed.append(one)
    listed.sort(key=lambda r: (not r.below_floor, r.judgement != "worse", r.fault))
    return Faults(
        kind="double",
        count=tally.count,
        worse=tally.worse,
        same=tally.same,
        better=tally.better,
        none=tally.none,
        below_floor=tally.below_floor,
        results=tuple(listed[:LISTED]),
        sampled=tally.count < total,
        seconds=time.perf_counter() - began,
        notes=(
            *notes(singles.inspector, "one key"),
            f"pairs of {len(singles.singles)} faults that can be told apart; {len(listed)} lead to more than "
            f"their halves, at most {LISTED} are listed",
        ),
    )


def _reference(old: Network) -> Pendant:
    found: Found = list(Inspector(old, single_list(old.circuit)).run())
    return pendant(found)
