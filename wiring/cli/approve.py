"""`holdrun approve FILE`: shows what is being approved, then writes the entry with the digest."""

from __future__ import annotations

import argparse
import datetime
import sys

from wiring import approve, review_text
from wiring.cli import exits
from wiring.cli.entry import UsageError
from wiring.cli.output import ask, emit, emit_json, planned, talk


def run(args: argparse.Namespace) -> int:
    """The review page first; then name, licence and date; --write, or yes at the terminal, writes."""
    plan = planned(args.file, faults="single", progress=True)  # what is signed is what check judges
    if not args.json:
        emit(review_text(plan))
    by = ask(args, "by", "Reviewed by (name)")
    licence = ask(args, "licence", "Licence number")
    try:
        date = datetime.date.fromisoformat(args.date) if args.date else datetime.date.today()
    except ValueError:
        raise UsageError(f"--date: found {args.date}; allowed: a date such as 2026-12-01") from None
    if not by.strip() or not licence.strip():
        raise UsageError("an approval has a name and a licence number")
    document = {
        "schema": "holdrun/approve/1", "file": args.file, "digest": plan.digest, "by": by, "licence": licence,
        "date": date.isoformat(), "verdict": str(plan.report.verdict),
    }  # fmt: skip
    wanted = args.write or (
        sys.stdin.isatty() and ask(args, "sure", "Write it into the file", ("yes", "no")) == "yes"
    )
    if wanted:
        approve(args.file, plan, by, licence, date)
        talk(f"wrote {args.file}: digest {plan.digest} approved by {by}")
    else:
        talk("not written: add --write")
    if args.json:
        emit_json(document | {"written": bool(wanted)})
    return exits.OK
