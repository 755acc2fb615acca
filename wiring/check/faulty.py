"""Results of the fault analysis as rules ask for them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from wiring.check.case import Case
from wiring.check.nets import Net, resting
from wiring.model.behaviour import FaultResult, Hazard
from wiring.simulate.faults_sights import NO_STOP, STOP_DEFEATED, UNCOMMANDED, UNFUSED

#: The rank a stop needs to have: hoisting motions and all others. Definition of the proof's floor.
FLOOR_HOIST, FLOOR_OTHER = 2, 1

#: Findings per rule above which the rest is only counted.
MOST = 12
#: Hazards of one fault that are told one by one.
_TOLD = 3


def results(case: Case) -> tuple[FaultResult, ...]:
    """All results of the fault analysis; empty where it was not run."""
    faults = case.faults
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
    """Hazards of a fault that no stop of the wanted rank ends. The one stop of a winch or a trolley
    that fails is not one of them while letting go of the key still ends the motion."""
    held = {h.motion for h in result.hazards if h.hazard in (NO_STOP, UNCOMMANDED)}
    for hazard in result.hazards:
        key_ends_it = hazard.motion not in held and floor_of(hazard) == FLOOR_OTHER
        if hazard.hazard == STOP_DEFEATED and key_ends_it:
            continue
        if hazard.score_after is not None and hazard.score_after < floor_of(hazard):
            yield hazard


def replaced(case: Case, result: FaultResult) -> str:
    """The wire of the hoist, without a fuse before it too, that the faulted conductors took the place of.

    An earth fault on a battery lead is a short that nothing ends, on the new lead as on the old one.
    Empty where the fault does more than that, or the old wire was fused.
    """
    if not result.hazards or any(h.hazard != UNFUSED for h in result.hazards):
        return ""
    words = [w for f in result.fault for w in f.split(" ")[1:] if f.startswith(("earth ", "short "))]
    known = {p.name: p for p in case.after.parts}
    old = [_in_place_of(case, known[w].pins) for w in words if w in known]
    return ", ".join(dict.fromkeys(old)) if old and len(old) == len(words) and all(old) else ""


def _in_place_of(case: Case, pins: Sequence[str]) -> str:
    """A removed wire of the hoist that sat on one of these points with nothing but wire before it."""
    fuses = {p.name for p in case.before.parts if p.kind == "fuse"}
    net = Net(case.before, resting(case.before), fuses)
    wires = {p.name for p in case.before.parts if p.kind == "wire" and p.owner == "hoist"}
    for gone in case.after.removed:
        if gone.name in wires and set(gone.ends) & set(pins) and net.node(gone.ends[0]) in net.live:
            return gone.name
    return ""


def pendant_too(result: FaultResult) -> str:
    """What the pendant did under the same fault, or under faults of the class for a new part."""
    if result.judgement not in ("same", "better"):
        return ""
    if result.compared_with.startswith("class"):
        return "; no worse than faults of its class with the pendant"
    return "; the pendant had this too"
