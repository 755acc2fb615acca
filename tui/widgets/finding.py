"""One finding in full, as lines that wrap at any width."""

from __future__ import annotations

from textual.content import Content

from tui.theme import INK
from wiring.model.finding import Finding
from wiring.sheets.words import clean, sign


def detail(finding: Finding) -> Content:
    """Found, wanted, numbers, next steps, source, what it rests on."""
    about = "  about the hoist as found" if finding.about == "before" else ""
    parts: list[tuple[str, str] | str] = [
        (sign(finding.verdict), f"bold {INK[finding.verdict]}"),
        (f"  {finding.rule}  {clean(finding.subject)}{about}\n", "bold"),
        f"found: {clean(finding.found)}\n",
    ]
    if finding.wanted:
        parts.append(f"wanted: {clean(finding.wanted)}\n")
    for number, remedy in enumerate(finding.remedies):
        parts.append((f"{'do' if number == 0 else 'or'}: {clean(remedy)}\n", "$text-accent"))
    parts.append(numbers(finding))
    if finding.path:
        parts.append(f"how: {clean(finding.path)}\n")
    for value in finding.values:
        parts.append((f"uses: {clean(value)}\n", "$secondary"))
    if finding.rests_on:
        parts.append(f"rests on: {clean(', '.join(finding.rests_on))}\n")
    source = f"source: {clean(finding.source)} (basis: {finding.basis}) · " if finding.source else ""
    where = f" · {clean(finding.where)}" if finding.where else ""
    parts.append((f"{source}danger {finding.danger} · due at {finding.due}{where}", "$secondary"))
    return Content.assemble(*parts)


def numbers(finding: Finding) -> str:
    """Measured beside its limit with the margin, "" without numbers."""
    unit = f" {finding.unit}" if finding.unit else ""
    parts = []
    if finding.measured is not None:
        parts.append(f"measured {finding.measured:g}{unit}")
    if finding.limit is not None:
        parts.append(f"{finding.sense or ''} {finding.limit:g}{unit}".strip())
    if finding.margin is not None:
        parts.append(f"margin {finding.margin:.0%}")
    return f"{', '.join(parts)}\n" if parts else ""
