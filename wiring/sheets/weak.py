"""Values that nobody has confirmed: what the verdicts of a plan rest on, and recalled figures it uses."""

from __future__ import annotations

import re
from dataclasses import dataclass

from wiring.model.plan import Plan
from wiring.model.value import Value
from wiring.sheets.figures import figure, value_text

USED = re.compile(r"^(?P<id>\S+) = (?P<number>.+?) \((?P<basis>\w+): (?P<source>.*)\)$")

BASES = ("read", "derived", "practice", "stated", "memory", "placeholder")


@dataclass(frozen=True, slots=True)
class Used:
    """A value a finding used: address, figure, basis, source, and the rules that used it."""

    id: str
    figure: str
    basis: str
    source: str
    rules: tuple[str, ...]


def used(plan: Plan, bases: tuple[str, ...]) -> tuple[Used, ...]:
    """Values of these bases that findings used, those that decide a verdict first."""
    found: dict[str, Used] = {}
    deciding = {id for f in plan.report.findings for id in f.rests_on}
    for finding in plan.report.findings:
        for text in finding.values:
            match = USED.match(text)
            if match is None or match["basis"] not in bases:
                continue
            old = found.get(match["id"])
            rules = tuple(dict.fromkeys((*(old.rules if old else ()), finding.rule)))
            shown = value_text(match["number"])
            found[match["id"]] = Used(match["id"], shown, match["basis"], match["source"], rules)
    return tuple(sorted(found.values(), key=lambda u: (u.id not in deciding, u.id)))


def deciding(plan: Plan) -> tuple[tuple[str, str, str], ...]:
    """Values a verdict rests on: address, our figure, rules it decides."""
    rules: dict[str, list[str]] = {}
    for finding in plan.report.findings:
        for id in finding.rests_on:
            rules.setdefault(id, []).append(finding.rule)
    shown = {u.id: f"{u.figure} ({u.basis})" for u in used(plan, BASES)} | parts_of(plan)
    rows = []
    for id, names in rules.items():
        value = plan.catalog.value(id)
        figure = told(value) if value else shown.get(id, "see the finding")
        rows.append((id, figure, ", ".join(dict.fromkeys(names))))
    return tuple(rows)


def parts_of(plan: Plan) -> dict[str, str]:
    """Values of the circuit's parts by id."""
    parts = [p for circuit in (plan.before, plan.after) if circuit for p in circuit.parts]
    return {value.id: told(value) for part in parts for value in part.values.values()}


def told(value: Value) -> str:
    """A value with its basis."""
    return f"{figure(value.si, value.unit)} ({value.basis})"
