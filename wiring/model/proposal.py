"""What the planner offers: connections and added parts, with reasons, proved."""

from __future__ import annotations

from dataclasses import dataclass

from wiring.model.job import AddedDevice, Cable, Connection, Job, Remove, StopFact
from wiring.model.plan import Plan


@dataclass(frozen=True, slots=True)
class Proposal:
    """One way to wire the receiver in.

    reasons: one sentence per connection, same order. score: lower is better. open:
    what the user must still state or decide. job: the job with the proposal in it;
    plan: its plan, so that nothing is offered that was not proved.
    """

    connections: tuple[Connection, ...]
    reasons: tuple[str, ...]
    devices: tuple[AddedDevice, ...]
    removes: tuple[Remove, ...]
    stops: tuple[StopFact, ...]
    score: float
    open: tuple[str, ...]
    job: Job
    plan: Plan | None
    cables: tuple[Cable, ...] = ()


@dataclass(frozen=True, slots=True)
class Fit:
    """One receiver type judged for this hoist. verdict: "direct" | "with devices" | "do not use"."""

    receiver: str
    verdict: str
    proposal: Proposal | None
    needs: tuple[str, ...]
    open: tuple[str, ...]
    why: str


@dataclass(frozen=True, slots=True)
class Change:
    """A remedy: edits of the job file (see `files.edit_job`), what they answer, the diff."""

    edits: tuple[object, ...]
    answers: tuple[str, ...]
    diff: str
    job: Job
    plan: Plan | None
