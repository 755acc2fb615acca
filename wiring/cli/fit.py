"""`holdrun fit FILE`: which receivers fit this hoist, what each needs; and what to buy."""

from __future__ import annotations

import argparse
from typing import Any

from wiring import fit, specification
from wiring.cli import exits
from wiring.cli.output import emit, emit_json, read
from wiring.model.job import Job
from wiring.model.proposal import Fit, Want
from wiring.sheets.words import CAUTION, EXAMPLE, wrap

OF_THE_CLASS = "Every rating above is that of the class; the data sheet of the unit replaces it."


def run(args: argparse.Namespace) -> int:
    """Print the table of receivers; before one is chosen, the specification to buy by as well."""
    job = read(args.file)
    found = fit(job) if job.hoist.type is not None else ()
    wants = specification(job)
    if args.json:
        emit_json(
            {
                "schema": "holdrun/fit/1",
                "job": job.title,
                "file": job.file,
                "example": job.example,
                "receivers": [facts(f) for f in found],
                "specification": [{"what": w.what, "wanted": w.wanted, "why": w.why} for w in wants],
            }
        )
    else:
        emit(text(job, found, wants, args.all))
    return exits.OK if any(f.verdict != "do not use" for f in found) else exits.UNKNOWN


def facts(one: Fit) -> dict[str, Any]:
    """One receiver as JSON."""
    plan = one.proposal.plan if one.proposal else None
    return {
        "receiver": one.receiver,
        "title": one.title,
        "verdict": one.verdict,
        "score": one.proposal.score if one.proposal else None,
        "fails": plan.report.counts.failed if plan else None,
        "unknown": plan.report.counts.unknown if plan else None,
        "needs": list(one.needs),
        "open": list(one.open),
        "why": one.why,
    }


def text(job: Job, found: tuple[Fit, ...], wants: tuple[Want, ...], full: bool) -> str:
    """The table, then the specification."""
    lines = [EXAMPLE] if job.example else []
    if not found:
        lines.append("The hoist type is not known: holdrun identify FILE finds it by readings.")
    shared = [line for line in found[0].open if all(line in one.open for one in found)] if found[1:] else []
    lines += [wrap(f"open for each: {line}", 0, 15) for line in (shared if full else shared[:1])]
    lines += [""] if shared else []
    for one in found:
        lines.append(wrap(f"{one.verdict:<13}{one.receiver}: {one.title}", 0, 13))
        lines.append(wrap(f"why: {one.why}", 2, 7))
        lines += [wrap(f"needs: {line}", 2, 9) for line in one.needs]
        if one.proposal is not None and one.proposal.plan is not None:
            counts = one.proposal.plan.report.counts
            lines.append(f"  planned: {counts.failed} fail, {counts.unknown} unknown, {counts.passed} pass")
        own = [line for line in one.open if line not in shared]
        lines += [wrap(f"open: {line}", 2, 8) for line in (own if full else own[:1])]
    if wants and (job.receiver.type is None or full):
        lines += ["", "To buy by"]
        for want in wants:
            lines.append(wrap(f"{want.what}: {want.wanted}", 2, 6))
            lines.append(wrap(want.why, 6))
    if found:
        lines += ["", wrap(OF_THE_CLASS)]
    return "\n".join([*lines, "", wrap(CAUTION)]) + "\n"
