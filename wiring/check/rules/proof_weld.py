"""proof.weld: each contactor welded, a stop still ends the motion."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed
from wiring.check.faulty import below, pendant_too, results, story
from wiring.check.rule import iec, rule, us
from wiring.model.behaviour import FaultResult
from wiring.model.circuit import Circuit


@rule(
    "proof.weld",
    "A welded contactor leaves a stop",
    danger=1,
    hazard="Stop, emergency stop and limit that all open one coil circuit do nothing against a welded "
    "contact.",
    sources=(
        us("29 CFR 1910.179(a)(59): an emergency stop cuts power independently of the operating controls"),
        iec("ISO 13849-1 (recalled); IEC 60204-1 9.2.2", "memory"),
    ),
    checks="Each contactor of the converted circuit stuck in, whole and pole by pole: a stop of rank 2 that "
    "breaks the "
    "motor line ends the hoisting motion.",
    needs="The fault analysis; [[stop]] rows with device and reach.",
    does_not_cover="Two contactors welded at once (proof.doubles).",
    wants="faults",
)
def check(case: Case) -> Iterable[Draft]:
    found: dict[str, list[FaultResult]] = {}
    coils = power_coils(case.after)
    for result in results(case):
        words = result.fault[0].split(" ") if result.fault else []
        if len(result.fault) == 1 and len(words) == 2 and words[1] in ("stuck-in", "stuck-closed"):
            owner = coils.get(words[0])
            if owner:
                found.setdefault(owner, []).append(result)
    return case.each(found.items(), judge)


def judge(subject: str, found: list[FaultResult]) -> Draft:
    """One contactor over all its welds."""
    wanted = "a stop of rank 2 that breaks the motor line"
    poor = [(r, h) for r in found for h in below(r)]
    if poor:
        result, hazard = poor[0]
        left = ", ".join(hazard.stops_left) or "nothing"
        return failed(subject, f"{result.fault[0]}: {hazard.hazard} {hazard.motion}, {left} ends it"
                      f"{pendant_too(result)}", wanted, "add a main contactor in the stop path",
                      "put a wired emergency stop into the motor line", path=story(result),
                      key="device")  # fmt: skip
    stops = sorted({s for r in found for h in r.hazards for s in h.stops_left})
    note = f"ended by {', '.join(stops)}" if stops else "no hazard"
    return passed(subject, f"welded whole or by pole: {note}", wanted)


def power_coils(circuit: Circuit) -> dict[str, str]:
    """Coil and power pole names to the contactor they belong to."""
    found: dict[str, str] = {}
    for part in circuit.parts:
        if part.kind == "contact" and part.role == "power" and part.by.startswith("coil:"):
            coil = part.by.removeprefix("coil:")
            found[part.name] = found[coil] = coil
    return found
