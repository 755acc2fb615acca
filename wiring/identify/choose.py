"""The next best reading: what it is expected to tell, for the trouble it takes.

Every hypothesis says what each reading would be. A reading is worth the bits it
is expected to take off the question; trouble is counted in plain readings.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import combinations

from wiring.identify.meter import ANYTHING, FRAME, OPEN_OHM, Expect, Model, Sheet
from wiring.identify.probe import REST, Probe
from wiring.identify.space import Block, Space, needed
from wiring.model.behaviour import State

#: Weight of a hypothesis for each contradiction more than the best (one reading in ten is wrong).
WRONG = 1.0 / 9.0
#: At most this many hypotheses speak when readings are weighed.
VOICES = 160
#: A reading that tells less than this is not worth taking [bit].
LEAST_BITS = 0.02
#: While the best reading of the opened states tells less than this, another state is opened [bit]:
#: with tied groups, and with pairs, of which each tells little while many are left.
WEAK_BITS, WEAK_PAIR_BITS = 0.7, 0.12
#: Pictures of the handset are drawn from at most this many hypotheses.
DRAWN = 1200
#: Trouble of a reading, in plain readings: a tie, a button held, a second step, the stop button
#: held down, the cord's other side, a limit opened by hand.
TIE, HELD, STEP, STOP, SIDE, LIMIT = 0.02, 0.05, 0.05, 0.1, 0.3, 2.0
#: Steps of the ohm scale that a band is spread over, a decade.
STEPS = 8


@dataclass(frozen=True, slots=True)
class Choice:
    """A probe with what it is expected to tell [bit] and how many answers it can have."""

    probe: Probe
    bits: float
    answers: int
    trouble: float

    @property
    def worth(self) -> float:
        """Bits for the trouble."""
        return self.bits / self.trouble


@dataclass(frozen=True, slots=True)
class Voice:
    """One hypothesis that speaks. weight: its share; seat: core bit to role."""

    block: Block
    row: tuple[int, ...]
    weight: float


def trouble(probe: Probe, last: Probe | None) -> float:
    """What a probe costs, in plain readings."""
    cost = 1.0 + TIE * probe.ties
    pressed = [name for name in probe.state if name.startswith("button:")]
    cost += HELD * bool(pressed) + STEP * any(name.endswith(".2") for name in pressed)
    cost += STOP * ("stop" in probe.state) + LIMIT * any(name.startswith("limit:") for name in probe.state)
    if (last.side if last else "handset") != probe.side:
        cost += SIDE
    return cost


def voices(space: Space, beyond: int = 1) -> list[Voice]:
    """The likeliest hypotheses, the far ones weighted down; thinned evenly where there are too many."""
    near = space.near(beyond)
    if len(near) > VOICES:
        near = random.Random(len(near)).sample(near, VOICES)
    found = [
        Voice(block, block.rows[i], block.weight * WRONG ** (block.misses[i].bit_count() - space.best))
        for block, i in near
    ]
    whole = sum(voice.weight for voice in found) or 1.0
    return [Voice(v.block, v.row, v.weight / whole) for v in found]


# ---- handset side: which groups close, as bit masks ---------------------------------------------

Masks = tuple[tuple[int, ...], tuple[int, ...]]  # cores that are joined, cores joined by a capacitor too


def table(space: Space, state: State, near: list[tuple[Block, int]]) -> dict[Masks, float]:
    """The different pictures of the handset in a state, with their weights."""
    found: dict[Masks, float] = {}
    groups: dict[str, tuple[list[list[int]], list[list[int]]]] = {}
    for block, i in near:
        sets = groups.get(block.model.id)
        if sets is None:
            sets = groups[block.model.id] = _role_groups(block, state)
        row = block.rows[i]
        closed = tuple(sorted(sum(row[k] for k in group) for group in sets[0]))
        moving = tuple(sorted(sum(row[k] for k in group) for group in sets[1]))
        weight = block.weight * WRONG ** (block.misses[i].bit_count() - space.best)
        key = (closed, moving)
        found[key] = found.get(key, 0.0) + weight
    whole = sum(found.values()) or 1.0
    if len(found) > VOICES:
        best = sorted(found.items(), key=lambda item: -item[1])
        found = dict(best[:: max(1, len(best) // VOICES)][:VOICES])
        whole = sum(found.values())
    return {key: weight / whole for key, weight in found.items()}


def _role_groups(block: Block, state: State) -> tuple[list[list[int]], list[list[int]]]:
    """Places in a row that are joined on the handset in a state: by contacts, and by anything."""
    sheet = block.model.sheet("handset", state)
    at = {role: k for k, role in enumerate(block.placed)}
    found = []
    for groups in (sheet.zero, sheet.moving):
        together: dict[int, list[int]] = {}
        for role in block.model.roles:
            if role in at:
                together.setdefault(groups[role], []).append(at[role])
        found.append([places for places in together.values() if len(places) > 1])
    return found[0], found[1] if found[1] != found[0] else []


def shares(pictures: dict[Masks, float], a: int, b: int) -> tuple[float, float]:
    """Share of the pictures in which a and b are joined, and in which a capacitor joins them."""
    closed = moving = 0.0
    for (joined, wide), weight in pictures.items():
        for mask in joined:
            if mask & a and mask & b:
                closed += weight
                break
        else:
            for mask in wide:
                if mask & a and mask & b:
                    moving += weight
                    break
    return closed, moving


def bits_of(*parts: float) -> float:
    """Entropy of shares [bit]; what is missing to 1 is a share too."""
    rest = 1.0 - sum(parts)
    return -sum(p * math.log2(p) for p in (*parts, rest) if p > 1e-12)


def handset_choice(
    space: Space,
    state: State,
    pictures: dict[Masks, float],
    ties: bool,
    last: Probe | None,
    skipped: frozenset[Probe],
) -> Choice | None:
    """The best probe of the handset in one state."""
    if len(pictures) < 2:
        return None
    n = len(space.cores)

    out = {(mask_of(space, probe.a), mask_of(space, probe.b)) for probe in skipped if probe.state == state}

    def worth(a: int, b: int) -> float:
        if (a, b) in out:
            return 0.0
        cost = trouble(Probe(frozenset("a"), frozenset("b"), "handset", state), last)
        cost += TIE * (a.bit_count() + b.bit_count() - 2)
        return bits_of(*shares(pictures, a, b)) / cost

    best = max(((worth(1 << i, 1 << j), 1 << i, 1 << j) for i, j in combinations(range(n), 2)))
    if ties and n > 2:
        best = climbed(best, n, worth)
    _, a, b = best
    parts = shares(pictures, a, b)
    probe = Probe(names(space, a), names(space, b), "handset", state)
    answers = sum(1 for p in (*parts, 1.0 - sum(parts)) if p > 1e-9)
    return Choice(probe, bits_of(*parts), answers, trouble(probe, last))


def climbed(start: tuple[float, int, int], n: int, worth: object) -> tuple[float, int, int]:
    """The best groups reached from a few starting pairs by moving one core at a time."""
    rate = worth
    assert callable(rate)
    everything = (1 << n) - 1
    half = everything & 0x555
    _, one, two = start
    seeds = [(one, two), (half, everything ^ half), (one, everything ^ one), (two, everything ^ two)]
    best = start
    for a, b in seeds:
        here = (rate(a, b), a, b)
        while True:
            moves = [here]
            for i in range(n):
                bit = 1 << i
                for x, y in ((a | bit, b & ~bit), (a & ~bit, b | bit), (a & ~bit, b & ~bit)):
                    if x and y and (x, y) != (a, b):
                        moves.append((rate(x, y), x, y))
            top = max(moves, key=lambda move: move[0])
            if top[0] <= here[0] + 1e-9:
                break
            here, a, b = top, top[1], top[2]
        best = max(best, here, key=lambda move: move[0])
        if best[0] > 0.9:
            break
    return best


def mask_of(space: Space, group: frozenset[str]) -> int:
    """The mask of a group of cores."""
    return space.split(group)[0]


def names(space: Space, mask: int) -> frozenset[str]:
    """The cores of a mask."""
    return frozenset(core for i, core in enumerate(space.cores) if mask >> i & 1)


# ---- hoist side: bands of ohms ------------------------------------------------------------------


def symbols(expect: Expect) -> dict[object, float]:
    """The answers that an expectation allows, as shares: OL, climbs, steps of the ohm scale."""
    found: dict[object, float] = {}
    if expect.moves:
        found["climbs"] = 1.0
    if expect.open:
        found["OL"] = 1.0
    if expect.high >= expect.low:
        if expect.high <= 0.0:
            found[0] = 1.0
        else:
            low, high = _step(expect.low), _step(min(expect.high, OPEN_OHM))
            for step in range(low, high + 1):
                found[step] = 1.0 / (high - low + 1)
    whole = sum(found.values())
    return {symbol: share / whole for symbol, share in found.items()}


def _step(ohms: float) -> int:
    """Place on the ohm scale; up to half an ohm all is one."""
    return max(0, math.floor(STEPS * math.log10(max(ohms, 0.5) / 0.5)))


def told(shares: Iterable[tuple[Expect, float]]) -> tuple[float, int]:
    """Bits that a reading with these expectations tells, and how many answers can be told apart."""
    mixed: dict[object, float] = {}
    own = 0.0
    together: dict[Expect, float] = {}
    for expect, weight in shares:
        together[expect] = together.get(expect, 0.0) + weight
    for expect, weight in together.items():
        parts = symbols(expect)
        own += weight * -sum(p * math.log2(p) for p in parts.values())
        for symbol, p in parts.items():
            mixed[symbol] = mixed.get(symbol, 0.0) + p * weight
    bits = -sum(p * math.log2(p) for p in mixed.values() if p > 0.0) - own
    return max(0.0, bits), _apart(together)


def _apart(together: Iterable[Expect]) -> int:
    """How many expectations never share an answer."""
    count, top = 0, -1.0
    kinds = set(together)
    count += any(e.open and e.high < e.low and not e.moves for e in kinds)
    count += any(e.moves and e.high < e.low for e in kinds)
    for expect in sorted((e for e in kinds if e.high >= e.low), key=lambda e: (e.low, e.high)):
        if expect.low > top:
            count += 1
        top = max(top, expect.high)
    return count


def expected_of(voice: Voice, space: Space, probe: Probe) -> Expect:
    """What one hypothesis expects of a probe."""
    return expected_by((voice,), space, probe)[0]


def expected_by(speaking: Iterable[Voice], space: Space, probe: Probe) -> list[Expect]:
    """What each of several hypotheses expects of a probe."""
    (mask_a, points_a), (mask_b, points_b) = space.split(probe.a), space.split(probe.b)
    sheets: dict[str, Sheet] = {}
    found = []
    for voice in speaking:
        block = voice.block
        sheet = sheets.get(block.model.id)
        if sheet is None:
            sheet = sheets[block.model.id] = block.model.sheet(probe.side, probe.state)
        if not sheet.seat.keys() >= points_a | points_b:
            found.append(ANYTHING)
            continue
        pairs = list(zip(block.placed, voice.row, strict=True))
        a = frozenset([role for role, bit in pairs if bit & mask_a])
        b = frozenset([role for role, bit in pairs if bit & mask_b])
        found.append(sheet.expect(a | points_a, b | points_b))
    return found


def hoist_choice(
    space: Space, speaking: list[Voice], last: Probe | None, skipped: frozenset[Probe]
) -> Choice | None:
    """The best probe of the hoist side at rest: a pair of cores, or a core and the frame."""
    best: Choice | None = None
    asked = {probe for taken in space.taken for probe in (taken.probe, taken.probe.turned)}
    for probe in hoist_probes(space):
        if probe in asked or probe in skipped:
            continue  # its ohms lie in two bands: asking again tells the same
        expects = expected_by(speaking, space, probe)
        bits, answers = told((e, voice.weight) for e, voice in zip(expects, speaking, strict=True))
        choice = Choice(probe, bits, answers, trouble(probe, last))
        if best is None or choice.worth > best.worth:
            best = choice
    return best


def hoist_probes(space: Space) -> Iterator[Probe]:
    """Every plain probe of the hoist side."""
    for a, b in combinations(space.cores, 2):
        yield Probe(frozenset([a]), frozenset([b]), "hoist")
    for a in space.cores:
        yield Probe(frozenset([a]), frozenset([FRAME]), "hoist")


# ---- all together -------------------------------------------------------------------------------


def states(models: Iterable[Model], buttons: frozenset[str]) -> list[State]:
    """The handset's states in the order in which they are of use: rest, each button, the stop held."""
    found: list[State] = [REST]
    known = [name for model in models for name in model.operated if name.startswith("button:")]
    single = [name for name in dict.fromkeys(known) if name in buttons]
    single.sort(key=lambda name: (name.endswith(".2"), not name.endswith("start")))
    found += [frozenset({name, name.removesuffix(".2")}) for name in single]
    if "stop" in buttons:
        found.append(frozenset({"stop"}))
        found += [frozenset({name, "stop"}) for name in single if not name.endswith(".2")]
    return found


def matters(space: Space, state: State) -> bool:
    """True where some type still has roles to place for a state of the handset."""
    return any(
        set(needed(block.model, block.model.sheet("handset", state))) - set(block.placed)
        for block in space.blocks
        if block.rows
    )


def best_choice(
    space: Space, listed: list[State], ties: bool, skipped: frozenset[Probe], hoist: bool
) -> Choice | None:
    """The reading worth most among the best hypotheses, in these states of the handset and, if
    asked, on the hoist side. skipped: probes that cannot be taken."""
    last = space.taken[-1].probe if space.taken else None
    near = space.near()
    if len(near) > DRAWN:
        near = random.Random(len(near)).sample(near, DRAWN)
    found = [handset_choice(space, state, table(space, state, near), ties, last, skipped) for state in listed]
    if hoist:
        found.append(hoist_choice(space, voices(space, 0), last, skipped))
    telling = [choice for choice in found if choice is not None and choice.bits > LEAST_BITS]
    return max(telling, key=lambda choice: choice.worth, default=None)
