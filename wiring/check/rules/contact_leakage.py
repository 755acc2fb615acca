"""contact.leakage: what an open output lets through does not hold a load."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Comparison, Draft, compared, passed
from wiring.check.loads import alternating
from wiring.check.rule import both, rule
from wiring.check.states import settled_at
from wiring.files.quantity import show
from wiring.model.circuit import Part


@rule(
    "contact.leakage",
    "Leakage of open outputs holds nothing",
    danger=1,
    hazard="A few milliamperes through an open solid-state output hold a small relay in: released is not "
    "off.",
    sources=(both("IEC 60947-4-1 must-drop limits; drive manuals on input thresholds", "read"),),
    checks="Voltage on every coil and drive input at rest, with leakage of solid-state outputs and "
    "suppressors in the "
    "circuit, against its must-drop limit or off threshold.",
    needs="Leakage of the outputs; burden of the coils; thresholds of the inputs.",
    does_not_cover="Capacitance of long cables (conductor.capacitance).",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    leaky = [p for p in case.after.parts if p.kind in ("semiconductor", "suppressor")]
    if not leaky:
        return ()
    held = settled_at(case, "after", ()).energised  # a main contactor is in at rest, and means to be
    loads = [p for p in case.after.parts if p.kind in ("coil", "drive-input") and p.name not in held]
    return case.each([(p.name, p) for p in loads], lambda s, p: judge(case, s, p))


def judge(case: Case, subject: str, part: Part) -> Draft:
    """One coil or input at rest."""
    volts = abs(settled_at(case, "after", ()).volts.get(part.name, 0j))
    for other in case.after.parts:
        if other.kind == "semiconductor":
            case.of_or_none(other, "leakage")
    if part.kind == "drive-input":
        limit = case.of(part, "off", "read the off threshold in the drive's manual")
        what = "off threshold"
    else:
        rated = case.of(part, "voltage")
        limit = rated * case.cell("coil-limits", "must-drop", "ac" if alternating(case.after, part) else "dc")
        what = "must-drop limit"
    if volts == 0.0:
        return passed(subject, "no voltage at rest", f"below its {what} of {show(limit, 'V')}")
    return compared(subject, Comparison(volts, limit, "at-most", "V"), f"{show(volts, 'V', toward='up')} at "
        "rest",
                    f"below its {what} of {show(limit, 'V')}", "put a bleeder across the load",
                    "let the output drive a relay", key="receiver.type")  # fmt: skip
