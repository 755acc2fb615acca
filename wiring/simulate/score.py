"""Scores compared: is a fault worse than it was with the pendant, and is it below the floor.

The score of a hazard is the rank of the best stop that ends it. A part that both
circuits have is compared with itself, a new one with the pendant's best score among
faults of its class; control logic has no counterpart and answers to the floor alone.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from wiring.model.behaviour import FaultResult, Hazard
from wiring.model.circuit import Circuit
from wiring.simulate.faults import LOGIC, FaultSet
from wiring.simulate.faults_sights import NO_STOP, SHORT, STOP_DEFEATED, UNCOMMANDED, Seen

#: Lowest rank of a stop that must end a hazard: near for what lifts, anywhere for the rest.
FLOOR_LIFTING, FLOOR_OTHER = 2, 1
WORSE, SAME, BETTER, NONE = "worse", "same", "better", "none"


def floor(circuit: Circuit, motion: str) -> int:
    """The rank that some stop must have for a hazard on this motion."""
    for motor in circuit.motors:
        if motion in (motor.positive, motor.negative):
            return FLOOR_LIFTING if motor.duty == "hoist" else FLOOR_OTHER
    return FLOOR_OTHER


def below_floor(circuit: Circuit, seen: tuple[Seen, ...]) -> bool:
    """True where a hazard has no stop of the rank it needs."""
    held = {one.motion for one in seen if one.hazard in (NO_STOP, UNCOMMANDED)}
    for one in seen:
        wanted = floor(circuit, one.motion)
        if one.hazard == STOP_DEFEATED and wanted == FLOOR_OTHER and one.motion not in held:
            continue  # the only stop of a winch or a trolley failed, and letting go of the key still ends it
        if one.score is not None and one.score < wanted:
            return True
    return False


Scores = Mapping[tuple[str, str], int | None]  # (hazard, motion) to score


@dataclass(frozen=True, slots=True)
class Pendant:
    """What the faults of the circuit as found lead to. by_set: fault set to its hazards;
    best, worst: (class, hazard, motion) and (class, motion) to a score, None where only hazards
    without a score are known; class "" stands for all of them."""

    by_set: Mapping[frozenset[str], Scores]
    best: Mapping[tuple[str, ...], int | None]
    worst: Mapping[tuple[str, ...], int | None]


def pendant(found: list[tuple[FaultSet, tuple[Seen, ...]]]) -> Pendant:
    """The reference that the conversion is judged by."""
    best: dict[tuple[str, ...], int | None] = {}
    worst: dict[tuple[str, ...], int | None] = {}
    by_set: dict[frozenset[str], Scores] = {}
    for fault, seen in found:
        by_set[frozenset(fault.names)] = {(one.hazard, one.motion): one.score for one in seen}
        for one in seen:
            for key in {*_keys(fault.kind, one), ("", one.hazard, one.motion), ("", one.motion)}:
                best[key] = _chosen(max, best.get(key), one.score)
                worst[key] = _chosen(min, worst.get(key), one.score)
    return Pendant(by_set, best, worst)


def _keys(kind: str, one: Seen) -> list[tuple[str, ...]]:
    """Where a hazard is looked up, most alike first. A stop that fails is like one of its own
    reach; a short that a fuse ends is alike whatever shorted."""
    if one.hazard == STOP_DEFEATED:
        kind = f"{kind} of rank {one.rank}"
    found: list[tuple[str, ...]] = [(kind, one.hazard, one.motion)]
    if one.motion:
        found.append((kind, one.motion))
    if one.hazard == SHORT:
        found.append(("", one.hazard, one.motion))
    return found


def _chosen(choose: Callable[[int, int], int], known: int | None, score: int | None) -> int | None:
    if known is None or score is None:
        return score if known is None else known
    return choose(known, score)


@dataclass(frozen=True, slots=True)
class Compared:
    """A fault set beside the pendant's. compared_with: names, `class ...`, or why there is nothing."""

    hazards: tuple[Hazard, ...]
    judgement: str
    compared_with: str


def compared(fault: FaultSet, seen: tuple[Seen, ...], reference: Pendant) -> Compared:
    """Judge one fault set of the converted circuit.

    Of a pair behind a hidden first fault each half has its own counterpart, and the lower
    score counts: one of the two was enough for it with the pendant.
    """
    if LOGIC in fault.kind:
        return Compared(tuple(_hazard(one, None) for one in seen), NONE, "no counterpart: control logic")
    whole = reference.by_set.get(frozenset(fault.names))
    if whole is not None and fault.hidden and fault.names[0].endswith("stuck-in"):
        # The same two contactors welded in both circuits: the radio has moments of its own (link,
        # supply) in which that shows. What is new there answers to the floor alone.
        whole = {(one.hazard, one.motion): one.score for one in seen} | dict(whole)
    if whole is not None:
        return _against(seen, whole, " + ".join(fault.names), gone=True)
    scores: dict[tuple[str, str], int | None] = {}
    names = []
    alone = True
    for name in fault.names:
        known = reference.by_set.get(frozenset((name,)))
        if known is None:
            alone = False
            kind, known = _of_class(fault, seen, reference)
            name = f"class: {kind or 'any, the pendant had none of its own'}"
        names.append(name)
        for key, score in known.items():
            scores[key] = _chosen(min, scores.get(key), score) if key in scores else score
    return _against(seen, scores, " + ".join(dict.fromkeys(names)), gone=alone)


def _of_class(fault: FaultSet, seen: tuple[Seen, ...], reference: Pendant) -> tuple[str, Scores]:
    """Scores for a part that the pendant's circuit did not have."""
    table = reference.worst if fault.hidden else reference.best
    known = any(key[0].partition(" of rank ")[0] == fault.kind for key in table)
    kind = fault.kind if known else ""
    found: dict[tuple[str, str], int | None] = {}
    for one in seen:
        for key in _keys(kind, one) if known else [("", one.hazard, one.motion), ("", one.motion)]:
            if key in table:
                found.setdefault((one.hazard, one.motion), table[key])
    return kind, found


def _hazard(one: Seen, before: int | None) -> Hazard:
    return Hazard(one.hazard, one.motion, one.stops, before, one.score)


def _against(seen: tuple[Seen, ...], before: Scores, name: str, gone: bool) -> Compared:
    """Hazard by hazard; the worst decides. gone: hazards that are no longer there count as better."""
    hazards, judged = [], []
    for one in seen:
        key = (one.hazard, one.motion)
        was = before.get(key)
        hazards.append(_hazard(one, was))
        if key not in before:
            judged.append(WORSE)
        elif one.score is None or was is None or one.score == was:
            judged.append(SAME)
        else:
            judged.append(WORSE if one.score < was else BETTER)
    if gone and set(before) - {(one.hazard, one.motion) for one in seen}:
        judged.append(BETTER)
    for word in (WORSE, SAME, BETTER):
        if word in judged:
            return Compared(tuple(hazards), word, name)
    return Compared(tuple(hazards), NONE, name)


def count(results: tuple[FaultResult, ...]) -> dict[str, int]:
    """How many results there are of each judgement."""
    total = dict.fromkeys((WORSE, SAME, BETTER, NONE), 0)
    for result in results:
        total[result.judgement] += 1
    return total
