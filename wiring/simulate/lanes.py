"""All input vectors of a large circuit at once: truth table, comparison, events.

Lane numbers are mixed-radix: one digit per input, three values for a two-step
button (up, first, both). Literals are repeated patterns, never lists of tuples.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from wiring.model.behaviour import Difference, Row, Truth
from wiring.model.circuit import Circuit, Input
from wiring.simulate.lanes_batch import Batch
from wiring.simulate.lanes_board import Board
from wiring.simulate.lanes_power import Moves, moves
from wiring.simulate.lanes_settle import Lanes, Settler, cold
from wiring.simulate.network import Network

PRESSED = frozenset(("button", "key", "selector"))
START = ("button:start", "key:start")
#: Above this many lanes the table is not made: it would not fit in memory.
MOST = 1 << 24


@dataclass(frozen=True, slots=True)
class Digit:
    """One input, or a two-step button. names: inputs in the order they come; weight: lanes per value."""

    names: tuple[str, ...]
    weight: int

    @property
    def values(self) -> int:
        """How many positions it has."""
        return len(self.names) + 1


class Vectors:
    """The feasible input vectors of a circuit as lanes. real: the lanes that can occur."""

    def __init__(self, circuit: Circuit) -> None:
        self.circuit = circuit
        self.inputs: dict[str, Input] = {item.name: item for item in circuit.inputs}
        self.digits = self._digits()
        self.count = 1
        for digit in self.digits:
            self.count *= digit.values
        self.width = (self.count + 7) // 8 * 8
        self.operated = {name: lanes for digit in self.digits for name, lanes in self._literals(digit)}
        self.real = (1 << self.count) - 1
        for group in circuit.exclusive:
            self.real &= ~self._clash(group)

    def _digits(self) -> tuple[Digit, ...]:
        seconds = {i.implies: i.name for i in self.circuit.inputs if i.implies}
        digits: list[Digit] = []
        weight = 1
        for item in reversed(self.circuit.inputs):
            if item.implies:
                continue
            names = (item.name, seconds[item.name]) if item.name in seconds else (item.name,)
            digits.append(Digit(names, weight))
            weight *= len(names) + 1
        return tuple(reversed(digits))

    def _literals(self, digit: Digit) -> Iterator[tuple[str, int]]:
        """Each input of a digit with the lanes that operate it."""
        period = digit.weight * digit.values
        for step, name in enumerate(digit.names, 1):
            block = ((1 << period) - 1) ^ ((1 << (digit.weight * step)) - 1)
            yield name, repeated(block, period, self.count)

    def _clash(self, group: tuple[str, ...]) -> int:
        once = twice = 0
        for name in group:
            if self.inputs[name].implies in group:
                continue
            lanes = self.operated[name]
            twice |= once & lanes
            once |= lanes
        return twice

    def state(self, lane: int) -> frozenset[str]:
        """The inputs operated in a lane."""
        return frozenset(name for name, lanes in self.operated.items() if lanes >> lane & 1)


def repeated(block: int, period: int, count: int) -> int:
    """A pattern of `period` lanes, over and over, `count` lanes long."""
    have, total = period, block
    while have < count:
        total |= total << have
        have *= 2
    return total & ((1 << count) - 1)


@dataclass(frozen=True, slots=True)
class Whole:
    """Every vector of a circuit settled from rest."""

    vectors: Vectors
    settler: Settler
    rest: Lanes
    lanes: Lanes
    moves: Moves


def whole(network: Network, vectors: Vectors, operated: Mapping[str, int] | None = None) -> Whole:
    """Settle every vector of `vectors` from the circuit at rest and armed. operated: other
    literals for the same lanes, where the circuit has other inputs."""
    board = Board(network.circuit, ())
    batch = Batch(board, [board.setting(())], vectors.width)
    settler = Settler(batch)
    rest = settler.run({}, cold(batch))
    start = [name for name in START if name in network.input_bit]
    if start:
        rest = settler.run({}, settler.run(dict.fromkeys(start, batch.full), rest))
    lanes = settler.run(vectors.operated if operated is None else operated, rest)
    return Whole(vectors, settler, rest, lanes, moves(settler, lanes))


def large_truth(network: Network) -> Truth:
    """The truth table of a circuit with many vectors, every one settled, rows with one result merged.

    Raises ValueError above `MOST` vectors.
    """
    vectors = Vectors(network.circuit)
    if vectors.count > MOST:
        raise ValueError(f"{vectors.count} vectors are too many for a table")
    done = whole(network, vectors)
    motions = {name: lanes & vectors.real for name, lanes in done.moves.motion.items()}
    coils = zip(network.coils, done.lanes.coils, strict=True)
    energised = {coil.name: lanes & vectors.real for coil, lanes in coils}
    parts = _parted(vectors.real, [*motions.values(), *energised.values()])
    rows = [
        _row(vectors, pattern, lanes_low, motions, energised)
        for pattern, lanes_low in _cubes(vectors, 0, parts, ())
    ]
    return Truth(True, vectors.real.bit_count(), tuple(rows))


def _parted(real: int, bits: list[int]) -> dict[int, int]:
    """Lanes by result: result number to lanes."""
    parts = [real]
    for bit in bits:
        parts = [piece for part in parts for piece in (part & bit, part & ~bit) if piece]
    return dict(enumerate(parts))


Pattern = tuple[int | None, ...]  # a value per digit, None where it does not matter


def _cubes(
    vectors: Vectors, place: int, parts: dict[int, int], chosen: Pattern, base: int = 0
) -> Iterator[tuple[Pattern, int]]:
    """Vectors with one result as (values of the digits, one lane), splitting digit by digit."""
    if len(parts) == 1:
        lanes = next(iter(parts.values()))
        rest = len(vectors.digits) - place
        yield (*chosen, *([None] * rest)), base + (lanes & -lanes).bit_length() - 1
        return
    digit = vectors.digits[place]
    block = (1 << digit.weight) - 1
    cuts = []
    for value in range(digit.values):
        shift = value * digit.weight
        cut = {n: lanes >> shift & block for n, lanes in parts.items()}
        cuts.append({n: lanes for n, lanes in cut.items() if lanes})
    if all(cut == cuts[0] for cut in cuts[1:]):
        yield from _cubes(vectors, place + 1, cuts[0], (*chosen, None), base)
        return
    for value, cut in enumerate(cuts):
        if cut:
            yield from _cubes(vectors, place + 1, cut, (*chosen, value), base + value * digit.weight)


def _row(
    vectors: Vectors, pattern: Pattern, lane: int, motions: Mapping[str, int], energised: Mapping[str, int]
) -> Row:
    operated: list[str] = []
    free: list[str] = []
    for digit, value in zip(vectors.digits, pattern, strict=True):
        if value is None:
            free += digit.names
        else:
            operated += digit.names[:value]
    kinds = {name: item.kind for name, item in vectors.inputs.items()}
    return Row(
        tuple(name for name in operated if kinds[name] in PRESSED),
        tuple(name for name in operated if kinds[name] not in PRESSED),
        tuple(sorted(free)),
        tuple(sorted(name for name, lanes in motions.items() if lanes >> lane & 1)),
        tuple(name for name, lanes in energised.items() if lanes >> lane & 1),
    )


def large_differences(before: Network, after: Network, same: Mapping[str, str]) -> tuple[Difference, ...]:
    """Every vector in which the conversion moves otherwise than the pendant, merged.

    same: input after to the input before that it stands for. Vectors that operate an input
    without counterpart are left out: there is nothing to compare them with.
    judgement: worse where something moves that did not, better where less moves with
    something open, else other.
    """
    vectors = Vectors(after.circuit)
    new = whole(after, vectors)
    literals = dict.fromkeys(before.input_bit, 0)
    left_out = 0
    for name, lanes in vectors.operated.items():
        if name in same:
            literals[same[name]] |= lanes
        else:
            left_out |= lanes
    old = whole(before, vectors, literals)
    names = sorted({*new.moves.motion, *old.moves.motion})
    pairs = [(old.moves.motion.get(n, 0), new.moves.motion.get(n, 0)) for n in names]
    differ = 0
    for was, now in pairs:
        differ |= was ^ now
    differ &= vectors.real & ~left_out
    if not differ:
        return ()
    bits = [lanes for pair in pairs for lanes in pair]
    parts = _parted(differ, bits)
    parts[len(parts)] = ((1 << vectors.count) - 1) & ~differ
    found = []
    for pattern, lane in _cubes(vectors, 0, parts, ()):
        if differ >> lane & 1:
            row = _row(vectors, pattern, lane, {}, {})
            gone = tuple(n for n, (w, _) in zip(names, pairs, strict=True) if w >> lane & 1)
            moved = tuple(n for n, (_, m) in zip(names, pairs, strict=True) if m >> lane & 1)
            word = "worse" if set(moved) - set(gone) else "better" if row.open else "other"
            found.append(Difference(row.pressed, row.open, gone, moved, word))
    return tuple(found)
