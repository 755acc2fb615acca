"""Connections for a hoist and a receiver: search, quick look, full plan, best first."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from wiring.circuit import build_after
from wiring.files import Edit
from wiring.model.entry import Catalog
from wiring.model.finding import Finding, Verdict
from wiring.model.job import Job
from wiring.model.plan import Plan
from wiring.model.proposal import Proposal
from wiring.planner.difference import edits_between
from wiring.planner.layout import Laid, lay
from wiring.planner.modes import momentary
from wiring.planner.order import better_orders, shorts_of
from wiring.planner.sheet import rows_of
from wiring.planner.site import Choice, NoWay, Site, site_of
from wiring.planner.trial import Trial

PlanOf = Callable[[Job, Catalog], Plan]

#: Drives with the parts each adds by itself, in the order they are tried.
DRIVES = ("direct", "pair", "relays", "pair+relays")
WORDS = {
    "direct": "direct",
    "pair": "contactor pair",
    "relays": "relays",
    "pair+relays": "relays and contactor pair",
}
#: Assignments of outputs looked at for each choice, and full plans made, before the search ends.
ASSIGNMENTS = 2
PLANS = 5
#: Of these, how many are proved with their faults before one stands, and orders of conductors tried.
PROVED = 2
ORDERS = 3


@dataclass(frozen=True, slots=True)
class Candidate:
    """A wiring that stood the quick look. score: parts, connections and what they cost; lower is better."""

    proposal: Proposal
    choice: Choice
    laid: Laid


@dataclass(frozen=True, slots=True)
class Tried:
    """What the search saw. refused: for each choice that led nowhere, why."""

    candidates: tuple[Candidate, ...]
    refused: tuple[str, ...]


def propose_connections(
    job: Job, catalog: Catalog, plan: PlanOf, prove: PlanOf | None = None
) -> tuple[Proposal, ...]:
    """Ways to connect this receiver to this hoist, best first, each planned in full.

    A way without a failing finding comes before one with, whatever its score; with `prove` the first
    is planned with its faults before it is offered, others until one stands that. Empty where no way
    was found; `fit_receivers` says why and what would do. A core whose role is not known is never used.
    """
    found: list[tuple[Proposal, Proposal]] = []  # planned, and as it was laid out
    for candidate in search(job, catalog).candidates[:PLANS]:
        found.append((planned(candidate.proposal, catalog, plan), candidate.proposal))
        if sum(made.stands for made, _ in found) >= 2:
            break
    found.sort(key=lambda pair: _rank(pair[0]))
    first: list[Proposal] = []
    for _, laid in found[:PROVED] if prove else ():
        assert prove is not None
        first.append(proved(laid, catalog, prove))
        if first[-1].stands:
            break
    # what was not proved with its faults never comes before what was
    return (*sorted(first, key=_rank), *(made for made, _ in found[len(first) :]))


def _rank(proposal: Proposal) -> tuple[bool, int, float]:
    return not proposal.stands, hard(proposal), proposal.score


def proved(proposal: Proposal, catalog: Catalog, prove: PlanOf) -> Proposal:
    """The proposal planned with its faults; where shorts of neighbours matter, with a better order of
    conductors if one of a few that are tried has less against it."""
    best = tried = planned(proposal, catalog, prove)
    harmful: list[tuple[str, str]] = []
    for _ in range(ORDERS):
        pairs = shorts_of(failing(tried.plan)) if tried.plan else []
        harmful += pairs
        others = better_orders(proposal.job, harmful) if pairs else ()
        if not others:
            break
        other = replace(proposal, job=others[0], cables=others[0].cables)
        tried = planned(other, catalog, prove)
        if hard(tried) < hard(best):
            best = tried
    return best


def planned(proposal: Proposal, catalog: Catalog, plan: PlanOf) -> Proposal:
    """The proposal with its full plan."""
    made = plan(proposal.job, catalog)
    fails = failing(made)
    still = tuple(f"{f.rule} {f.subject}: {f.found}" for f in fails)
    return replace(proposal, plan=made, stands=not fails, open=(*proposal.open, *still))


def failing(plan: Plan) -> list[Finding]:
    """Findings about the conversion that fail."""
    return [f for f in plan.report.findings if f.verdict is Verdict.FAIL and f.about == "after"]


def hard(proposal: Proposal) -> int:
    """How many findings of a proposal fail."""
    return len(failing(proposal.plan)) if proposal.plan else 0


def search(job: Job, catalog: Catalog, enough: int | None = None) -> Tried:
    """Every choice laid out and looked at quickly; those that stand, best first.

    enough: leave off when so many stand (the choices with few parts come first)."""
    base = job
    try:
        if job.receiver.type is not None:
            job = momentary(job, catalog.receivers[job.receiver.type])
        site = site_of(job, catalog)
    except NoWay as none:
        return Tried((), (str(none),))
    trial = Trial(site.before)
    has_main = any(d.type.startswith("main-contactor") for d in job.devices)
    found: list[Candidate] = []
    refused: list[str] = []
    for choice in choices():
        if choice.main and not has_main and any(c.choice.drive == choice.drive for c in found):
            continue  # it stands without, or with it in one way
        if choice.bleed and any(c.choice.drive == choice.drive for c in found):
            continue
        try:
            if choice.drive == "direct":
                motor_on_contacts(site)
            candidate = one(site, choice, base)
        except NoWay as none:
            if choice.nth == 0:
                refused.append(f"{WORDS[choice.drive]}: {none}")
            continue
        seen = trial.look(build_after(candidate.proposal.job, catalog), enough=1)
        if seen.stands:
            found.append(candidate)
            if enough is not None and len(found) >= enough:
                break
        else:
            refused.append(f"{WORDS[choice.drive]}: {seen.wrong[0]}")
    found.sort(key=lambda c: c.proposal.score)
    return Tried(tuple(found), tuple(dict.fromkeys(refused)))


def motor_on_contacts(site: Site) -> None:
    """Raises NoWay where motor current would go through contacts that no rating says can carry it."""
    if not site.demand.motor:
        return
    motor = next(iter(site.hoist.motors), None)
    power = motor.values.get("power") if motor else None
    volts = site.hoist.voltage.si
    stated = [o.rating for o in site.job.receiver.outputs if o.rating]
    name = "motor_120" if volts <= 132 else "motor_240"
    rated = [getattr(r, name).si for r in stated if getattr(r, name) is not None]
    known = site.receiver.rating.get(name)
    if known is not None and not stated:
        rated.append(known.si)
    if any(r.ac3 is not None for r in stated):
        return  # its amperes are for the rules to judge
    if not rated:
        raise NoWay("the contacts have no motor rating, and motor current would go through them")
    if power is not None and max(rated) < power.si:
        raise NoWay(
            f"the contacts are rated for {max(rated):.0f} W of motor, the plate says {power.si:.0f} W"
        )


def choices() -> Iterator[Choice]:
    """Every choice, cheap ones first."""
    for drive in DRIVES:
        for main in (False, True):
            for bleed in (False, True) if drive.endswith("relays") else (False,):
                for nth in range(ASSIGNMENTS):
                    yield Choice(drive, main, bleed, nth)


def one(site: Site, choice: Choice, base: Job) -> Candidate:
    """One choice as a proposal for a job, not yet looked at. Raises NoWay."""
    laid = lay(site, choice)
    job = site.job
    rows = rows_of(laid.sheet)
    ids = {d.id for d in laid.sheet.devices}
    stops = [s for s in job.stops if still_there(s.device, ids)]
    stops += [s for s in laid.sheet.stops if s not in stops]
    made = replace(
        job,
        devices=tuple(laid.sheet.devices),
        removes=tuple(laid.sheet.removes),
        stops=tuple(stops),
        values=tuple(v for v in job.values if not _names(v.of, {d.id for d in job.devices} - ids)),
        cables=rows.cables,
        connections=rows.connections,
        receiver=laid.receiver,
        transmitters=laid.transmitters,
        pendant=replace(job.pendant, fate=job.pendant.fate or "removed"),
        cord=replace(job.cord, fate=job.cord.fate or "removed"),
    )
    open_ = list(laid.sheet.open)
    if rows.new_cable:
        cable = next(c for c in rows.cables if c.id not in {x.id for x in job.cables})
        open_.append(f"state type, size, length and surroundings of cable {cable.id}")
    proposal = Proposal(
        connections=rows.connections,
        reasons=rows.reasons,
        devices=made.devices,
        removes=made.removes,
        stops=made.stops,
        score=score(laid, base, made, choice),
        open=tuple(open_),
        job=made,
        plan=None,
        cables=rows.cables,
        receiver=made.receiver,
        transmitters=made.transmitters,
        base=base,
        drive=WORDS[choice.drive],
    )
    return Candidate(proposal, choice, laid)


def _names(address: str, devices: set[str]) -> bool:
    """True where a stated value belongs to one of these devices."""
    return address.partition(":")[0].partition(".")[0] in devices


def still_there(device: str | None, ids: set[str]) -> bool:
    """True for a stop whose device is in the hoist or among the devices of the proposal."""
    owner = (device or "").partition(":")[0].partition(".")[0]
    return owner in ("hoist", "plug", "pendant", "receiver", "") or owner in ids


def score(laid: Laid, base: Job, made: Job, choice: Choice) -> float:
    """Ten for a device to be added, two for one of the job's that is left over, one for a connection
    to be made, a little for a second choice of outputs, less for commons that are shared in one chain."""
    had = {d.id for d in base.devices}
    added = sum(1 for d in made.devices if d.id not in had)
    dropped = len(had - {d.id for d in made.devices})
    new = sum(1 for c in made.connections if c not in base.connections)
    used = {p for _, pole in laid.assignment.chosen for p in (pole.a, pole.b)}
    shared = 2 * len(laid.assignment.chosen) - len(used)
    return 10.0 * added + 2.0 * dropped + 1.0 * new + 0.5 * choice.nth - 0.1 * shared


def edits_of(proposal: Proposal) -> tuple[Edit, ...]:
    """The edits that put a proposal into the file of the job it was made for."""
    base = proposal.base or proposal.job
    return edits_between(base, proposal.job)
