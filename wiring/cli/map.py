"""`holdrun map FILE`: connections proposed, each with its reason, proved before they are offered."""

from __future__ import annotations

import argparse
from typing import Any

from wiring import Plan, propose
from wiring.cli import exits
from wiring.cli.output import emit, emit_json, read, talk
from wiring.model.proposal import Proposal
from wiring.sheets.words import CAUTION, verdict_line, wrap


def run(args: argparse.Namespace) -> int:
    """Print the proposals, best first; --write puts the first one into the file."""
    job = read(args.file)
    found = propose(job)
    if args.json:
        emit_json(
            {
                "schema": "holdrun/map/1",
                "job": job.title,
                "file": job.file,
                "proposals": [facts(p) for p in found],
            }
        )
    else:
        emit(text(found))
    if not found:
        return exits.UNKNOWN
    if args.write:
        from wiring import write_proposal

        write_proposal(args.file, found[0])
        talk(f"wrote {args.file}")
    return exits.OK


def facts(proposal: Proposal) -> dict[str, Any]:
    return {
        "score": proposal.score,
        "verdict": str(proposal.plan.report.verdict) if isinstance(proposal.plan, Plan) else None,
        "connections": [
            {"from": c.from_, "to": c.to, "why": why}
            for c, why in zip(proposal.connections, proposal.reasons, strict=True)
        ],
        "devices": [{"id": d.id, "type": d.type} for d in proposal.devices],
        "remove": [r.name for r in proposal.removes],
        "open": list(proposal.open),
    }


def text(found: tuple[Proposal, ...]) -> str:
    """The first proposal line by line, the others in one line each."""
    if not found:
        return "No mapping found: see holdrun fit FILE for receivers and devices that would do.\n"
    best = found[0]
    lines = ["Proposed connections"]
    for connection, why in zip(best.connections, best.reasons, strict=True):
        lines.append(wrap(f"{connection.from_} -> {connection.to}   {why}", 2, 6))
    lines += [wrap(f"add {d.id}: {d.type}", 2) for d in best.devices]
    lines += [wrap(f"take off {r.name}: {r.why or ''}", 2) for r in best.removes]
    lines += [wrap(f"open: {line}", 2, 8) for line in best.open]
    if best.plan is not None:
        lines.append(wrap(verdict_line(best.plan.report), 2))
    lines += [f"alternative {n}: {len(p.connections)} connections" for n, p in enumerate(found[1:], 2)]
    return "\n".join([*lines, "", wrap(CAUTION)]) + "\n"
