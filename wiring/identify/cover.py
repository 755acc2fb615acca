"""The last readings: every core seen from both ends, every spare open to all others at both ends.

They change no answer. They are asked for because a role rests on both ends of its
core, and because a core that is called spare must be dead to everything.
"""

from __future__ import annotations

from collections.abc import Iterator

from wiring.identify.choose import trouble
from wiring.identify.desk import joined_cores, unread
from wiring.identify.meter import FRAME
from wiring.identify.panel import Voice
from wiring.identify.probe import REST, Probe
from wiring.identify.space import Space
from wiring.model.behaviour import State

SIDES = ("handset", "hoist")


def uncovered(space: Space, truth: Voice) -> dict[str, frozenset[str]]:
    """Side to the cores that no reading touched there. The earth core and spares end in the cord's
    far side: the handset tells nothing of them."""
    role = {core: name for name, core in truth.at(space).items()}
    ends = frozenset(core for core in space.cores if role.get(core, "earth") == "earth")
    found = unread(space)
    return {"handset": found["handset"] - ends, "hoist": found["hoist"]}


def covering(
    space: Space, truth: Voice, listed: list[State], ties: bool, skipped: frozenset[Probe]
) -> Probe | None:
    """The plainest reading that touches cores not yet seen from one end; None where all were."""
    asked = {p for taken in space.taken for p in (taken.probe, taken.probe.turned)} | skipped
    last = space.taken[-1].probe if space.taken else None
    left = uncovered(space, truth)
    best: tuple[float, Probe] | None = None
    for probe in _candidates(space, truth, listed, left):
        new = len((probe.a | probe.b) & left[probe.side])
        if new and probe not in asked:
            worth = new / trouble(probe, last)
            if best is None or worth > best[0]:
                best = worth, probe
    if best is not None:
        return best[1]
    return next((p for p in _spares(space, truth, ties) if p not in asked), None)


def _candidates(
    space: Space, truth: Voice, listed: list[State], left: dict[str, frozenset[str]]
) -> Iterator[Probe]:
    if left["handset"]:
        for state in listed:
            for group in joined_cores(space, truth, state):
                for a in group:
                    for b in group:
                        if a < b:
                            yield Probe(frozenset([a]), frozenset([b]), "handset", state)
    for core in left["hoist"]:
        for other in (FRAME, *space.cores):
            if other != core:
                yield Probe(frozenset([core]), frozenset([other]), "hoist")


def _spares(space: Space, truth: Voice, ties: bool) -> Iterator[Probe]:
    """A spare against every other core, at both ends; one reading an end where cores may be tied."""
    used = set(truth.at(space).values())
    if len(truth.block.placed) < len(truth.block.model.roles):
        return
    for core in space.cores:
        if core in used:
            continue
        others = frozenset(space.cores) - {core}
        for side in SIDES:
            if ties:
                yield Probe(frozenset([core]), others, side, REST)
            else:
                for other in sorted(others):
                    yield Probe(frozenset([core]), frozenset([other]), side, REST)
