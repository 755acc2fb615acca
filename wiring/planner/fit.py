"""Which receivers fit this hoist, with the fewest parts added; and what to buy where none is chosen."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from wiring.circuit import build_before
from wiring.model.entry import Catalog, ReceiverType
from wiring.model.finding import Finding, Verdict
from wiring.model.job import Job, ReceiverFacts, ReceiverOutput
from wiring.model.proposal import Fit, Proposal
from wiring.planner.demand import demand_of, with_type_cores
from wiring.planner.propose import PlanOf, failing, planned, search

VERDICTS = ("direct", "with devices", "do not use")
#: Candidates planned for one receiver before it is called unfit.
PLANS = 3
#: Rules whose failure speaks about the receiver itself and not about the rest of the job.
OF_RECEIVER = ("contact.", "mode.", "supply.range", "supply.frequency", "proof.receiver-supply")
#: Of these, what a resistor beside the load or a larger conductor answers: named as open, no refusal.
HELPED = ("contact.minimum-load", "contact.leakage")
#: Unknowns named in the table, worst first.
OPEN = 3


def fit_receivers(job: Job, catalog: Catalog, plan: PlanOf | None) -> tuple[Fit, ...]:
    """Every receiver type of the catalog, and the job's own file, judged for this hoist; best first.

    plan: None to leave it at the quick look at every motion, limit, stop and weld; nothing is
    then known of ratings and sizes, and `proposal.plan` is None.
    """
    judged, said = judged_job(job, catalog)
    names = list(catalog.receivers)
    if job.receiver.type and job.receiver.type not in names:
        names.append(job.receiver.type)
    found = [fit_one(judged, catalog, name, plan) for name in names]
    if said:
        found = [replace(one, open=(said, *one.open)) for one in found]
    return tuple(sorted(found, key=_rank))


def judged_job(job: Job, catalog: Catalog) -> tuple[Job, str]:
    """The job receivers are judged for, and what has to be said of it.

    Where a core that is needed has no known role, the cores of the type stand in.
    """
    hoist = catalog.hoists.get(job.hoist.type or "")
    missing = demand_of(job, hoist, build_before(job, catalog)).missing if hoist else ()
    if hoist is None or not missing:
        return job, ""
    said = f"judged on the cores of the type: no core of this cord is known to be {', '.join(missing)}"
    return with_type_cores(job, hoist), f"{said}; holdrun identify FILE"


def _rank(fit: Fit) -> tuple[int, bool, float, str]:
    score = fit.proposal.score if fit.proposal else 0.0
    stands = fit.proposal is not None and fit.proposal.stands
    return VERDICTS.index(fit.verdict), not stands, score, fit.receiver


def fit_one(job: Job, catalog: Catalog, name: str, plan: PlanOf | None) -> Fit:
    """One receiver type for this hoist."""
    receiver = catalog.receivers[name]
    tried = search(with_receiver(job, name, receiver), catalog, 1 if plan is None else None)
    if not tried.candidates:
        return Fit(name, "do not use", None, (), (), reasons(tried.refused), receiver.title)
    best: Proposal | None = None
    for candidate in tried.candidates[:PLANS]:
        proposal = candidate.proposal if plan is None else planned(candidate.proposal, catalog, plan)
        if best is None or _worse(best) > _worse(proposal):
            best = proposal
        if _worse(best) == (0, 0):
            break
    assert best is not None
    against = _against(best)
    if against:
        why = f"{against[0].rule}: {against[0].found}"
        return Fit(name, "do not use", best, needs(best, job, catalog), (), why, receiver.title)
    verdict = "direct" if best.drive == "direct" else "with devices"
    return Fit(
        name, verdict, best, needs(best, job, catalog), open_points(best), why_so(best, tried.refused),
        receiver.title,
    )  # fmt: skip


def reasons(refused: tuple[str, ...]) -> str:
    """Why nothing stands, each reason once with the drives it holds for."""
    found: dict[str, list[str]] = {}
    for line in refused:
        drive, colon, reason = line.partition(": ")
        found.setdefault(reason if colon else line, []).append(drive if colon else "")
    return "; ".join(
        f"{', '.join(d for d in drives if d)}: {r}".removeprefix(": ") for r, drives in found.items()
    )


def _worse(proposal: Proposal) -> tuple[int, int]:
    """Failures about the receiver, then all: lower is better."""
    return len(_against(proposal)), len(failing(proposal.plan)) if proposal.plan else 0


def _against(proposal: Proposal) -> list[Finding]:
    """What fails about the receiver and cannot be helped by a part beside the load."""
    fails = failing(proposal.plan) if proposal.plan else []
    return [f for f in fails if f.rule.startswith(OF_RECEIVER) and f.rule not in HELPED]


def with_receiver(job: Job, name: str, receiver: ReceiverType) -> Job:
    """The job with another receiver, as it comes from the box with every output set to momentary."""
    if job.receiver.type == name:
        return job
    mode = "momentary" if "momentary" in receiver.modes else None
    rows = tuple(ReceiverOutput(o.id, o.key or None, mode=mode) for o in receiver.outputs)
    step = "cumulative" if receiver.step_two == "either" else receiver.step_two
    facts = ReceiverFacts(name, outputs=rows, step_two=step)
    values = tuple(v for v in job.values if not v.of.startswith(("receiver.", "receiver:")))
    keep = tuple(c for c in job.connections if "receiver" not in (_owner(c.from_), _owner(c.to)))
    return replace(job, receiver=facts, values=values, connections=keep, bench=())


def _owner(point: str) -> str:
    return point.partition(":")[0]


def needs(proposal: Proposal, job: Job, catalog: Catalog) -> tuple[str, ...]:
    """What has to be added and taken off, in words."""
    had = {d.id for d in job.devices}
    added = [catalog.devices[d.type].title for d in proposal.devices if d.id not in had]
    lines = [
        f"{added.count(title)} x {title}" if added.count(title) > 1 else title
        for title in dict.fromkeys(added)
    ]
    wires = [r.name for r in proposal.removes if r not in job.removes]
    if wires:
        lines.append(f"take off {', '.join(wires)}")
    jumpers = proposal.receiver.jumpers if proposal.receiver else ()
    lines += [
        f"take out jumper {j.id}" for j in jumpers if j.fitted is False and j not in job.receiver.jumpers
    ]
    return tuple(lines)


def open_points(proposal: Proposal) -> tuple[str, ...]:
    """What the user still has to decide or find out, the worst unknowns first."""
    lines = list(proposal.open)
    if proposal.plan is None:
        return tuple(lines)
    unknown = [
        f for f in proposal.plan.report.findings if f.verdict is Verdict.UNKNOWN and f.about == "after"
    ]
    about = [f for f in unknown if f.rule.startswith((*OF_RECEIVER, "identity.receiver"))] or unknown
    lines += [f"{f.rule} {f.subject}: {f.remedy or f.found}" for f in about[:OPEN]]
    if len(unknown) > OPEN:
        lines.append(f"{len(unknown)} findings are unknown in all")
    return tuple(lines)


def why_so(proposal: Proposal, refused: tuple[str, ...]) -> str:
    """Why this drive, and why not a simpler one."""
    simpler = [line for line in refused if line.startswith("direct: ")] if proposal.drive != "direct" else []
    if simpler:
        return f"through {proposal.drive}, because direct: {simpler[0].removeprefix('direct: ')}"
    if proposal.drive == "direct":
        return "its contacts take the places of the handset's; every motion, limit and stop as before"
    return f"through {proposal.drive}; every motion, limit and stop as before"


def why_not(job: Job, catalog: Catalog) -> Iterator[str]:
    """Why no wiring is proposed for the job's own receiver."""
    yield from search(job, catalog).refused
