"""The next best reading: what it is expected to tell, for the trouble it takes.

Every hypothesis says what each reading would be. A reading is worth the bits by
which it is expected to shrink the set of hypotheses; trouble is counted in plain
readings.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations

from wiring.identify.groups import Pictures, grouped
from wiring.identify.meter import ANYTHING, FRAME, OPEN_OHM, Expect, Model
from wiring.identify.panel import Panel, Voice, panel
from wiring.identify.probe import REST, Probe, same
from wiring.identify.space import Space, needed
from wiring.model.behaviour import State

#: At most this many hypotheses speak when readings of the hoist side are weighed.
VOICES = 800
#: Pictures of the handset are drawn from at most this many hypotheses.
DRAWN = 3000
#: A reading that tells less than this is not worth taking [bit].
LEAST_BITS = 0.02
#: While the best reading of the opened states tells less than this, another state is opened [bit]:
#: with tied groups, and with pairs, of which each tells little while many are left.
WEAK_BITS, WEAK_PAIR_BITS = 0.7, 0.12
#: Trouble of a reading, in plain readings: a tie, a button held, a second step, the stop button
#: held down, the cord's other side, a limit opened by hand.
TIE, HELD, STEP, STOP, SIDE, LIMIT = 0.02, 0.05, 0.05, 0.1, 0.3, 2.0
#: What a reading could tell beyond what it is expected to tell counts against it by this share.
UNUSED = 0.6
#: Steps of the ohm scale that a band is spread over, a decade.
STEPS = 8
#: With no more answers left than this, what a reading tells of those that one reading contradicts
#: counts as much: it spares a confirming one.
FEW_LEFT = 50


@dataclass(frozen=True, slots=True)
class Choice:
    """A probe with what it is expected to tell [bit] and how many answers it can have. more: what it
    tells of the hypotheses a little worse, where that counts [bit]."""

    probe: Probe
    bits: float
    answers: int
    trouble: float
    more: float = 0.0

    @property
    def worth(self) -> float:
        """Bits for the trouble, less for answers that hardly ever come."""
        unused = max(0.0, math.log2(max(1, self.answers)) - self.bits)
        return (self.bits - UNUSED * unused + self.more) / self.trouble


def trouble(probe: Probe, last: Probe | None) -> float:
    """What a probe costs, in plain readings."""
    cost = 1.0 + TIE * probe.ties
    pressed = [name for name in probe.state if name.startswith("button:")]
    cost += HELD * bool(pressed) + STEP * any(name.endswith(".2") for name in pressed)
    cost += STOP * ("stop" in probe.state) + LIMIT * any(name.startswith("limit:") for name in probe.state)
    if (last.side if last else "handset") != probe.side:
        cost += SIDE
    return cost


# ---- handset side: which groups close -----------------------------------------------------------


def handset_choice(
    space: Space,
    state: State,
    pictures: Pictures,
    ties: bool,
    last: Probe | None,
    skipped: frozenset[Probe],
    beside: Pictures | None,
) -> Choice | None:
    """The best probe of the handset in one state. beside: pictures of hypotheses a little worse too."""
    if len(pictures) < 2:
        return None
    out = {(mask_of(space, probe.a), mask_of(space, probe.b)) for probe in skipped if probe.state == state}
    plain = trouble(Probe(frozenset("a"), frozenset("b"), "handset", state), last)
    a, b = grouped(pictures, len(space.cores), plain, TIE if ties else None, out, beside)
    shares = pictures.shares(a, b)
    probe = Probe(names(space, a), names(space, b), "handset", state)
    bits = split(shares)
    more = split(beside.shares(a, b)) if beside is not None else 0.0
    answers = sum(p > 1e-9 for p in (*shares, 1.0 - sum(shares)))
    return Choice(probe, bits, answers, trouble(probe, last), more)


def split(shares: tuple[float, float]) -> float:
    """Bits of an answer whose first two kinds come with these shares, the third else."""
    return -sum(p * math.log2(p) for p in (*shares, 1.0 - sum(shares)) if p > 1e-12)


def mask_of(space: Space, group: frozenset[str]) -> int:
    """The cores of a group as bits."""
    return sum(1 << i for i, core in enumerate(space.cores) if core in group)


def names(space: Space, mask: int) -> frozenset[str]:
    """The cores of a mask."""
    return frozenset(core for i, core in enumerate(space.cores) if mask >> i & 1)


# ---- hoist side: bands of ohms ------------------------------------------------------------------


@lru_cache(maxsize=4096)
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


def told(together: dict[Expect, float]) -> tuple[float, int]:
    """Bits by which a reading with these expectations is expected to shrink the set of hypotheses,
    and how many answers can be told apart. An answer that lies in two bands strikes out neither."""
    mixed: dict[object, float] = {}
    allowed: dict[object, float] = {}
    for expect, weight in together.items():
        for symbol, p in symbols(expect).items():
            mixed[symbol] = mixed.get(symbol, 0.0) + p * weight
            allowed[symbol] = allowed.get(symbol, 0.0) + weight
    bits = -sum(p * math.log2(allowed[symbol]) for symbol, p in mixed.items() if p > 0.0)
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
    sheet = voice.block.model.sheet(probe.side, probe.state)
    role = {core: role for role, core in voice.at(space).items()}
    a = frozenset(role.get(name, name) for name in probe.a)
    b = frozenset(role.get(name, name) for name in probe.b)
    if not sheet.seat.keys() >= {name for name in a | b if ":" in name}:
        return ANYTHING
    return sheet.expect(a, b)


def hoist_choice(
    space: Space, speaking: Panel, last: Probe | None, skipped: frozenset[Probe], beside: Panel | None
) -> Choice | None:
    """The best probe of the hoist side at rest: a pair of cores, or a core and the frame."""
    best: Choice | None = None
    out = {same(taken.probe) for taken in space.taken} | {same(probe) for probe in skipped}
    for probe in hoist_probes(space):
        if same(probe) in out:
            continue  # its ohms lie in two bands: asking again tells the same
        bits, answers = told(speaking.shares(space, probe))
        more = told(beside.shares(space, probe))[0] if beside else 0.0
        choice = Choice(probe, bits, answers, trouble(probe, last), more)
        if best is None or choice.worth > best.worth:
            best = choice
    return best


def wider(probe: Probe, cores: Iterable[str]) -> Iterator[Probe]:
    """A reading with one more core, or the frame, tied to a lead."""
    for name in (*cores, FRAME):
        if name not in probe.a | probe.b:
            yield Probe(probe.a | {name}, probe.b, probe.side, probe.state)
            yield Probe(probe.a, probe.b | {name}, probe.side, probe.state)


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
        if len(block.rows)
    )


def best_choice(
    space: Space, listed: list[State], ties: bool, skipped: frozenset[Probe], hoist: bool
) -> Choice | None:
    """The reading worth most among the best hypotheses, in these states of the handset and, if
    asked, on the hoist side. skipped: probes that cannot be taken."""
    last = space.taken[-1].probe if space.taken else None
    near = panel(space, 0, DRAWN)
    soft = panel(space, 1, VOICES) if space.count() <= FEW_LEFT else None
    found = []
    for state in listed:
        beside = Pictures.of(soft, state) if soft else None
        found.append(handset_choice(space, state, Pictures.of(near, state), ties, last, skipped, beside))
    if hoist:
        found.append(hoist_choice(space, panel(space, 0, VOICES), last, skipped, soft))
    telling = [choice for choice in found if choice is not None and choice.bits > LEAST_BITS]
    return max(telling, key=lambda choice: choice.worth, default=None)
