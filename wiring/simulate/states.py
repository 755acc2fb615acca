"""Every input vector that can occur, and what the circuit does in each: truth tables and differences.

A vector is a number with one bit per input (`Network.input_bit`). Feasible: a
second step implies its first, exclusive buttons are pressed one at a time. A
truth table starts every row from the circuit at rest with START given where the
circuit asks for it. Up to `LISTED` vectors every row stands; up to `FULL` all are
settled and rows with one result are merged; above that `lanes.large_truth` gives the
table, and where it cannot, a sample is settled and the table says so.
"""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Container, Hashable, Iterator
from dataclasses import replace
from importlib import import_module
from importlib.util import find_spec
from typing import NamedTuple, TypeVar

from wiring.model.behaviour import Difference, Race, Row, Settled, State, Truth
from wiring.simulate.network import Network
from wiring.simulate.receiver import Memory
from wiring.simulate.settle import Engine, Node, Run, engine, settled

#: Rows up to this many stand one by one, and as many settled states are kept.
LISTED = 512
#: Vectors up to this many are all settled one by one.
FULL = 8192
#: Up to this many vectors the comparison of both circuits covers every one.
COMPARED = 1 << 20
PRESSED = frozenset(("button", "key"))

Result = TypeVar("Result", bound=Hashable)


class At(NamedTuple):
    """The circuit settled: inputs operated (bits), the end it came to, the run that led there."""

    state: int
    node: Node
    run: Run


class Space:
    """The input vectors of a network and its settled states, reached from rest (armed)."""

    def __init__(self, network: Network) -> None:
        self.network = network
        self.power: Engine = engine(network)
        bit = network.input_bit
        kinds = {item.name: item.kind for item in network.inputs}
        self.keys = {name: bit[name] for name, kind in kinds.items() if kind in ("key", "button")}
        self.pressable = sum(bit[name] for name, kind in kinds.items() if kind in PRESSED)
        self.all_keys = sum(self.keys.values())
        self.needs = {bit[i.name]: bit[i.implies] for i in network.inputs if i.implies in bit}
        self.exclusive = tuple(sum(bit.get(name, 0) for name in group) for group in network.circuit.exclusive)
        self.rest = self._armed()
        self._names: dict[int, tuple[tuple[str, ...], tuple[str, ...]]] = {}

    # -- moving from one settled state to the next ---------------------------------------------
    def go(self, state: int, at: At | None = None) -> At:
        """Settle `state` from another settled state, or from everything dead."""
        if at is None:
            return self.start(state, 0, ())
        return self.start(state, at.node.coils, self.power.memory(at.node))

    def start(self, state: int, coils: int, memory: Memory) -> At:
        """Settle `state` from coils and memory given."""
        run = self.power.run(state, coils, memory)
        return At(state, run.ends[0], run)

    def _armed(self) -> At:
        """At rest, START pressed and let go where there is one."""
        at = self.go(0)
        start = sum(bit for name, bit in self.keys.items() if name in ("key:start", "button:start"))
        return self.go(0, self.go(start, at)) if start else at

    def at(self, state: int) -> At:
        """The settled state of a vector, from rest."""
        return self.go(state, self.rest)

    def motions(self, at: At) -> tuple[str, ...]:
        """What moves in the reported end."""
        return self.power.turning(at.node, self.power.moment(self.seen(at.state), at.node)[1]).motions

    def seen(self, state: int) -> int:
        """The vector as the circuit has it: stuck inputs operated, dead ones not."""
        return (state | self.power.stuck) & ~self.power.deaf

    def settled(self, at: At) -> Settled:
        """The value other rooms read."""
        return settled(self.power, self.network.state_names(at.state), at.run, at.node)

    def names(self, state: int) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """Inputs pressed, and inputs open, of a vector, in the order of the circuit."""
        found = self._names.get(state)
        if found is None:
            bit = self.network.input_bit
            found = self._names[state] = (
                tuple(name for name, b in bit.items() if state & b & self.pressable),
                tuple(name for name, b in bit.items() if state & b & ~self.pressable),
            )
        return found

    # -- which vectors can occur ---------------------------------------------------------------
    def feasible(self, state: int) -> bool:
        """True where no rule of the inputs forbids the vector."""
        for bit, first in self.needs.items():
            if state & bit and not state & first:
                return False
        return all(
            (state & group).bit_count() <= 1 or self._one_button(state & group) for group in self.exclusive
        )

    def _one_button(self, pressed: int) -> bool:
        """Two inputs of an exclusive group are allowed where one is the second step of the other."""
        firsts = {self.needs.get(bit, bit) for bit in _bits(pressed)}
        return len(firsts) == 1

    def vectors(self) -> list[int]:
        """Every feasible vector, rest first."""
        found = [0]
        for item in self.network.inputs:
            bit = self.network.input_bit[item.name]
            need = self.needs.get(bit, 0)
            later = need and self.network.input_bit[item.implies] > bit
            found += [v | bit for v in found if later or v & need == need]
        return [v for v in found if self.feasible(v)]

    def count(self) -> int:
        """How many vectors there are, without listing them."""
        total = 1
        bits = [1 << i for i in range(len(self.network.inputs))]
        tied = set(self.needs) | set(self.needs.values())
        for group in self.exclusive:
            tied |= set(_bits(group))
        for bit in bits:
            if bit not in tied:
                total *= 2
        rest = [bit for bit in bits if bit in tied]
        return total * _count(self, rest, 0, 0)

    def few(
        self, keys: int = 2, others: int = 1, total: int = 3, names: Container[str] | None = None
    ) -> list[int]:
        """Vectors with at most so many keys, other inputs, and inputs in all operated (a second
        step counts with its first): the sample where all are too many. names: of these inputs only."""
        found = [0]
        for item in self.network.inputs:
            if names is not None and item.name not in names:
                continue
            bit = self.network.input_bit[item.name]
            more = bit | self.needs.get(bit, 0)
            found += [v | more for v in found if not v & bit and self._few(v | more, keys, others, total)]
        return sorted({v for v in found if self.feasible(v)}, key=lambda v: (v.bit_count(), v))

    def _few(self, state: int, keys: int, others: int, total: int) -> bool:
        firsts = [bit for bit in _bits(state) if bit not in self.needs]
        pressed = sum(1 for bit in firsts if bit & self.all_keys)
        return pressed <= keys and len(firsts) - pressed <= others and len(firsts) <= total


def _bits(mask: int) -> Iterator[int]:
    while mask:
        low = mask & -mask
        yield low
        mask ^= low


def _count(space: Space, bits: list[int], index: int, state: int) -> int:
    if index == len(bits):
        return int(space.feasible(state))
    return _count(space, bits, index + 1, state) + _count(space, bits, index + 1, state | bits[index])


def space_of(network: Network) -> Space:
    """The space of a network, made once."""
    found: Space | None = network.memo.get("space")
    if found is None:
        found = network.memo["space"] = Space(network)
    return found


def feasible(network: Network) -> Iterator[State]:
    """Every feasible state, rest first."""
    return (network.state_names(v) for v in space_of(network).vectors())


def truth(network: Network) -> Truth:
    """The truth table: all rows, merged rows, or a sample that says so."""
    space = space_of(network)
    count = space.count()
    if count > FULL:
        return _large(network, space, count)
    results = {v: _result(space, v) for v in space.vectors()}
    if count <= LISTED:
        return Truth(True, count, tuple(_row(space, v, 0, found) for v, found in results.items()))
    rows = tuple(_row(space, v, free, found) for v, free, found in merged(space, results))
    return Truth(True, count, rows)


def _result(space: Space, vector: int) -> tuple[tuple[str, ...], int]:
    at = space.at(vector)
    return space.motions(at), at.node.coils


def _row(space: Space, vector: int, free: int, found: tuple[tuple[str, ...], int]) -> Row:
    pressed, opened = space.names(vector)
    motions, coils = found
    energised = tuple(coil.name for k, coil in enumerate(space.network.coils) if coils >> k & 1)
    return Row(pressed, opened, tuple(sorted(space.network.state_names(free))), motions, energised)


def _large(network: Network, space: Space, count: int) -> Truth:
    """Too many vectors for one by one: the bit-parallel engine, or a sample."""
    lanes = large_engine()
    if lanes is not None:
        with contextlib.suppress(ValueError):  # too many even for it: a sample
            return lanes(network)
    rows = tuple(_row(space, v, 0, _result(space, v)) for v in space.few()[:LISTED])
    return Truth(False, count, rows)


def large_engine() -> Callable[[Network], Truth] | None:
    """`lanes.large_truth`, where the bit-parallel engine has one."""
    if find_spec("wiring.simulate.lanes") is None:
        return None
    found: Callable[[Network], Truth] | None = getattr(
        import_module("wiring.simulate.lanes"), "large_truth", None
    )
    return found


def merged(space: Space, results: dict[int, Result]) -> list[tuple[int, int, Result]]:
    """Vectors with one result as (vector, bits that do not matter, result), by splitting input by
    input. A vector that cannot occur counts as whatever its neighbour is."""
    bits = [space.network.input_bit[item.name] for item in space.network.inputs]

    def split(index: int, members: dict[int, Result]) -> list[tuple[int, int, Result]]:
        found = set(members.values())
        if len(found) == 1:
            free = sum(bits[index:])
            return [(min(members) & ~free, free, found.pop())]
        bit = bits[index]
        low = {v: r for v, r in members.items() if not v & bit}
        high = {v: r for v, r in members.items() if v & bit}
        if not low or not high:
            return split(index + 1, members)
        one, two = split(index + 1, low), split(index + 1, high)
        if {(v, f): r for v, f, r in one} == {(v & ~bit, f): r for v, f, r in two}:
            return [(v, f | bit, r) for v, f, r in one]
        return one + two

    return split(0, results)


# -- before and after -------------------------------------------------------------------------


def counterparts(before: Network, after: Network) -> dict[int, int]:
    """Bit of an input after to bits of the input before that it stands for; a missing one has none.

    `key:x` stands for `button:x`, `key:stop` for the pendant's stop, everything else for itself.
    """
    found: dict[int, int] = {}
    pendant = [stop.input for stop in before.circuit.stops if stop.kind == "pendant stop"]
    for name, bit in after.input_bit.items():
        kind, _, rest = name.partition(":")
        other = name
        if kind == "key":
            other = f"button:{rest}"
            if name == "key:stop" and pendant:
                other = pendant[0]
        if other in before.input_bit:
            found[bit] = before.input_bit[other]
    return found


def translate(vector: int, table: dict[int, int]) -> int | None:
    """The vector before that corresponds to one after; None where an input has no counterpart."""
    result = 0
    for bit in _bits(vector):
        if bit not in table:
            return None
        result |= table[bit]
    return result


def differences(before: Network, after: Network) -> tuple[Difference, ...]:
    """States in which the conversion moves differently from the pendant.

    worse: something moves that did not; better: less moves, while a stop, a limit or two
    keys are operated; other: a motion that is lost.
    """
    old, new = space_of(before), space_of(after)
    table = counterparts(before, after)
    if every_difference(after) and new.count() > FULL:
        return _large_differences(before, after, table)
    vectors = new.vectors() if new.count() <= FULL else new.few()
    found = []
    for vector in vectors:
        same = translate(vector, table)
        if same is None or not old.feasible(same):
            continue
        was, now = old.motions(old.at(same)), new.motions(new.at(vector))
        if was != now:
            pressed, opened = new.names(vector)
            found.append(Difference(pressed, opened, was, now, _judge(was, now, pressed, opened)))
    return tuple(found)


def every_difference(after: Network) -> bool:
    """True where the comparison covers every vector, False where only a sample of them."""
    count = space_of(after).count()
    return count <= FULL or (count <= COMPARED and large_engine() is not None)


def _large_differences(before: Network, after: Network, table: dict[int, int]) -> tuple[Difference, ...]:
    """The same over every vector at once, those with one result merged; fewest inputs first."""
    names = {bit: name for name, bit in before.input_bit.items()}
    same = {name: names[table[bit]] for name, bit in after.input_bit.items() if bit in table}
    found = import_module("wiring.simulate.lanes").large_differences(before, after, same)
    return tuple(
        sorted(
            (replace(d, judgement=_judge(d.before, d.after, d.pressed, d.open)) for d in found),
            key=lambda d: (len(d.pressed) + len(d.open), d.pressed, d.open),
        )
    )


def _judge(
    was: tuple[str, ...], now: tuple[str, ...], pressed: tuple[str, ...], opened: tuple[str, ...]
) -> str:
    if set(now) - set(was):
        return "worse"
    several = len([name for name in pressed if not name.endswith(".2")]) > 1
    return "better" if opened or several else "other"


def races(network: Network) -> tuple[Race, ...]:
    """States in which the order of coil changes decides; outcomes: the motions of every end."""
    space = space_of(network)
    found = []
    for vector in space.vectors() if space.count() <= FULL else space.few():
        run = space.at(vector).run
        if run.race:
            ends = tuple(dict.fromkeys(space.motions(At(vector, node, run)) for node in run.ends))
            pressed, opened = space.names(vector)
            outcomes = (*ends, ("does not come to rest",)) if run.restless else ends
            found.append(Race(network.circuit.about, pressed, opened, outcomes))
    return tuple(found)


def kept_states(network: Network) -> tuple[Settled, ...]:
    """Settled states to show, at most `LISTED`, rest first: all where they fit, else the sample."""
    space = space_of(network)
    vectors = space.vectors() if space.count() <= LISTED else space.few()[:LISTED]
    return tuple(space.settled(space.at(v)) for v in vectors)
