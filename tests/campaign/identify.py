"""Campaign `identify`: unknown cords, found by the session's own questions and a simulated meter."""

from __future__ import annotations

import datetime
import math
import random
import time
from collections.abc import Iterable
from dataclasses import dataclass, field

from tests.campaign._cords import Cord, drawn, wrong
from wiring.files import load_catalog
from wiring.identify import Session
from wiring.identify.alike import symmetries
from wiring.identify.probe import Taken
from wiring.identify.space import SPARE
from wiring.model.entry import Catalog
from wiring.model.job import Gate
from wiring.model.value import Amount

DONE = Gate(
    "plug, in my hand", True, True, True, True, True, Amount(2.0, "voltage", "2 V"), True,
    datetime.datetime(2026, 1, 1),
)  # fmt: skip
#: One reading in so many is wrong, at a random place among them.
BLOCK = 10
#: A choice of the next reading should not take longer [s of processor time].
SLOW = 0.2
#: Readings before the confirming ones, over H/log2(answers), may be so many at most.
GROUP, PAIR = 1.15, 2.4


@dataclass
class Result:
    """One session. capacity: log2(answers) of every reading before the confirming ones, summed."""

    type: str
    cores: int
    ties: bool
    certain: bool = False
    unique: bool = False
    right: bool = False
    before: int = 0
    confirming: int = 0
    wrongs: int = 0
    capacity: float = 0.0
    entropy: float = 0.0
    slowest: float = 0.0
    slow: int = 0
    story: list[str] = field(default_factory=list)


def session(cord: Cord, catalog: Catalog, rng: random.Random, ties: bool, wrongs: str = "") -> Result:
    """One cord asked to the end. wrongs: "" none, "block" one in each ten, "each" each with p = 0.1."""
    made = Session.start(
        catalog, cord.cores, DONE, buttons=cord.buttons, system=cord.hoist.supply_system, ties=ties
    )
    result = Result(cord.hoist.id, len(cord.cores), ties, entropy=entropy(made))
    bad = -1
    asked = 0
    taking = 0.0
    while True:
        begun = time.process_time()
        wanted = made.wanted()
        spent = taking + time.process_time() - begun
        result.slowest = max(result.slowest, spent)
        result.slow += spent > SLOW
        if wanted is None or wanted.probe is None or wanted.purpose not in ("identify", "confirm"):
            break
        if asked % BLOCK == 0:
            bad = rng.randrange(BLOCK)
        answer = cord.read(wanted.probe, rng)
        slip = (wrongs == "block" and asked % BLOCK == bad) or (wrongs == "each" and rng.random() < 1 / BLOCK)
        if slip:
            answer = wrong(answer, rng)
            result.wrongs += 1
        asked += 1
        if wanted.purpose == "identify":
            result.before += 1
            result.capacity += math.log2(wanted.answers)
        else:
            result.confirming += 1
        story = f"{wanted.purpose} {wanted.between} {wanted.probe.side} {wanted.state}: {answer}"
        result.story.append(story + " WRONG" * slip)
        begun = time.process_time()
        made = made.take(Taken(wanted.probe, answer))
        taking = time.process_time() - begun
    return judged(result, made, cord)


def judged(result: Result, made: Session, cord: Cord) -> Result:
    """What the session says against what the cord is."""
    result.certain = made.certain
    types = [found.id for found in made.types() if found.standing == "certain"]
    result.unique = len(made.next.standing.answers) == 1
    result.right = any(
        voice.block.model.id == cord.hoist.id and fits(voice.block.placed, voice.row, made, cord)
        for voice in made.next.standing.answers
    )
    if result.certain and types and types != [cord.hoist.id]:
        result.right = False
    return result


def fits(placed: tuple[str, ...], row: tuple[int, ...], made: Session, cord: Cord) -> bool:
    """True where a row is the cord, or one of its symmetric twins."""
    model = next(m for m in made.models if m.id == cord.hoist.id)
    at = {role: made.space.cores[number] for role, number in zip(placed, row, strict=True)}
    truth = [cord.at[role] for role in model.roles]
    return any(
        all(at.get(role, truth[j]) == truth[j] for role, j in zip(model.roles, swap, strict=True))
        for swap in symmetries(model)
    )


def entropy(made: Session) -> float:
    """Bits of the question: types, and the ways their roles can lie, symmetric ones counted once."""
    n = len(made.cores)
    models = [m for m in made.models if len(m.roles) <= n]
    whole = sum(SPARE ** (n - len(m.roles)) for m in models)
    bits = 0.0
    for m in models:
        share = SPARE ** (n - len(m.roles)) / whole
        bits += share * (math.log2(math.perm(n, len(m.roles)) / len(symmetries(m))) - math.log2(share))
    return bits


def run(n: int, seed: int) -> dict[str, object]:
    """n cords: each without wrong readings by groups and by pairs, and with one in ten wrong."""
    catalog = load_catalog()
    hoists = [catalog.hoists[id] for id in catalog.hoists]
    clean: list[Result] = []
    pairs: list[Result] = []
    faulty: list[Result] = []
    each: list[Result] = []
    for i in range(n):
        rng = random.Random(f"{seed} {i}")
        one = drawn(hoists, rng)
        clean.append(session(one, catalog, rng, True))
        pairs.append(session(one, catalog, rng, False))
        faulty.append(session(one, catalog, rng, i % 2 == 0, "block"))
        each.append(session(one, catalog, rng, i % 2 == 1, "each"))
    every = [*clean, *pairs, *faulty, *each]
    return {
        "cords": n,
        "without wrong readings": counted([*clean, *pairs]),
        "one wrong in each ten": counted(faulty),
        "each wrong with 0.1": counted(each),
        "group": by_cores(clean, GROUP),
        "pair": by_cores(pairs, PAIR),
        "confirming over 2 + cores/4": sum(r.confirming > 2 + r.cores / 4 for r in [*clean, *pairs]),
        "choices": sum(r.before + r.confirming for r in every),
        "choices over 0.2 s": sum(r.slow for r in every),
        "slowest choice [s]": round(max(r.slowest for r in every), 3),
    }


def counted(results: Iterable[Result]) -> dict[str, object]:
    """Shares over sessions."""
    listed = list(results)
    n = len(listed)
    return {
        "sessions": n,
        "unique": round(sum(r.unique for r in listed) / n, 4),
        "certain": round(sum(r.certain for r in listed) / n, 4),
        "right": round(sum(r.right for r in listed) / n, 4),
        "certain and wrong": sum(r.certain and not r.right for r in listed),
        "readings": round(sum(r.before + r.confirming for r in listed) / n, 1),
        "wrong readings": sum(r.wrongs for r in listed),
    }


def by_cores(results: Iterable[Result], most: float) -> dict[str, object]:
    """Readings before the confirming ones, over H/log2(answers), the confirming ones, and both over what
    both may be together, for each number of cores. most: the former may be so many times the bound."""
    table: dict[int, list[Result]] = {}
    for result in results:
        table.setdefault(result.cores, []).append(result)
    return {str(cores): figures(cores, rows, most) for cores, rows in sorted(table.items())}


def figures(cores: int, rows: list[Result], most: float) -> dict[str, object]:
    """The figures of one number of cores."""
    before = sum(r.before for r in rows) / len(rows)
    confirming = sum(r.confirming for r in rows) / len(rows)
    ratio = sum(r.capacity for r in rows) / sum(r.entropy for r in rows)
    return {
        "sessions": len(rows),
        "readings": round(before, 2),
        "of the bound": round(ratio, 3),
        "confirming": round(confirming, 2),
        "confirming allowed": 2 + cores / 4,
        "most confirming": max(r.confirming for r in rows),
        "sum": round(before + confirming, 2),
        "sum of the bound": round((before + confirming) / (most * before / ratio + 2 + cores / 4), 3),
    }
