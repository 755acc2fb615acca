"""Requirement list: every clause of the region, and by what it is answered on this job."""

from __future__ import annotations

from wiring.model.entry import Clause
from wiring.model.finding import Finding
from wiring.sheets.sheet import Material, Sheet, Table, Text, head_of

ORDER = ("fail", "unknown", "to-show", "pass", "not-applicable")
COMMISSIONING = "commissioning:"


def requirements(material: Material) -> Sheet:
    """Clauses in the order of the catalog, each with its answer."""
    plan = material.plan
    clauses = [c for c in plan.catalog.clauses.values() if c.region in (plan.job.region, "both")]
    rows = tuple(row_of(material, clause) for clause in clauses)
    recalled = sum(c.basis == "memory" for c in clauses)
    return Sheet(
        id="requirements",
        title="Requirements and their answers",
        head=head_of(plan),
        landscape=True,
        blocks=(
            Text(
                f"{len(clauses)} clauses in our own words, {recalled} of them recalled without the "
                f"text at hand. "
                "The texts themselves decide, and local rules may ask for more."
            ),
            Table(("Id", "Clause", "Asks", "Answered here by", "Basis"), rows),
        ),
    )


def row_of(material: Material, clause: Clause) -> tuple[str, ...]:
    answers = [answer(material, clause, name) for name in clause.answered_by]
    where = f"{clause.standard} {clause.edition} {clause.clause}".replace("  ", " ").strip()
    return (
        clause.id,
        where,
        clause.text,
        "; ".join(answers) or "open: ask the electrician",
        "recalled" if clause.basis == "memory" else str(clause.basis),
    )


def answer(material: Material, clause: Clause, name: str) -> str:
    """What one source of an answer says on this job."""
    if name == "question":
        return asked(material, clause)
    if name.startswith(COMMISSIONING):
        return tested(material, name.removeprefix(COMMISSIONING))
    rules = "proof." if name == "proof" else name
    report = material.plan.report
    found = [
        f for f in (*report.findings, *report.to_show) if f.rule == rules or f.rule.startswith(rules + ".")
    ]
    if name == "proof":
        found = [f for f in report.findings if f.rule.startswith("proof.")]
    return f"{name} {worst(found)}"


def worst(findings: list[Finding]) -> str:
    """The worst verdict of several findings about the converted hoist."""
    words = {str(f.verdict) for f in findings if f.about != "before"}
    return next((word for word in ORDER if word in words), "not run")


def asked(material: Material, clause: Clause) -> str:
    found = [a.text for a in material.plan.job.answers if a.requirement == clause.id]
    return f"answered: {found[-1]}" if found else "question: not answered"


def tested(material: Material, kind: str) -> str:
    """Records of the commissioning tests of one kind, counted by what they say."""
    outcomes = [o for o in material.outcomes if o.step.answers == kind]
    if not outcomes:
        return (
            f"test {kind}: none applies to this circuit" if material.plan.after else f"test {kind}: to show"
        )
    counts = {
        word: sum(o.answer == word for o in outcomes) for word in ("accept", "reject", "repeat", "missing")
    }
    return f"test {kind}: " + ", ".join(f"{n} {word}" for word, n in counts.items() if n)
