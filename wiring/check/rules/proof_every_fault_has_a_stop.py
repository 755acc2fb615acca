"""proof.every-fault-has-a-stop: against every hazard a stop is within reach."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.faulty import MOST, below, name, pendant_too, results, story
from wiring.check.rule import iec, rule, us
from wiring.model.behaviour import Hazard


@rule(
    "proof.every-fault-has-a-stop",
    "Against every fault a stop within reach",
    danger=1,
    hazard="A hook that runs on and cannot be stopped from where the operator stands.",
    sources=(
        us("29 CFR 1910.179(g)(5)(iii), (a)(59)"),
        iec("ISO 13850 4.1.1; IEC 60204-1 9.2.2, 10.7"),
    ),
    checks="Each hazard of each single fault: on hoisting motions a stop of rank 2 or more (at the hand, or "
    "near with a "
    "clear way) is seen to end it, on others any stop of the circuit. Whatever the pendant had.",
    needs="The fault analysis; [[stop]] rows with device, reach, distance and path_clear.",
    does_not_cover="Stops that are not part of the circuit.",
    wants="faults",
)
def check(case: Case) -> Iterable[Draft]:
    wanted = "a stop of rank 2 on hoisting, rank 1 elsewhere, that ends it in the simulation"
    poor = [(r, list(below(r))) for r in results(case)]
    poor = [(r, hs) for r, hs in poor if hs]
    for result, found in poor[:MOST]:
        left = ", ".join(found[0].stops_left) or "nothing"
        open_ = [nowhere(case, hazard) for hazard in found]
        if all(open_):
            said = f"{found[0].hazard} {found[0].motion}: {left} ends it; nobody stated where {open_[0]} is"
            yield unknown(name(result), said, wanted,
                          f"state a [[stop]] row for {open_[0]}: reach, distance, path_clear",
                          "add a wired emergency stop that breaks the motor line, within reach",
                          path=story(result), key="stop")  # fmt: skip
            continue
        yield failed(name(result), f"{found[0].hazard} {found[0].motion}: {left} ends "
                                   f"it{pendant_too(result)}", wanted,
                     "add a wired emergency stop that breaks the motor line, within reach",
                     "add a main contactor in the stop path", path=story(result), key="stop")  # fmt: skip
    if len(poor) > MOST:
        yield failed("more faults", f"{len(poor) - MOST} more faults without a stop of the wanted rank",
            wanted,
                     "add a main contactor in the stop path", key="stop")  # fmt: skip
    if not poor:
        yield passed(
            "faults", f"each hazard of {len(results(case))} listed faults has a stop in reach", wanted
        )


def nowhere(case: Case, hazard: Hazard) -> str:
    """The stop that ends a hazard, where nobody stated of any that does how near it is; else ""."""
    placed = {row.id for row in case.job.stops if row.reach is not None or row.distance is not None}
    left = [stop for stop in hazard.stops_left if stop.startswith("stop:")]
    if any(stop.partition(":")[2] in placed for stop in left):
        return ""
    return left[0] if left else ""
