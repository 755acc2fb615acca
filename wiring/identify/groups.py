"""The handset as pictures of what is joined, and the groups of cores that split them best.

A picture is the sets of cores that are joined in a state, as bit masks; hypotheses
with the same picture are one. Groups are reached from a few starting pairs by
moving one core at a time.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import combinations

import numpy as np
import numpy.typing as npt

from wiring.identify.panel import Panel, Weights
from wiring.identify.space import Block
from wiring.model.behaviour import State

Masks = npt.NDArray[np.uint64]
Ranked = tuple[float, int, int]  # worth, one group, the other
#: At most this many pictures are looked at, the likeliest and some of the others.
PICTURES = 256
#: Gain that is not worth a step.
LITTLE = 1e-9
#: Worth with which no further start is tried.
GOOD = 0.9


@dataclass(frozen=True, eq=False)
class Pictures:
    """closed: sets that contacts join, one row a picture; moving: sets that a capacitor joins too,
    where they are others; weight: share of each picture."""

    closed: Masks
    moving: Masks
    weight: Weights

    def __len__(self) -> int:
        return len(self.weight)

    @staticmethod
    def of(speaking: Panel, state: State) -> Pictures:
        """The different pictures of a state of the handset."""
        drawn = [_drawn(block, state) for block, _ in speaking.parts]
        weight = np.concatenate([weights for _, weights in speaking.parts] or [np.zeros(0)])
        both = [_stacked([part[k] for part in drawn]) for k in (0, 1)]
        wide = np.column_stack(both) if drawn else np.zeros((0, 0), np.uint64)
        _, first, which = np.unique(_hashes(wide), return_index=True, return_inverse=True)
        weight = np.bincount(which, weight, len(first))
        if len(first) > PICTURES:
            order = np.argsort(-weight, kind="stable")[:: max(1, len(first) // PICTURES)][:PICTURES]
            first, weight = first[order], weight[order]
        return Pictures(both[0][first], both[1][first], weight / (weight.sum() or 1.0))

    def joined(self, a: Masks, b: Masks) -> tuple[Weights, Weights]:
        """For each pair of groups the share of pictures that join them, and that a capacitor joins."""
        shut = _meet(self.closed, a, b)
        kick = _meet(self.moving, a, b) & ~shut if self.moving.shape[1] else None
        closed: Weights = shut @ self.weight
        return closed, np.zeros(len(a)) if kick is None else kick @ self.weight

    def shares(self, a: int, b: int) -> tuple[float, float]:
        """The same for one pair of groups."""
        closed, moving = self.joined(np.array([a], np.uint64), np.array([b], np.uint64))
        return float(closed[0]), float(moving[0])


def _meet(sets: Masks, a: Masks, b: Masks) -> npt.NDArray[np.bool_]:
    """True where a set of a picture has a core of both groups."""
    both = ((sets[None] & a[:, None, None]) != 0) & ((sets[None] & b[:, None, None]) != 0)
    found: npt.NDArray[np.bool_] = both.any(axis=2)
    return found


def _drawn(block: Block, state: State) -> tuple[Masks, Masks]:
    """The sets that each row of a block joins in a state: by contacts, and by anything."""
    sheet = block.model.sheet("handset", state)
    at = {role: k for k, role in enumerate(block.placed)}
    bits = np.uint64(1) << block.rows.astype(np.uint64)
    found = []
    for groups in (sheet.zero, sheet.moving):
        together: dict[int, list[int]] = {}
        for role in block.model.roles:
            if role in at:
                together.setdefault(groups[role], []).append(at[role])
        sets = [places for places in together.values() if len(places) > 1]
        found.append((sorted(map(sorted, sets)), np.zeros((len(bits), 0), np.uint64)))
        if sets:
            columns = [bits[:, places].sum(axis=1, dtype=np.uint64) for places in sets]
            found[-1] = (found[-1][0], np.sort(np.column_stack(columns), axis=1))
    same = found[0][0] == found[1][0]
    return found[0][1], np.zeros((len(bits), 0), np.uint64) if same else found[1][1]


def _stacked(parts: list[Masks]) -> Masks:
    """Masks of several blocks, one after the other, filled up with empty sets."""
    width = max((part.shape[1] for part in parts), default=0)
    if not parts:
        return np.zeros((0, 0), np.uint64)
    return np.concatenate([np.pad(part, ((0, 0), (width - part.shape[1], 0))) for part in parts])


def _hashes(wide: Masks) -> Masks:
    """One number for each row of masks, equal for equal rows."""
    found = np.zeros(len(wide), np.uint64)
    for column in wide.T:
        found = (found ^ column) * np.uint64(0x9E3779B97F4A7C15)
        found ^= found >> np.uint64(29)
    return found


def grouped(
    pictures: Pictures,
    cores: int,
    plain: float,
    tie: float | None,
    out: set[tuple[int, int]],
    beside: Pictures | None,
) -> tuple[int, int]:
    """The two groups whose reading is worth most. plain: trouble without ties; tie: trouble of each,
    None where no cores are tied; out: groups that cannot be asked for;
    beside: pictures of hypotheses a little worse too, whose bits count as much."""

    def worth(a: Masks, b: Masks) -> Weights:
        bits = _split(*pictures.joined(a, b))
        if beside is not None:
            bits += _split(*beside.joined(a, b))
        ties = np.bitwise_count(a) + np.bitwise_count(b) - 2.0
        found: Weights = bits / (plain + (tie or 0.0) * ties)
        if out:
            found[[pair in out for pair in zip(a.tolist(), b.tolist(), strict=True)]] = 0.0
        return found

    pairs = np.array([(1 << i, 1 << j) for i, j in combinations(range(cores), 2)], np.uint64)
    rates = worth(pairs[:, 0], pairs[:, 1])
    top = int(rates.argmax())
    best = (float(rates[top]), int(pairs[top, 0]), int(pairs[top, 1]))
    return best[1:] if tie is None or cores < 3 else _climbed(best, cores, worth)[1:]


def _split(closed: Weights, moving: Weights) -> Weights:
    """Bits of each reading, by the shares of its answers."""
    found = np.zeros(len(closed))
    for p in (closed, moving, 1.0 - closed - moving):
        found -= p * np.log2(np.maximum(p, 1e-12))
    return found


def _climbed(start: Ranked, cores: int, worth: Callable[[Masks, Masks], Weights]) -> Ranked:
    """The best groups reached from a few starting pairs by moving one core at a time."""
    everything = (1 << cores) - 1
    half = sum(1 << i for i in range(0, cores, 2))
    _, one, two = start
    best = start
    for a, b in [(one, two), (half, everything ^ half), (one, everything ^ one), (two, everything ^ two)]:
        rate = float(worth(np.array([a], np.uint64), np.array([b], np.uint64))[0])
        while True:
            moves = np.array(_moves(a, b, cores), np.uint64)
            rates = worth(moves[:, 0], moves[:, 1])
            top = int(rates.argmax())
            if rates[top] <= rate + LITTLE:
                break
            rate, a, b = float(rates[top]), int(moves[top, 0]), int(moves[top, 1])
        best = max(best, (rate, a, b), key=lambda found: found[0])
        if best[0] > GOOD:
            break
    return best


def _moves(a: int, b: int, cores: int) -> list[tuple[int, int]]:
    """Groups with one core moved."""
    found = []
    for bit in (1 << i for i in range(cores)):
        for x, y in ((a | bit, b & ~bit), (a & ~bit, b | bit), (a & ~bit, b & ~bit)):
            if x and y and (x, y) != (a, b):
                found.append((x, y))
    return found
