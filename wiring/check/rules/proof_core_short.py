"""proof.core-short: cores that lie side by side and touch do no more harm than before."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.faulty import hazards, name, pendant_too, results, story
from wiring.check.rule import iec, rule, us
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
    yield from case.each([(name(r), r) for r in found], judge)
    for index, cable in enumerate(case.job.cables):
        used = {c.conductor for c in case.job.connections if (c.conductor or "").startswith(f"{cable.id}:")}
        if cable.order is None and len(used) > 1:
            yield unknown(cable.id, "the order of its conductors is not stated, so no short was tried",
                          "the conductors as they lie", "look at the cut end and list them",
                          key=f"cable.{index}.order")  # fmt: skip


def judge(subject: str, result: FaultResult) -> Draft:
    """One pair of neighbours."""
    wanted = "no hazard worse than with the pendant"
    if result.judgement == "worse" or result.below_floor:
        return failed(subject, f"{hazards(result)}{pendant_too(result)}", wanted,
                      "change the order: put earth or a spare core between them",
                      "use two cables", path=story(result), key="cable")  # fmt: skip
    return passed(subject, f"{hazards(result)}{pendant_too(result) if result.hazards else ''}", wanted)
