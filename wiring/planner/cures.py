"""Candidate edits for what fails, cheap and likely ones first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import islice

from wiring.circuit import build_after
from wiring.model.circuit import Circuit
from wiring.model.entry import Catalog
from wiring.model.finding import Finding
from wiring.model.job import Job
from wiring.planner.modes import momentary
from wiring.planner.modules import (
    to_earth,
    with_cross_contacts,
    with_larger,
    with_main_contactor,
    with_stop,
    with_suppressor,
    with_suppressor_whole,
)
from wiring.planner.oddness import Look
from wiring.planner.order import better_orders, shorts_of
from wiring.planner.rewire import (
    Edited,
    Quick,
    Wired,
    before_limits,
    circuit_of,
    edits,
    new_row,
    ranked,
    repairs,
    wired,
)
from wiring.planner.site import NoWay, Site, site_of
from wiring.planner.trial import Trial

#: Wirings that stand the quick look and are handed on to be planned.
STANDING = 4
#: Edits near what a finding names that are looked at.
RANKED = 400

SIZES = (
    "conductor.minimum-size", "conductor.ampacity", "conductor.coil-drop", "conductor.motor-drop",
    "conductor.longest-run", "conductor.protection",
)  # fmt: skip
STOPS = ("proof.stops-kept", "proof.every-fault-has-a-stop", "proof.single-fault", "mode.radio-stop",
         "supply.operator-disconnect", "supply.both-lines")  # fmt: skip
WELDS = ("proof.weld", "proof.every-fault-has-a-stop", "proof.single-fault", "proof.stop-chain")
LIMITS = ("proof.limits-kept", "proof.upper-limit")
OPPOSING = ("mode.opposing", "proof.both-pressed", "mode.dead-time")


def settings(job: Job, catalog: Catalog) -> Job:
    """The job with its outputs set as a hoist's must be; the same job where nothing is to be set."""
    if job.receiver.type is None or job.receiver.type not in catalog.receivers:
        return job
    return momentary(job, catalog.receivers[job.receiver.type])


def cures(job: Job, catalog: Catalog, fails: Sequence[Finding], trial: Trial) -> Iterator[Edited]:
    """Edits that may answer what fails. None takes a key away; what they do is for a plan to say."""
    try:
        site = site_of(job, catalog)
    except NoWay:
        return
    after = build_after(job, catalog)
    now = wired(job, after)
    rules = {f.rule for f in fails}
    seen: set[str] = set()
    for edited in _candidates(job, site, fails, rules, now, trial):
        key = repr((edited.job.connections, edited.job.devices, edited.job.cables, edited.job.cord))
        if key not in seen:
            seen.add(key)
            yield edited


def _candidates(
    job: Job, site: Site, fails: Sequence[Finding], rules: set[str], now: Wired, trial: Trial
) -> Iterator[Edited]:
    catalog = site.catalog
    yield from _named_by(job, site, fails, now)
    if rules & set(LIMITS):
        yield from before_limits(job, build_after(job, catalog))
    extra = tuple(p for tap in site.taps[:1] for p in (tap.hot, tap.ret))
    lame = not trial.look(build_after(job, catalog), enough=1).stands
    if lame:
        yield from islice(repairs(job, catalog, trial, extra), 2 * STANDING)
    if rules & set(STOPS) or lame:
        yield from (e for e in with_stop(job, site) if _holds(e, catalog, trial))
    if rules & set(OPPOSING):
        yield from (e for e in with_cross_contacts(job, site) if _holds(e, catalog, trial))
    if rules & set(WELDS) or lame:
        held = (e for e in with_main_contactor(job, site, now) if _holds(e, catalog, trial))
        yield from islice(held, STANDING)
    for other in better_orders(job, shorts_of(fails)):
        yield Edited(other, "another order of the conductors")
    if not lame:
        yield from islice(_still_standing(job, site, now, trial, extra, fails), 2 * STANDING)
    else:
        yield from islice(nearer(job, site, now, trial, extra), STANDING)


def _named_by(job: Job, site: Site, fails: Sequence[Finding], now: Wired) -> Iterator[Edited]:
    """Edits that a finding names outright: a size, an earth, a suppressor, two ends that lie loose."""
    sized: set[str] = set()
    for finding in fails:
        cable = finding.subject.partition(":")[0]
        if finding.rule in SIZES and cable not in sized:
            sized.add(cable)
            yield from with_larger(job, site, finding)
        if finding.rule == "conductor.earth":
            yield from to_earth(job, site, finding.subject)
        if finding.rule in ("contact.suppression", "contact.leakage"):
            tap = site.tap
            yield from with_suppressor(job, finding, tap.kind if tap else "AC")
    for pin in now.loose:
        if pin.endswith(":PE") and any(f.rule in ("conductor.loose-end", "conductor.earth") for f in fails):
            yield from to_earth(job, site, pin)
    loose = [f for f in fails if f.rule == "conductor.loose-end"]
    if loose:
        yield from with_suppressor_whole(job, site, build_after(job, site.catalog))
    named = [pin for pin in now.loose if any(pin in f.found for f in loose)]
    for i, one in enumerate(named):
        for other in named[i + 1 :]:
            row = new_row(job, now, one, other)
            yield Edited(replace(job, connections=(*job.connections, row)), f"join {one} and {other}")


def _holds(edited: Edited, catalog: Catalog, trial: Trial) -> bool:
    return trial.look(build_after(edited.job, catalog), enough=1).stands


def _still_standing(
    job: Job, site: Site, now: Wired, trial: Trial, extra: tuple[str, ...], fails: Sequence[Finding]
) -> Iterator[Edited]:
    """Small edits that leave every motion as it is: those after which the connections look less odd,
    then those around what the findings name."""
    quick = Quick(job, site.catalog)
    after = quick.after(job)
    named = _points_named(fails, now, after)
    look, old = Look(job, after), set(job.connections)
    odd = look.oddness(job.connections)
    chosen: list[tuple[int, int, Edited]] = []
    for n, edited in enumerate(ranked(job, quick, extra)):
        ends = {end for row in old ^ set(edited.job.connections) for end in (row.from_, row.to)}
        better = odd - look.oddness(edited.job.connections)
        if better > 0 or ends & named:
            chosen.append((-better if better > 0 else 0, -len(ends & named) * 1000 + n, edited))
    seen: set[frozenset[frozenset[str]]] = set()
    for _, _, edited in sorted(chosen, key=lambda one: one[:2])[:RANKED]:
        made = quick.after(edited.job)
        nature = circuit_of(edited.job, made)
        if nature not in seen and trial.look(made, enough=1).stands:
            seen.add(nature)
            yield edited


def _points_named(fails: Sequence[Finding], now: Wired, after: Circuit) -> set[str]:
    """Points that a finding's subject or text names, and the pins of parts that it names."""
    text = " ".join(f"{f.subject} {f.found} {f.path}" for f in fails)
    words = {word.strip(",.;()") for word in text.split()}
    points = [*now.loose, *(p for members in now.members.values() for p in members)]
    pins = {pin for part in after.parts if part.name in words for pin in part.pins}
    return {p for p in points if p in words or p in pins or after.aliases.get(p) in pins}


def nearer(job: Job, site: Site, now: Wired, trial: Trial, extra: tuple[str, ...]) -> Iterator[Edited]:
    """Ends moved to a core or to the supply place after which less is wrong than before, best first."""
    places = {f"core:{core.id}" for core in job.cores if core.role and core.role != "earth"} | set(extra)
    quick = Quick(job, site.catalog)
    was = len(trial.look(quick.after(job)).wrong)
    found: list[tuple[int, int, Edited]] = []
    for n, edited in enumerate(edits(job, now, extra)):
        changed = set(edited.job.connections) - set(job.connections)
        ends = {end for row in changed for end in (row.from_, row.to)}
        if edited.what.startswith("exchange"):
            continue
        if changed and not ends & places:
            continue
        left = len(trial.look(quick.after(edited.job), enough=was).wrong)
        if left < was:
            found.append((left, n, edited))
    yield from (edited for _, _, edited in sorted(found, key=lambda f: f[:2]))
