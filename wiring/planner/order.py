"""Order of cores and conductors side by side: a design variable where a short between two matters.

A short of the feed with a motion core is a command, one across a stop is a stop defeated. An
earth conductor or a spare between the two turns it into a blown fuse.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
from dataclasses import replace

from wiring.model.finding import Finding
from wiring.model.job import Job


def apart(names: Sequence[str], hot: Iterable[str], walls: Iterable[str]) -> tuple[str, ...]:
    """The names with the hot ones at one side, the walls (earth, spares) next, then the others.

    Nothing is moved where there is no wall to put between.
    """
    first, between = set(hot), set(walls)
    if not between or not first:
        return tuple(names)
    lead = [n for n in names if n in first]
    rest = [n for n in names if n not in first and n not in between]
    return (*lead, *(n for n in names if n in between), *rest)


def better_orders(job: Job, shorts: Iterable[tuple[str, str]]) -> tuple[Job, ...]:
    """Jobs whose cord or cable has another order, so that none of the harmful pairs lie side by side.

    shorts: pairs of conductors (`W1:1`, `core:2`) whose short is a hazard. Empty where no order of a
    bundle does it.
    """
    harmful = {frozenset(pair) for pair in shorts}
    found: list[Job] = []
    for index, cable in enumerate(job.cables):
        order = free_order([f"{cable.id}:{n}" for n in cable.order or ()], harmful)
        if order:
            names = tuple(name.partition(":")[2] for name in order)
            cables = [*job.cables]
            cables[index] = replace(cable, order=names)
            found.append(replace(job, cables=tuple(cables)))
    if job.cord.fate in ("kept", "tail-kept"):
        order = free_order([f"core:{n}" for n in job.cord.order or ()], harmful)
        if order:
            names = tuple(name.partition(":")[2] for name in order)
            found.append(replace(job, cord=replace(job.cord, order=names)))
    return tuple(found)


def shorts_of(fails: Iterable[Finding]) -> list[tuple[str, str]]:
    """Pairs of conductors whose short a finding names ("core:1 + core:2", "short W1:1 W1:2")."""
    found = []
    for finding in fails:
        if finding.rule == "proof.core-short":
            words = finding.subject.replace("short ", "").replace(" + ", " ").split()
            if len(words) == 2:
                found.append((words[0], words[1]))
    return found


def free_order(names: Sequence[str], harmful: set[frozenset[str]]) -> tuple[str, ...]:
    """The order nearest to the given one in which no harmful pair is adjacent; () where none is needed
    or none exists. Searched by placing one after the other, the given order first."""
    if not any(frozenset(pair) in harmful for pair in itertools.pairwise(names)):
        return ()

    def place(done: tuple[str, ...], rest: tuple[str, ...]) -> tuple[str, ...]:
        if not rest:
            return done
        for name in rest:
            if done and frozenset((done[-1], name)) in harmful:
                continue
            whole = place((*done, name), tuple(n for n in rest if n != name))
            if whole:
                return whole
        return ()

    return place((), tuple(names))
