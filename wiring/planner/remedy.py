"""The smallest change of the job file that answers each failing finding, and then the whole job.

Every candidate is a whole job: an edit that was planned in full. No candidate takes a key or a
motion away: the quick look demands that each key does what its button did.
"""

from __future__ import annotations

import difflib
from dataclasses import dataclass, replace
from pathlib import Path

from wiring.circuit import build_after, build_before
from wiring.files import EditError, InputError, edit_job, read_job
from wiring.model.finding import Verdict
from wiring.model.job import Job
from wiring.model.plan import Plan
from wiring.model.proposal import Change
from wiring.planner.cures import cures, settings
from wiring.planner.difference import edits_between
from wiring.planner.oddness import Look
from wiring.planner.propose import PlanOf, failing, search
from wiring.planner.rewire import Edited
from wiring.planner.trial import Trial

#: Steps one after the other, plans made in one step, and proposals tried where no small edit helps.
STEPS = 8
PLANS = 12
PROPOSALS = 4
#: Changes that answer everything without faults and are tried with them.
PROVED = 4
#: Candidates still planned after the first that answers everything.
MORE = 3
#: Above so many failures a wiring is laid out anew rather than mended.
FEW = 6

Key = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Planned:
    """A candidate with its plan. size: lines of the file that change, about; lost: screws of devices
    and receiver that had a wire in the job and have none now; mixed: places where the protective
    conductor is joined to something else; odd: how odd the connections look."""

    edited: Edited
    plan: Plan
    size: int
    lost: int
    mixed: int
    odd: int

    @property
    def fails(self) -> frozenset[Key]:
        """Rule and subject of each finding that fails."""
        return frozenset((f.rule, f.subject) for f in failing(self.plan))

    @property
    def unknown(self) -> int:
        """How many findings are unknown."""
        return sum(f.verdict is Verdict.UNKNOWN and f.about == "after" for f in self.plan.report.findings)

    @property
    def worth(self) -> tuple[int, int, int, int, int, int]:
        """Lower is better: failures, earths that carry current, unknowns, screws that lose their wire,
        size, oddness. A pole that is bridged answers as much as one that is wired, and is less."""
        return (len(self.fails), self.mixed, self.unknown, self.lost, self.size, self.odd)


class Remedy:
    """One search for remedies. tried: every candidate that was planned, by its edits."""

    def __init__(self, plan: Plan, plan_of: PlanOf) -> None:
        self.base, self.catalog, self.plan_of = plan.job, plan.catalog, plan_of
        self.trial = Trial(build_before(plan.job, plan.catalog))
        self.tried: dict[str, Planned] = {}
        self.start = self._measured(Edited(plan.job, ""), plan, 0)
        self.tried[self._key(plan.job)] = self.start

    def _key(self, job: Job) -> str:
        return repr(edits_between(self.base, job))

    def planned(self, edited: Edited) -> Planned:
        """The candidate's plan, made once."""
        key = self._key(edited.job)
        if key not in self.tried:
            edits = edits_between(self.base, edited.job)
            size = len(edits) + sum(_rows(edit) for edit in edits)
            self.tried[key] = self._measured(edited, self.plan_of(edited.job, self.catalog), size)
        return self.tried[key]

    def _measured(self, edited: Edited, plan: Plan, size: int) -> Planned:
        lost = len(landed(self.base) - landed(edited.job))
        look = Look(edited.job, build_after(edited.job, self.catalog))
        rows = edited.job.connections
        return Planned(edited, plan, size, lost, look.mixed(rows), look.oddness(rows))

    def stands(self, job: Job) -> bool:
        """True where every key does what its button did."""
        return self.trial.look(build_after(job, self.catalog), enough=1).stands

    # -- the search -----------------------------------------------------------------------------
    def whole(self) -> Planned:
        """The best job found: small edits where few things fail, else the planner's own wirings."""
        if not self.start.fails:
            return self.start
        here = self.step(self.start) or self.start
        if not here.fails:
            return here
        here = min(here, self.settled(), key=lambda p: p.worth)
        if len(here.fails) > FEW and not self.stands(here.edited.job):
            other = self.proposed()
            if other is not None and not other.fails:
                return other
        here = self.improved(here)
        if here.fails:
            other = self.proposed()
            if other is not None and other.worth < here.worth:
                here = other
        return here

    def improved(self, here: Planned) -> Planned:
        """One step after the other until nothing fails or nothing helps."""
        for _ in range(STEPS):
            best = self.step(here) if here.fails else None
            if best is None:
                break
            here = best
        return here

    def settled(self) -> Planned:
        """The job with its outputs set as a hoist's must be."""
        set_job = settings(self.base, self.catalog)
        return self.start if set_job is self.base else self.planned(Edited(set_job, "set to momentary"))

    def step(self, here: Planned) -> Planned | None:
        """The best next edit, None where none makes anything better."""
        best: Planned | None = None
        left = PLANS
        for edited in cures(here.edited.job, self.catalog, failing(here.plan), self.trial):
            found = self.planned(edited)
            left -= 1
            if found.mixed > here.mixed:
                continue
            if found.worth < (best or here).worth:
                best = found
            if not found.fails:  # a few more may leave less unknown, or be shorter
                left = min(left, MORE)
            if left <= 0:
                break
        return best

    def proposed(self) -> Planned | None:
        """The best of the planner's own wirings for this hoist and receiver."""
        best: Planned | None = None
        for candidate in search(self.base, self.catalog).candidates[:PROPOSALS]:
            here = self.improved(self.planned(Edited(candidate.proposal.job, "wire it anew")))
            if best is None or here.worth < best.worth:
                best = here
            if not best.fails:
                break
        return best


def landed(job: Job) -> set[str]:
    """Screws of devices and receiver with a wire under them."""
    ends = {end for row in job.connections for end in (row.from_, row.to)}
    return {end for end in ends if end.partition(":")[0] not in ("core", "hoist", "plug")}


def _rows(edit: object) -> int:
    """Keys that an added entry brings."""
    entry = getattr(edit, "entry", None)
    return sum(getattr(entry, name) is not None for name in entry.__slots__) if entry is not None else 0


def remedies(
    plan: Plan, plan_of: PlanOf, text: str | None = None, prove: PlanOf | None = None
) -> tuple[Change, ...]:
    """For each failing finding the smallest change found that answers it, then the whole change, last.

    text: the job file; read from the job's file where it is not given. prove: a plan with every
    single fault, which the whole change has to pass as well; the search itself uses `plan_of`.
    Empty where nothing fails, or where no change was found that makes anything better. What even
    the whole change leaves failing is named in its `leaves`. Raises InputError where the file
    cannot be read.
    """
    if plan.before is None or plan.after is None:
        return ()
    faulty = plan.behaviour is not None and plan.behaviour.faults is not None
    if prove is not None and not faulty:
        plan, faulty = prove(plan.job, plan.catalog), True
    if not failing(plan):
        return ()
    if text is None:
        text = Path(plan.job.file).read_bytes().decode("utf-8-sig")  # line ends as they are
    light = Remedy(plan_of(plan.job, plan.catalog) if faulty else plan, plan_of)
    whole, last = light.whole(), light
    if prove is not None:
        last = Remedy(plan, prove)
        whole = proved(light, last, whole)
    if whole is last.start:
        return ()
    fixed = change(last, whole, text, tuple(sorted(last.start.fails - whole.fails)))
    if fixed is None:
        return ()
    small = [change(light, one, text, answered) for one, answered in singles(light, whole)]
    left = tuple(f"{f.rule} {f.subject}: {f.found}" for f in failing(whole.plan))
    found = [c for c in small if c is not None and c.diff != fixed.diff]
    return (*found, replace(fixed, leaves=left, whole=True))


def proved(light: Remedy, last: Remedy, whole: Planned) -> Planned:
    """The best change that stands every single fault as well: the ones found without faults are tried
    in their order, and mended further where none of them stands."""
    answered = sorted((p for p in light.tried.values() if not p.fails), key=lambda p: p.worth)
    best: Planned | None = None
    for one in (answered or [whole])[:PROVED]:
        found = last.planned(one.edited)
        if best is None or found.worth < best.worth:
            best = found
        if not found.fails:
            return found
    assert best is not None
    best = last.improved(best)
    if best.fails:  # nothing near it stands: the planner's own first wiring
        for candidate in search(last.base, last.catalog).candidates[:1]:
            anew = last.planned(Edited(candidate.proposal.job, "wire it anew"))
            best = min(best, anew, key=lambda p: p.worth)
    return best


def singles(remedy: Remedy, whole: Planned) -> list[tuple[Planned, tuple[Key, ...]]]:
    """Candidates that answer something and break nothing, the smallest for each finding."""
    start = remedy.start.fails
    useful = [p for p in remedy.tried.values() if 2 * p.size <= whole.size and p.fails < start]
    chosen: dict[int, tuple[Planned, list[Key]]] = {}
    for key in sorted(start):
        fitting = [p for p in useful if key not in p.fails]
        if fitting:
            best = min(fitting, key=lambda p: (p.size, len(p.fails)))
            chosen.setdefault(id(best), (best, []))[1].append(key)
    return [(p, tuple(keys)) for p, keys in chosen.values()]


def change(remedy: Remedy, found: Planned, text: str, answered: tuple[Key, ...]) -> Change | None:
    """A candidate as edits of the file with their diff; None where the file would not load with them."""
    edits = edits_between(remedy.base, found.edited.job)
    try:
        new = edit_job(text, edits)
        read_job(new, remedy.base.file, remedy.catalog)
    except (InputError, EditError):
        return None
    name = Path(remedy.base.file).name
    lines = difflib.unified_diff(
        text.splitlines(keepends=True), new.splitlines(keepends=True), name, f"{name} with the remedy"
    )
    words = tuple(f"{rule} {subject}" for rule, subject in answered)
    return Change(edits, words, "".join(lines), found.edited.job, found.plan, text=new)
