"""proof.doubles: pairs of faults, counted."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, not_applicable, passed, unknown
from wiring.check.faulty import hazards, name, results
from wiring.check.rule import iec, rule, us


@rule(
    "proof.doubles",
    "Pairs of faults",
    danger=1,
    hazard="A first fault that nobody sees waits for the second.",
    sources=(
        us("29 CFR 1910.179(a)(40)"),
        iec("ISO 13849-1 category 3 and 4 (recalled)", "memory"),
    ),
    checks="How many pairs of faults lead to a hazard without a stop, by hazard, the worst first. For "
    "information; it "
    "counts only where the job claims level d or e for a stop.",
    needs="The analysis of pairs (holdrun prove --faults double).",
    does_not_cover="Three faults.",
    wants="behaviour",
    faults_too=True,
)
def check(case: Case) -> Iterable[Draft]:
    claim = case.job.receiver.stop_function
    claimed = bool(claim and claim.level and claim.level.strip().lower()[-1:] in ("d", "e"))
    faults = case.faults
    if faults is None or faults.kind != "double":
        if claimed:
            yield unknown("pairs", "a level d or e is claimed; pairs of faults not run", "pairs of faults "
                "tried",
                          f"holdrun prove {case.job.file} --faults double")  # fmt: skip
        else:
            yield not_applicable("pairs", "pairs of faults not run; no claim of the job needs them")
        return
    tally = Counter(h.hazard for r in results(case) if r.below_floor for h in r.hazards)
    text = ", ".join(f"{n} {h}" for h, n in tally.most_common()) or "no pair without a stop"
    worst = next((r for r in results(case) if r.below_floor), None)
    if worst is not None and claimed:
        yield failed("pairs", f"{text}; worst: {name(worst)}: {hazards(worst)}", "no pair without a stop",
                     "monitor the contactor behind the stop", key="receiver.stop_function")  # fmt: skip
    elif worst is not None:
        yield not_applicable("pairs", f"for information: {text}; worst: {name(worst)}")
    else:
        yield passed("pairs", f"{faults.count} pairs: {text}", "no pair without a stop")
