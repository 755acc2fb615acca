"""The stop matrix: after each fault, what still ends each motion, as found and as converted."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from wiring.model.behaviour import Faults, State, StopRow
from wiring.model.circuit import Circuit, Output
from wiring.simulate.faults import POWER, FaultSet, coil_class, neighbours
from wiring.simulate.faults_hazards import Watch
from wiring.simulate.faults_runs import Plane, Runner
from wiring.simulate.lanes_board import Board
from wiring.simulate.network import Network
from wiring.simulate.score import floor

Cells = Mapping[str, bool | None]
NONE: Cells = MappingProxyType({})
COMMANDS = ("button", "output", "stop")


def shown_faults(circuit: Circuit) -> tuple[FaultSet, ...]:
    """The faults that get a row: none, welds whole and by pole, command contacts, stops, cores that
    touch, and what the receiver can do wrong."""
    found = [FaultSet((), "none")]
    for part in circuit.parts:
        if part.kind == "coil" and coil_class(circuit, part) == POWER:
            found.append(FaultSet((f"{part.name} stuck-in",), POWER))
        elif part.kind in ("contact", "semiconductor") and part.by.partition(":")[0] in COMMANDS:
            found.append(FaultSet((f"{part.name} stuck-closed",), "contact"))
    found += [FaultSet((f"short {a} {b}",), "conductor") for a, b in neighbours(circuit)]
    found += [FaultSet((f"receiver:{c} frozen",), "control logic") for c in _channels(circuit.outputs)]
    found += [FaultSet((f"{out.name} on",), "control logic") for out in circuit.outputs]
    if circuit.outputs:
        found.append(FaultSet(("receiver:loss-timer stuck",), "control logic"))
    keys = [i.name for i in circuit.inputs if i.kind in ("key", "button")]
    found += [FaultSet((f"{name} stuck",), "control logic") for name in keys]
    return tuple(found)


def _channels(outputs: tuple[Output, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(out.channel for out in outputs))


class _Side:
    """One circuit: for every fault and motion the cells of its columns."""

    def __init__(self, network: Network) -> None:
        self.circuit = network.circuit
        self.faults = shown_faults(self.circuit)
        self.keys = self._key_of(network)
        states: tuple[State, ...] = (frozenset(), *dict.fromkeys(self.keys.values()))
        self.plane = Plane(network, states)
        self.board = Board(self.circuit, tuple(f.names for f in self.faults))
        sound = Runner(self.board, [self.board.setting(())], self.plane, None)
        self.runner = Runner(self.board, list(self.board.settings), self.plane, sound)
        self.watch = Watch(self.circuit, self.plane, self.runner, sound)
        self.rows = {f.names: {m: self._cells(n, m) for m in self.keys} for n, f in enumerate(self.faults)}

    def _key_of(self, network: Network) -> dict[str, State]:
        """Motion to the keys that must be held for it."""
        implied = {i.name: i.implies for i in self.circuit.inputs if i.kind in ("button", "key")}
        found: dict[str, State] = {}
        probe = tuple(frozenset((key, first) if first else (key,)) for key, first in implied.items())
        plane = Plane(network, (frozenset(), *probe))
        board = Board(self.circuit, ())
        shot = Runner(board, [board.setting(())], plane, None).shot("pressed")
        for motion, lanes in shot.moves.motion.items():
            for n, state in enumerate(plane.states):
                if lanes >> n & 1 and state:
                    found.setdefault(motion, state)
        return found

    def columns(self, motion: str) -> dict[str, str]:
        """Column to the moment in which it is tried."""
        found = {"release": "released"}
        if any(i.kind == "link" for i in self.circuit.inputs):
            found["link"] = "held+link"
        for limit in self.circuit.limits:
            if motion.startswith(limit.motion) and limit.input in self.plane.kinds:
                found[limit.input] = f"held+{limit.input}"
        for stop in sorted(self.circuit.stops, key=lambda s: (-s.rank, s.input)):
            found[stop.input] = f"held+{stop.input}"
        return found

    def _cells(self, number: int, motion: str) -> Cells:
        """True: ends it; False: does not; None: nothing moved, so nothing was to be ended."""
        lane = 1 << self.plane.states.index(self.keys[motion])
        held = self.runner.shot("held")
        if not self._at(held.moves.motion.get(motion, 0), number) & lane:
            return MappingProxyType(dict.fromkeys(self.columns(motion)))
        cells: dict[str, bool | None] = {}
        for column, moment in self.columns(motion).items():
            on = self._at(self.watch.running(self.runner.shot(moment), motion), number)
            cells[column] = not on & lane
        return MappingProxyType(cells)

    def _at(self, lanes: int, number: int) -> int:
        return self.runner.batch.cut(lanes, number)

    def score(self, cells: Cells) -> int:
        """Rank of the best stop that ends the motion."""
        return max((stop.rank for stop in self.circuit.stops if cells.get(stop.input)), default=0)


def stop_matrix(before: Network, after: Network, faults: Faults | None = None) -> tuple[StopRow, ...]:
    """One row per motion and fault that leaves a way of stopping without effect, and the row
    without fault. faults: the single faults, whose judgement the row repeats."""
    old, new = _Side(before), _Side(after)
    known = {result.fault: result for result in faults.results} if faults is not None else {}
    rows = []
    for motion in dict.fromkeys((*new.keys, *old.keys)):
        for names in dict.fromkeys((*new.rows, *old.rows)):
            was, now = (side.rows.get(names, {}).get(motion, NONE) for side in (old, new))
            if names and not _matters(was, now):
                continue
            result = known.get(names)
            judged = _judged(old, new, was, now, motion, result.judgement if result else "")
            rows.append(StopRow(motion, names, was, now, judged))
    return tuple(rows)


def _matters(was: Cells, now: Cells) -> bool:
    return any(cell is False for cells in (was, now) for cell in cells.values())


def _judged(old: _Side, new: _Side, was: Cells, now: Cells, motion: str, single: str) -> str:
    """The row in words: against the pendant where it has the row, and against the floor."""
    moved_before, moved = (any(cell is not None for cell in cells.values()) for cells in (was, now))
    if not moved:
        return "gone" if moved_before else "nothing moves"
    score = new.score(now)
    low = "" if score >= floor(new.circuit, motion) else ", below the floor"
    if moved_before:
        before = old.score(was)
        word = "same" if score == before else "better" if score > before else "worse"
        return word + low
    floor_word = low.removeprefix(", ") or "floor met"
    return floor_word if single in ("", "none") else f"{single}, {floor_word}"
