"""Every single fault of both circuits, run and judged; the doorway to the fault analysis."""

from __future__ import annotations

import time
from collections.abc import Callable, Hashable, Iterator
from dataclasses import dataclass
from typing import TypeVar

from wiring.model.behaviour import FaultResult, Faults, Hazard, StopRow
from wiring.model.circuit import Circuit
from wiring.simulate.faults import FaultSet, single_list
from wiring.simulate.faults_hazards import SETTLED, Watch
from wiring.simulate.faults_runs import Plane, Runner, base_states, every_state
from wiring.simulate.faults_sights import Seen
from wiring.simulate.lanes_board import Board, Setting
from wiring.simulate.lanes_same import Likeness
from wiring.simulate.network import Network
from wiring.simulate.score import Pendant, below_floor, compared, count, floor, pendant
from wiring.simulate.story import story

Progress = Callable[[int, int], None]
#: Lanes of one batch: enough to drown the interpreter's overhead, few enough to stay in cache.
BATCH = 1 << 12

Item = TypeVar("Item")
Found = list[tuple[FaultSet, tuple[Seen, ...]]]


@dataclass(frozen=True, slots=True)
class Ran:
    """Fault sets of one circuit with what each leads to, in order, and what was left out."""

    rows: Found
    notes: tuple[str, ...]


class Inspector:
    """One circuit with a list of fault sets, ready to be run batch by batch."""

    def __init__(
        self, network: Network, sets: tuple[FaultSet, ...], keys: int = 2, batch: int = BATCH
    ) -> None:
        self.circuit: Circuit = network.circuit
        self.sets = sets
        self.board = Board(self.circuit, tuple(fault.names for fault in sets))
        self.plane = Plane(network, base_states(network, keys))
        self.sound = Runner(self.board, [self.board.setting(())], self.plane, None)
        self.size = max(1, batch // self.plane.width)
        self.likeness = Likeness(self.board)
        self.supply = self.likeness.supply_switches()
        self.known: dict[Hashable, tuple[Seen, ...]] = {}

    def run(self) -> Iterator[tuple[FaultSet, tuple[Seen, ...]]]:
        """The hazards of every fault set, in order. Sets that settle alike are run once."""
        keys = [self.likeness.of(setting) for setting in self.board.settings]
        first = dict(zip(reversed(keys), reversed(self.board.settings), strict=True))
        todo = [key for key in dict.fromkeys(keys) if key not in self.known]
        for part in self.batches(todo, lambda key: first[key]):
            self.known.update(zip(part, self.hazards([first[key] for key in part]), strict=True))
        for key, fault in zip(keys, self.sets, strict=True):
            yield fault, self.known[key]

    def batches(self, items: list[Item], setting: Callable[[Item], Setting]) -> Iterator[list[Item]]:
        """Items in batches, those that cut the control supply apart from the others."""
        cut = [item for item in items if not self.supply.isdisjoint(setting(item).opened)]
        kept = [item for item in items if self.supply.isdisjoint(setting(item).opened)]
        for group in (kept, cut):
            for low in range(0, len(group), self.size):
                yield group[low : low + self.size]

    def restless(self) -> int:
        """How many base states never come to rest in the sound circuit."""
        total = 0
        for moment in SETTLED:
            total |= self.sound.shot(moment).lanes.restless
        return (total & self.plane.all).bit_count()

    def hazards(self, settings: list[Setting]) -> list[tuple[Seen, ...]]:
        """The hazards of some fault sets, run together."""
        runner = Runner(self.board, settings, self.plane, self.sound)
        watch = Watch(self.circuit, self.plane, runner, self.sound)
        sights = watch.sights()
        return [watch.seen(number, sights) for number in range(len(settings))]


def single_faults(
    before: Circuit | Network, after: Circuit | Network, progress: Progress | None = None
) -> Faults:
    """All single faults (and pairs behind a hidden first one) of the converted circuit, judged
    against those of the circuit as found. progress: called with (done, total)."""
    began = time.perf_counter()
    old, new = compiled(before), compiled(after)
    total = len(single_list(old.circuit)) + len(single_list(new.circuit))
    done = 0

    def one_more() -> None:
        nonlocal done
        done += 1
        if progress is not None:
            progress(done, total)

    return judged(old.circuit, new.circuit, ran(old, one_more), ran(new, one_more), began)


def ran(network: Network, one_more: Callable[[], None]) -> Ran:
    """The single faults of one circuit. one_more: called after each."""
    inspector = Inspector(network, single_list(network.circuit))
    rows: Found = []
    for row in inspector.run():
        rows.append(row)
        one_more()
    return Ran(rows, notes(inspector, "two keys"))


def judged(before: Circuit, after: Circuit, old: Ran, new: Ran, began: float) -> Faults:
    """The faults of the converted circuit against those of the circuit as found. began: of the clock."""
    reference = pendant(old.rows)
    results = tuple(result(after, fault, seen, reference) for fault, seen in new.rows)
    counts = count(results)
    return Faults(
        kind="single",
        count=len(results),
        worse=counts["worse"],
        same=counts["same"],
        better=counts["better"],
        none=counts["none"],
        below_floor=sum(one.below_floor for one in results),
        results=results,
        sampled=False,
        seconds=time.perf_counter() - began,
        before=tuple(alone(before, fault, seen) for fault, seen in old.rows),
        notes=new.notes,
    )


def notes(inspector: Inspector, held: str) -> tuple[str, ...]:
    """What the fault analysis of this circuit leaves out, one sentence each."""
    states, network = len(inspector.plane.states), inspector.plane.network
    if every_state(network):
        tried = (
            f"faults are tried in all {states} states of the keys, with at most one limit or thermal "
            "device open"
        )
    else:
        tried = (
            f"faults are tried in a choice of {states} states: at most {held} held, at most one limit or "
            "thermal device open"
        )
    found = [
        tried,
        "under a fault, coils that want to change together are tried in two opposite orders, not in all",
        "a stop counts where it opens; where its breaking capacity is not part of the circuit, its rating "
        "is judged apart",
    ]
    restless = inspector.restless()
    if restless:
        found.append(
            f"{restless} of these states were left out: the sound circuit does not come to rest there"
        )
    return tuple(found)


def result(circuit: Circuit, fault: FaultSet, seen: tuple[Seen, ...], reference: Pendant) -> FaultResult:
    """One fault set of the converted circuit, judged and told."""
    judged = compared(fault, seen, reference)
    return FaultResult(
        fault=fault.names,
        kind=fault.kind,
        hazards=judged.hazards,
        compared_with=judged.compared_with,
        judgement=judged.judgement,
        below_floor=below_floor(circuit, seen),
        story=_told(circuit, fault, seen),
    )


def alone(circuit: Circuit, fault: FaultSet, seen: tuple[Seen, ...]) -> FaultResult:
    """One fault set of the circuit as found: nothing to compare it with but the floor."""
    hazards = tuple(Hazard(one.hazard, one.motion, one.stops, one.score, None) for one in seen)
    low = below_floor(circuit, seen)
    return FaultResult(fault.names, fault.kind, hazards, "", "none", low, _told(circuit, fault, seen))


def _told(circuit: Circuit, fault: FaultSet, seen: tuple[Seen, ...]) -> tuple[str, ...]:
    """The story of the hazard furthest below its floor."""
    if not seen:
        return ()
    scored = [one for one in seen if one.score is not None]
    worst = min(scored, key=lambda one: (one.score or 0) - floor(circuit, one.motion), default=seen[0])
    return story(circuit, fault.names, worst)


def compiled(circuit: Circuit | Network) -> Network:
    """The network of a circuit."""
    return circuit if isinstance(circuit, Network) else Network(circuit)


def fault_analysis(
    old: Network, new: Network, kind: str, progress: Progress | None = None
) -> tuple[Faults, tuple[StopRow, ...]]:
    """The faults of one kind ("single" | "double") and the stop matrix."""
    from wiring.simulate.faults_double import double_faults
    from wiring.simulate.stops import stop_matrix

    run = single_faults if kind == "single" else double_faults
    found = run(old, new, progress=progress)
    return found, stop_matrix(old, new, found if kind == "single" else None)
