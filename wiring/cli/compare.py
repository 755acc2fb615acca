"""`holdrun compare OLD NEW`: what changed between two jobs, and which approvals and records that voids."""

from __future__ import annotations

import argparse

from wiring import compare, compare_json, compare_text
from wiring.cli import exits
from wiring.cli.output import emit, emit_json, planned


def run(args: argparse.Namespace) -> int:
    """Print the comparison. Exit 0, or the verdict of the new job with --strict."""
    found = compare(planned(args.old, faults="single"), planned(args.new, faults="single"))
    emit_json(compare_json(found)) if args.json else emit(compare_text(found))
    return exits.OF_VERDICT[str(found.new.report.verdict)] if args.strict else exits.OK
