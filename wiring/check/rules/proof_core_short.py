"""proof.core-short: cores that lie side by side and touch do no more harm than before."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.faulty import hazards, name, pendant_too, replaced, results, story
from wiring.check.orders import better_order
from wiring.check.rule import iec, rule, us
from wiring.check.runs import runs
from wiring.model.behaviour import FaultResult


@rule(
    "proof.core-short",
    "Neighbouring cores that touch",
    danger=1,
    hazard="A crushed cord joins feed and stop return, and the stop does nothing.",
    sources=(
        us("NEC 430.73 on damage to control circuits"),
        iec("IEC 60204-1 9.4; ISO 13849-2 fault lists (recalled)", "memory"),
    ),
    checks="Each pair of conductors that lie side by side in a cable, or in what stays of the cord, "
    "shorted: no hazard "
    "worse than the pendant's. The order of the cores decides which pairs exist.",
    needs="cable.order and cord.order; the fault analysis.",
    does_not_cover="Conductors that are not neighbours, three at once.",
    wants="faults",
)
def check(case: Case) -> Iterable[Draft]:
    found = [r for r in results(case) if len(r.fault) == 1 and r.fault[0].startswith("short ")]
    yield from case.each([(name(r), r) for r in found], lambda s, r: judge(case, s, r))
    for index, cable in enumerate(case.job.cables):
        used = {c.conductor for c in case.job.connections if (c.conductor or "").startswith(f"{cable.id}:")}
        if cable.order is None and len(used) > 1:
            yield unknown(cable.id, "the order of its conductors is not stated, so no short was tried",
                          "the conductors as they lie", "look at the cut end and list them",
                          key=f"cable.{index}.order")  # fmt: skip


def judge(case: Case, subject: str, result: FaultResult) -> Draft:
    """One pair of neighbours."""
    wanted = "no hazard worse than with the pendant"
    as_old = replaced(case, result)
    if as_old:
        return passed(subject, f"{hazards(result)}, as on {as_old}, which they replace", wanted)
    if result.judgement == "worse" or result.below_floor:
        return failed(subject, f"{hazards(result)}{pendant_too(result)}", wanted, *remedies(case, result),
                      path=story(result), key=_key(case, result))  # fmt: skip
    return passed(subject, f"{hazards(result)}{pendant_too(result) if result.hazards else ''}", wanted)


def pair_of(result: FaultResult) -> tuple[str, str]:
    """The two conductors of a short."""
    _, one, other = result.fault[0].split(" ")
    return one, other


def remedies(case: Case, result: FaultResult) -> tuple[str, ...]:
    """What keeps the two apart: an order of the cable that was tried and does no harm, where there is one."""
    one, other = pair_of(result)
    cable = cable_of(case, one)
    earth = [name for name in (one, other) if name in earths(case)]
    apart = f"use two cables, {one} in one and {other} in the other"
    if earth:
        apart = "let the fault trip a device: earth one pole and fuse the other (see proof.earth-fault)"
    if not cable:
        return ("a cord's cores lie as they were made: remove it, use a cable in an order of your own", apart)
    order = better_order(case, cable)
    if not order:
        stop = f"put a stop within reach that ends it: no order of {cable} keeps all harmful pairs apart"
        return (stop, apart)
    laid = ", ".join(name.partition(":")[2] for name in order)
    return (f"lay {cable} in the order {laid}: no pair of neighbours does harm then", apart)


def cable_of(case: Case, name: str) -> str:
    """The added cable a conductor belongs to, empty for a core of the cord."""
    return next((c.id for c in case.job.cables if name.startswith(f"{c.id}:")), "")


def earths(case: Case) -> set[str]:
    """Protective conductors among the runs of the plan."""
    return {r.name for r in runs(case) if r.earth}


def _key(case: Case, result: FaultResult) -> str:
    cable = cable_of(case, pair_of(result)[0])
    index = next((i for i, c in enumerate(case.job.cables) if c.id == cable), None)
    return "cord.order" if index is None else f"cable.{index}.order"
