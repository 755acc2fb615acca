"""`holdrun map FILE`: connections proposed, each with its reason, proved before they are offered."""

from __future__ import annotations

import argparse
from typing import Any

from wiring import Plan, propose, refusals
from wiring.cli import exits
from wiring.cli.output import emit, emit_json, read, talk
from wiring.model.job import Job
from wiring.model.proposal import Proposal
from wiring.sheets.words import CAUTION, EXAMPLE, verdict_line, wrap


def run(args: argparse.Namespace) -> int:
    """Print the proposals, best first; --write puts the first one into the file."""
    job = read(args.file)
    found = propose(job)
    why = () if found else refusals(job)
    if args.json:
        emit_json(
            {
                "schema": "holdrun/map/1",
                "job": job.title,
                "file": job.file,
                "example": job.example,
                "proposals": [facts(p) for p in found],
                "refused": list(why),
            }
        )
    else:
        emit(text(job, found, why))
    if not found:
        return exits.UNKNOWN
    if args.write:
        from wiring import write_proposal

        write_proposal(args.file, found[0], job.stamp)
        talk(f"wrote {args.file}")
    return exits.OK


def facts(proposal: Proposal) -> dict[str, Any]:
    """One proposal as JSON."""
    return {
        "score": proposal.score,
        "drive": proposal.drive,
        "verdict": str(proposal.plan.report.verdict) if isinstance(proposal.plan, Plan) else None,
        "fails": 0 if proposal.stands else failures(proposal),
        "connections": [
            {"from": c.from_, "to": c.to, "conductor": c.conductor, "number": c.number, "why": why}
            for c, why in zip(proposal.connections, proposal.reasons, strict=True)
        ],
        "devices": [{"id": d.id, "type": d.type} for d in proposal.devices],
        "remove": [r.name for r in proposal.removes],
        "keys": {o.id: o.key for o in proposal.receiver.outputs if o.key} if proposal.receiver else {},
        "open": list(proposal.open),
    }


def failures(proposal: Proposal) -> int:
    """How many findings about the conversion fail in a proposal."""
    return proposal.plan.report.counts.failed if proposal.plan else 0


def text(job: Job, found: tuple[Proposal, ...], why: tuple[str, ...]) -> str:
    """The first proposal line by line, the others in one line each."""
    lines = [EXAMPLE] if job.example else []
    if not found:
        lines.append("No way to connect it was found.")
        lines += [wrap(f"- {line}", 2, 4) for line in why]
        lines.append("See holdrun fit FILE for receivers and devices that would do.")
        return "\n".join([*lines, "", wrap(CAUTION)]) + "\n"
    best = found[0]
    lines.append(f"Proposed connections ({best.drive})")
    for connection, reason in zip(best.connections, best.reasons, strict=True):
        by = f" by {connection.conductor}" if connection.conductor else ""
        lines.append(wrap(f"{connection.from_} -> {connection.to}{by}: {reason}", 2, 6))
    if best.receiver:
        lines += [wrap(f"output {o.id} follows key {o.key}", 2) for o in best.receiver.outputs if o.key]
    lines += [wrap(f"add {d.id}: {d.type}", 2) for d in best.devices]
    lines += [wrap(f"take off {r.name}: {r.why or ''}", 2) for r in best.removes]
    lines += [wrap(f"open: {line}", 2, 8) for line in best.open]
    if best.plan is not None:
        lines.append(wrap(verdict_line(best.plan.report), 2))
    for n, other in enumerate(found[1:], 2):
        fails = f", {failures(other)} findings fail" if not other.stands else ""
        lines.append(
            f"alternative {n}: {other.drive}, {len(other.connections)} connections, "
            f"{len(other.devices)} devices{fails}"
        )
    return "\n".join([*lines, "", wrap(CAUTION)]) + "\n"
