"""The one-off relay check as text and as its JSON document."""

from __future__ import annotations

from typing import Any

from wiring.model.finding import Finding, Verdict
from wiring.model.rating import OneOff, RatingAnswer
from wiring.sheets.words import CAUTION, clean, objections, sign, wrap

SCHEMA = "holdrun/rating/1"
_INDENT = 10


def rating_text(found: OneOff, ascii_only: bool = False) -> str:
    """Every category in the order of switching, objections with what to do, then what was not checked."""
    taken = f" (taken as {', '.join(found.taken_as)})" if found.taken_as else ""
    lines = [
        wrap(f"contact   {found.contact}", 0, _INDENT),
        wrap(f"load      {found.load}{taken}", 0, _INDENT),
        f"rules     {found.region}",
        "",
        wrap(summary(found)),
        "",
    ]
    for answer in found.answers:
        lines += answer_lines(answer, ascii_only)
    lines += [wrap("Not checked: " + "; ".join(found.not_checked) + ".", 0, 2), "", wrap(CAUTION)]
    return "\n".join(lines) + "\n"


def summary(found: OneOff) -> str:
    """The verdict in words: objections, or what had none and what is missing."""
    counts = {v: sum(a.verdict is v for a in found.answers) for v in Verdict}
    judged = counts[Verdict.PASS] + counts[Verdict.FAIL] + counts[Verdict.UNKNOWN]
    if found.verdict is Verdict.PASS:
        return f"No objection in {judged} checks of this contact with this load."
    return (
        f"{objections(counts[Verdict.FAIL], counts[Verdict.UNKNOWN])} · "
        f"{counts[Verdict.PASS]} without objection"
    )


def answer_lines(answer: RatingAnswer, ascii_only: bool) -> list[str]:
    """One category: verdict, figures, how they come about, where they are from."""
    finding = answer.finding
    lines = [f"{sign(finding.verdict, ascii_only):<{_INDENT}}{answer.category}"]
    lines.append(wrap(finding.found, _INDENT))
    if finding.verdict is Verdict.NOT_APPLICABLE:
        return [*lines, ""]
    if not answer.missing:
        lines.append(wrap(f"wanted: {finding.wanted}", _INDENT, 18))
    if finding.margin is not None:
        lines.append(wrap(f"margin {finding.margin * 100:.0f} %", _INDENT))
    if finding.path:
        lines.append(wrap(f"how: {finding.path}", _INDENT, 15))
    lines += [wrap(f"uses: {row}", _INDENT, 16) for row in by_row(finding)]
    if finding.rests_on:
        lines.append(wrap("rests on: " + ", ".join(finding.rests_on), _INDENT, 20))
    lines.append(wrap(f"source: {finding.source} (basis: {finding.basis})", _INDENT, 18))
    lines += [wrap(f"do: {remedy}", _INDENT, 14) for remedy in finding.remedies[:1]]
    return [*lines, ""]


def by_row(finding: Finding) -> list[str]:
    """The table cells a finding used, one line a row: `pilot-duty-ac/B300: thermal 5 A (read: ...)`."""
    rows: dict[tuple[str, str], list[str]] = {}
    for value in finding.values:
        id, _, rest = value.partition(" = ")
        row, slash, column = id.rpartition("/")
        number, bracket, source = rest.partition(" (")
        if slash and bracket:
            cells = rows.setdefault((row, source.removesuffix(")")), [])
            cells.append(f"{column} {number.removesuffix(' 1').strip()}")
    return [f"{row}: {', '.join(cells)} ({source})" for (row, source), cells in rows.items()]


def rating_json(found: OneOff) -> dict[str, Any]:
    """The document of `rating --json`; numbers in SI words."""
    return {
        "schema": SCHEMA,
        "contact": clean(found.contact),
        "load": clean(found.load),
        "region": found.region,
        "taken_as": list(found.taken_as),
        "verdict": str(found.verdict),
        "answers": [answer_json(a) for a in found.answers],
        "not_checked": list(found.not_checked),
    }


def answer_json(answer: RatingAnswer) -> dict[str, Any]:
    """One category with the keys that findings have in `check --json`."""
    finding = answer.finding
    return {
        "category": answer.category,
        "verdict": str(finding.verdict),
        "rule": finding.rule,
        "found": finding.found,
        "wanted": finding.wanted,
        "measured": finding.measured,
        "limit": finding.limit,
        "sense": finding.sense,
        "unit": finding.unit,
        "margin": finding.margin,
        "missing": list(answer.missing),
        "source": finding.source,
        "basis": finding.basis,
        "rests_on": list(finding.rests_on),
        "remedies": list(finding.remedies),
        "path": finding.path,
        "values": list(finding.values),
    }
