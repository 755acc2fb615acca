"""What the planner offers: connections and added parts, with reasons, proved."""

from __future__ import annotations

from dataclasses import dataclass

from wiring.model.job import (
    AddedDevice,
    Cable,
    Connection,
    Job,
    ReceiverFacts,
    Remove,
    StopFact,
    Transmitter,
)
from wiring.model.plan import Plan


@dataclass(frozen=True, slots=True)
class Proposal:
    """One way to wire the receiver in.

    reasons: one sentence per connection, same order. score: lower is better. open:
    what the user must still state or decide. base: the job it was made for; job: the
    job with the proposal in it; plan: its plan, so that nothing is offered that was not
    proved. drive: how the receiver works the hoist ("direct", "contactor pair", "relays",
    "relays and contactor pair"); stands: False where its plan still has a finding that fails.
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
    receiver: ReceiverFacts | None = None
    transmitters: tuple[Transmitter, ...] = ()
    base: Job | None = None
    drive: str = "direct"
    stands: bool = True


@dataclass(frozen=True, slots=True)
class Fit:
    """One receiver type judged for this hoist. verdict: "direct" | "with devices" | "do not use"."""

    receiver: str
    verdict: str
    proposal: Proposal | None
    needs: tuple[str, ...]
    open: tuple[str, ...]
    why: str
    title: str = ""


@dataclass(frozen=True, slots=True)
class Want:
    """One line of the specification to buy a receiver by: what, and why this hoist needs it."""

    what: str
    wanted: str
    why: str


@dataclass(frozen=True, slots=True)
class Change:
    """A remedy: edits of the job file (see `files.edit_job`), what they answer, the diff.

    leaves: findings that fail in the job and still do with the change, with the reason none
    of the edits tried answers them; whole: True for the change that answers all it can.
    """

    edits: tuple[object, ...]
    answers: tuple[str, ...]
    diff: str
    job: Job
    plan: Plan | None
    leaves: tuple[str, ...] = ()
    whole: bool = False
    text: str = ""  # the job file with the edits in it
