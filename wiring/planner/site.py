"""What one proposal is made for: the job with its types, circuits and voltages, looked up once."""

from __future__ import annotations

from dataclasses import dataclass

from wiring.circuit import build_before
from wiring.model.circuit import Circuit
from wiring.model.entry import Catalog, HoistType, ReceiverType
from wiring.model.job import Job
from wiring.planner.demand import Demand, demand_of
from wiring.planner.supply import Tap, joined, taps

#: Above this a control circuit gets a transformer of its own [V].
CONTROL_CEILING = 300.0


class NoWay(Exception):
    """This choice cannot be wired; the text says why."""


@dataclass(frozen=True, slots=True)
class Choice:
    """How the receiver is to work the hoist.

    drive: "direct" (its contacts take the handset's places), "pair" (they work a contactor pair),
    "relays" (each works a relay), "pair+relays"; main: a main contactor in the stop path; bleed: a
    bleeder across each relay coil; nth: which assignment of outputs, 0 the best.
    """

    drive: str
    main: bool
    bleed: bool
    nth: int


@dataclass(frozen=True, slots=True)
class Site:
    """One hoist, one receiver. same_pole: the feed core is the pole the receiver's supply place takes."""

    job: Job
    hoist: HoistType
    receiver: ReceiverType
    catalog: Catalog
    before: Circuit
    demand: Demand
    taps: tuple[Tap, ...]
    same_pole: bool

    @property
    def tap(self) -> Tap | None:
        """The place where the receiver's supply is to be taken."""
        return self.taps[0] if self.taps else None

    @property
    def three_phase(self) -> bool:
        return self.hoist.supply_system.startswith("3ph")

    @property
    def needs_transformer(self) -> bool:
        """True where the hoist has no voltage that a control circuit may have."""
        return self.tap is not None and self.tap.volts > CONTROL_CEILING


def site_of(job: Job, catalog: Catalog) -> Site:
    """The site of a job. Raises NoWay where a type is not known or a needed core has no known role."""
    if job.hoist.type is None or job.receiver.type is None:
        what = "hoist" if job.hoist.type is None else "receiver"
        raise NoWay(f"the {what} type is not known")
    hoist, receiver = catalog.hoists[job.hoist.type], catalog.receivers[job.receiver.type]
    if not receiver.lifting:
        raise NoWay(receiver.lifting_why or "this receiver is not for lifting")
    before = build_before(job, catalog)
    demand = demand_of(job, hoist, before)
    if demand.missing:
        roles = ", ".join(demand.missing)
        raise NoWay(f"no core is known to be {roles}; a core whose role is not known is never used")
    found = taps(demand, before)
    return Site(job, hoist, receiver, catalog, before, demand, found, _same_pole(demand, before, found))


def _same_pole(demand: Demand, before: Circuit, found: tuple[Tap, ...]) -> bool:
    """True where copper alone leads from the supply place to the net before the pendant's stop: a
    motor winding between the two would take its share of the voltage."""
    if not found or not demand.gaps:
        return False
    point = demand.points.get(demand.gaps[0].a)
    return point is not None and before.aliases.get(point, point) in joined(before, found[0].hot, closed=True)
