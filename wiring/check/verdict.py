"""Verdict logic: boundary, order, counts, stages, the job's verdict, identity. No rule knowledge."""

from __future__ import annotations

import math
from collections.abc import Iterable

from wiring.files.quantity import convert, digits_of, rounded
from wiring.files.units import DISPLAY
from wiring.model.entry import Catalog
from wiring.model.finding import STAGES, Finding, Verdict
from wiring.model.job import Job
from wiring.model.plan import Counts, Report

_ORDER = {Verdict.FAIL: 0, Verdict.UNKNOWN: 1, Verdict.PASS: 2, Verdict.NOT_APPLICABLE: 3, Verdict.TO_SHOW: 4}

#: A defect of the hoist as found stops the job although it is not about the conversion.
_COUNTS_ALWAYS = frozenset({"identity.as-found"})


def printed(value: float, unit: str, toward: str = "near") -> float:
    """`value` [SI] at the decimals its unit is printed with, rounded "near", "up" or "down"."""
    word = DISPLAY.get(unit, unit)
    return rounded(convert(value, word), digits_of(word), toward)


def holds(measured: float, limit: float, sense: str, unit: str) -> bool:
    """True where the printed pair holds, the measured value rounded against the safe side.

    >>> holds(5.0, 5.0, "at-most", "A"), holds(5.001, 5.0, "at-most", "A")
    (True, False)
    """
    if math.isnan(measured) or math.isnan(limit):
        return False
    if math.isclose(measured, limit, rel_tol=1e-12):
        return True  # one number, whatever its digits
    if sense == "at-most":
        return printed(measured, unit, "up") <= printed(limit, unit)
    return printed(measured, unit, "down") >= printed(limit, unit)


def margin_of(measured: float | None, limit: float | None, sense: str | None) -> float | None:
    """Room left as a share of the limit; None without a finite, non-zero limit."""
    if (
        measured is None
        or limit is None
        or limit == 0
        or not math.isfinite(measured)
        or not math.isfinite(limit)
    ):
        return None
    room = limit - measured if sense == "at-most" else measured - limit
    return room / limit


def due_now(due: str, stage: str) -> bool:
    """True where a rule due at `due` is judged at `stage`."""
    return STAGES.index(due) <= STAGES.index(stage)


def sort_key(finding: Finding) -> tuple[int, int, int, float, str, str, str]:
    """Verdict, danger, margin with null first and smallest next, rule id, subject."""
    margin = finding.margin
    return (
        _ORDER[finding.verdict],
        finding.danger,
        0 if margin is None else 1,
        margin or 0.0,
        finding.rule,
        finding.subject,
        finding.about,
    )


def counts_for_job(finding: Finding) -> bool:
    """True where the finding decides the verdict of the conversion."""
    return finding.about == "after" or finding.rule in _COUNTS_ALWAYS


def count(findings: Iterable[Finding]) -> Counts:
    """How many of each verdict."""
    tally = dict.fromkeys(Verdict, 0)
    for finding in findings:
        tally[finding.verdict] += 1
    return Counts(
        tally[Verdict.PASS], tally[Verdict.FAIL], tally[Verdict.UNKNOWN], tally[Verdict.NOT_APPLICABLE]
    )


def job_verdict(findings: Iterable[Finding]) -> Verdict:
    """Fail if any fails, else unknown if any is unknown, else pass; the conversion's findings only."""
    seen = {f.verdict for f in findings if counts_for_job(f)}
    if Verdict.FAIL in seen:
        return Verdict.FAIL
    return Verdict.UNKNOWN if Verdict.UNKNOWN in seen else Verdict.PASS


def identity(job: Job, catalog: Catalog, report: Report) -> tuple[str, str]:
    """("shown" | "not shown", the sentence that opens every proof output).

    Shown only by a pass of identity.type and of identity.core for every core: readings,
    a trace or the maker's diagram.
    """
    if job.hoist.type is None:
        return "not shown", "The hoist's type is not known. Nothing here holds for it."
    entry = catalog.hoists.get(job.hoist.type)
    title = lower(entry.title) if entry else job.hoist.type
    type_ = [f for f in report.findings if f.rule == "identity.type"]
    cores = [f for f in report.findings if f.rule == "identity.core"]
    good = (Verdict.PASS, Verdict.NOT_APPLICABLE)
    if type_ and type_[0].verdict is Verdict.PASS and all(f.verdict in good for f in cores):
        return "shown", f"The hoist is a {title}: {type_[0].found}."
    return "not shown", f"Holds only if the hoist is a {title}. This has not been shown."


def lower(title: str) -> str:
    """A title inside a sentence: `Three-phase hoist` as `three-phase hoist`, `DC winch` as it is."""
    return title[0].lower() + title[1:] if title[1:2].islower() else title
