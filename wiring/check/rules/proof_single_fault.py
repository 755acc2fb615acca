"""proof.single-fault: no single fault is worse than with the pendant."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.faulty import MOST, hazards, name, replaced, results, story
from wiring.check.nets import behind
from wiring.check.rule import iec, rule, us
from wiring.model.behaviour import FaultResult


@rule(
    "proof.single-fault",
    "No single fault is worse than with the pendant",
    danger=1,
    hazard="One broken part must not leave the operator with less than the pendant left him.",
    sources=(
        us("29 CFR 1910.179(a)(40) fail-safe; ASME B30.16"),
        iec("Machinery Directive annex I 1.2.1; IEC 60204-1 9.4.1"),
    ),
    checks="Every single fault of both circuits, and a hidden first one with every second: the best stop "
    "that still "
    "ends each hazard, compared with the pendant's for a fault of the same class.",
    needs="The fault analysis (holdrun prove --faults single).",
    does_not_cover="Faults nobody listed, common causes, timing inside switching.",
    wants="faults",
)
def check(case: Case) -> Iterable[Draft]:
    wanted = "for every hazard a stop at least as near as the pendant's"
    worse = [r for r in results(case)
             if r.judgement == "worse" and not ended_by_fuse(case, r) and not added_stop(case, r)
             and not replaced(case, r)]  # fmt: skip
    for result in worse[:MOST]:
        yield failed(name(result), f"{hazards(result)}; compared with {result.compared_with or 'the floor'}",
            wanted,
                     "put a stop of its own before the part that fails", "keep the cores apart that touch",
                     path=story(result))  # fmt: skip
    if len(worse) > MOST:
        yield failed("more faults", f"{len(worse) - MOST} more faults are worse than with the pendant",
            wanted,
                     f"holdrun prove {case.job.file} --faults single")  # fmt: skip
    faults = case.faults
    if not worse and faults is not None:
        if faults.sampled:
            yield unknown("faults", f"only a sample of {faults.count} faults was run", wanted,
                          "run all of them: holdrun prove --faults single")  # fmt: skip
        else:
            apart = f"; {faults.worse} ended by a fuse, of a stop more, or as on a wire replaced"
            yield passed("faults", f"none of {faults.count} faults is worse: {faults.better} better, "
                         f"{faults.same} the same, {faults.none} without hazard"
                         f"{apart if faults.worse else ''}", wanted)  # fmt: skip


def ended_by_fuse(case: Case, result: FaultResult) -> bool:
    """True where all that comes of a fault is a short that a fuse of its own circuit ends.

    Nothing moves then, and the hoist stands still: what any fuse is there for.
    """
    if any(h.hazard != "source short" for h in result.hazards) or not result.hazards:
        return False
    parts = {p.name for p in case.after.parts}
    shorted = [w for f in result.fault for w in f.split(" ") if w in parts and f.endswith(" short")]
    return bool(shorted) and all(fused(case, name) for name in shorted)


def added_stop(case: Case, result: FaultResult) -> bool:
    """True where all that a fault takes away is a stop, and one is left as near as any the pendant had.

    A stop that the conversion adds may fail: the operator is left with no less than before.
    """
    best = max((s.rank for s in case.before.stops), default=0)
    return bool(result.hazards) and all(
        h.hazard == "stop defeated" and h.score_after is not None and h.score_after >= best
        for h in result.hazards
    )


def fused(case: Case, name: str) -> bool:
    """True where a fuse stands before a part in some settled state."""
    fuses = [p.name for p in case.after.parts if p.kind == "fuse"]
    for settled in case.settled("after"):
        if len(settled.state) > 1:
            continue
        if any(name in {p.name for p in behind(case.after, settled.closed, fuse)} for fuse in fuses):
            return True
    return False
