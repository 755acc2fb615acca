"""Whether readings may be taken: what the lockout rule says about the job, in words."""

from __future__ import annotations

from textual.content import Content

from tui.sight import Sight
from tui.theme import INK
from wiring.model.finding import Finding, Verdict
from wiring.sheets.words import clean, sign

RULE = "people.lockout"


def gate_findings(sight: Sight) -> list[Finding]:
    """What the lockout rule answered; empty where there is no plan."""
    return [f for f in sight.plan.report.findings if f.rule == RULE] if sight.plan else []


def is_open(sight: Sight) -> bool:
    """True where the lockout rule has no objection, so that a dead reading may be taken."""
    found = gate_findings(sight)
    return bool(found) and all(f.verdict is Verdict.PASS for f in found)


def gate_words(sight: Sight) -> Content:
    """The state of the gate in two lines."""
    if is_open(sight):
        return Content.assemble(
            ("pass · The gate is recorded. ", INK[Verdict.PASS]),
            "Do all of it again after any pause, and before every reading on another day.",
        )
    parts: list[tuple[str, str] | str] = []
    for f in gate_findings(sight):
        if f.verdict is not Verdict.PASS:
            parts += [(f"{sign(f.verdict)} ", INK[f.verdict]), f"{clean(f.found)}. do: {clean(f.remedy)}\n"]
    head = ("No reading, no screw, no cover before every line here is done.\n", "bold")
    return Content.assemble(head, *parts)
