"""The diagnosis as text and JSON: what is wrong, what would explain it, what to look at next."""

from __future__ import annotations

from typing import Any

from wiring.model.commissioning import Diagnosis
from wiring.model.plan import Plan
from wiring.sheets.words import CAUTION, opening, wrap

SCHEMA = "holdrun/diagnosis/1"
SHOWN, NAMES = 5, 6
END = (
    "Only single faults of the circuit in this file were tried. Isolate and prove dead before a cover comes "
    "off; live readings are for a qualified person."
)


def diagnosis_text(plan: Plan, found: Diagnosis) -> str:
    """Best explanations first, then the next measurement."""
    lines = [*opening(plan), ""]
    if not found.observed:
        lines.append("Nothing to go by: no record of this plan says what moved or how many volts there were.")
    elif not found.alarms:
        lines.append(
            f"Nothing to explain: {found.observed} observations, all as the sound circuit shows them."
        )
    else:
        lines.append(wrap(f"Not as planned: {', '.join(found.alarms)}"))
        lines += ["", "Single faults that would show this, best first"]
        for number, one in enumerate(found.explanations[:SHOWN], 1):
            fit = "fits all" if not one.misses else f"misses {one.misses}"
            lines.append(wrap(f"{number}  {one.kind}; {fit}", 2, 5))
            for n, fault in enumerate(one.faults[:NAMES]):
                lines.append(wrap(("or " if n else "") + fault.replace("; ", " and "), 5, 9))
            if len(one.faults) > NAMES:
                lines.append(f"     or {len(one.faults) - NAMES} more that show the same")
            lines += [wrap(f"but {text}", 5, 9) for text in one.differs[:2]]
        if not found.explanations:
            lines.append("  none: look for two faults at once, or for a wire that is not in the file")
    if found.next:
        lines += ["", wrap(f"Next: {found.next}", 0, 6)]
    return "\n".join([*lines, "", wrap(END), "", wrap(CAUTION)]) + "\n"


def diagnosis_json(plan: Plan, found: Diagnosis) -> dict[str, Any]:
    """The same as one document."""
    return {
        "schema": SCHEMA,
        "file": plan.job.file,
        "digest": plan.digest,
        "observed": found.observed,
        "alarms": list(found.alarms),
        "explanations": [
            {"faults": list(e.faults), "class": e.kind, "misses": e.misses, "differs": list(e.differs)}
            for e in found.explanations
        ],
        "next": found.next,
    }
