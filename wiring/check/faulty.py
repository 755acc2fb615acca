"""Results of the fault analysis as rules ask for them."""

from __future__ import annotations

from collections.abc import Iterator

from wiring.check.case import Case
from wiring.model.behaviour import FaultResult, Hazard

#: The rank a stop needs to have: hoisting motions and all others. Definition of the proof's floor.
FLOOR_HOIST, FLOOR_OTHER = 2, 1

#: Findings per rule above which the rest is only counted.
MOST = 12
#: Hazards of one fault that are told one by one.
_TOLD = 3


def results(case: Case) -> tuple[FaultResult, ...]:
    """All results of the fault analysis; empty where it was not run."""
    faults = case.behaviour.faults
    return faults.results if faults else ()


def name(result: FaultResult) -> str:
    """A fault set in one text."""
    return " and ".join(result.fault)


def story(result: FaultResult) -> str:
    """How it goes, in one line."""
    return "; ".join(result.story)


def hazards(result: FaultResult) -> str:
    """Its hazards in words."""
    seen = list(dict.fromkeys(f"{h.hazard} {h.motion}".strip() for h in result.hazards))
    more = f" and {len(seen) - _TOLD} more" if len(seen) > _TOLD else ""
    return ", ".join(seen[:_TOLD]) + more or "no hazard"


def floor_of(hazard: Hazard) -> int:
    """The rank that at least one stop must have against this hazard."""
    return FLOOR_HOIST if hazard.motion.startswith("hoist") else FLOOR_OTHER


def below(result: FaultResult) -> Iterator[Hazard]:
    """Hazards of a fault that no stop of the wanted rank ends."""
    for hazard in result.hazards:
        if hazard.score_after is not None and hazard.score_after < floor_of(hazard):
            yield hazard


def pendant_too(result: FaultResult) -> str:
    """` (the pendant had this too)` where it did."""
    return "; the pendant had this too" if result.judgement in ("same", "better") else ""
