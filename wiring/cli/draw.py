"""`holdrun draw FILE -o OUT`: the proved circuit as svg, png, pdf or text."""

from __future__ import annotations

import argparse
from pathlib import Path

from wiring import Plan, written
from wiring.cli import exits
from wiring.cli.entry import UsageError
from wiring.cli.output import planned, talk, write_file
from wiring.pipeline import draw

SUFFIXES = (".svg", ".png", ".pdf", ".txt")


def run(args: argparse.Namespace) -> int:
    """Draw one sheet. Exit 0 when written, or the verdict with --strict."""
    if Path(args.out).suffix.lower() not in SUFFIXES:
        raise UsageError(f"-o {args.out}: found '{Path(args.out).suffix}'; allowed: {' '.join(SUFFIXES)}")
    plan = planned(args.file, faults="single")  # the verdict box says what check says
    if plan.before is None:
        raise UsageError("nothing to draw: the hoist type is unknown; find it with: holdrun catalog hoist")
    write_file(args.out, rendered(plan, args))
    talk(f"wrote {args.out}")
    return exits.OF_VERDICT[str(plan.report.verdict)] if args.strict else exits.OK


def rendered(plan: Plan, args: argparse.Namespace) -> bytes | str:
    """The bytes of the sheet in the format of the file name."""
    symbols = args.symbols or plan.job.region
    try:
        drawing = draw(plan, args.sheet, symbols, args.show, state=args.state, paper=args.paper or "")
    except ValueError as error:  # a word of --state that names nothing
        raise UsageError(f"--state: {error}") from error
    try:
        return written(drawing, Path(args.out).suffix.lower(), dpi=args.dpi)
    except ValueError as error:  # a picture too big to make
        raise UsageError(f"--dpi: {error}") from error
