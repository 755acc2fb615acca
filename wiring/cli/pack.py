"""`holdrun pack FILE -o OUT.pdf`: the job pack; --sheets DIR loose files; --html one page."""

from __future__ import annotations

import argparse

from wiring import pack, pack_page, write_sheets
from wiring.cli import exits
from wiring.cli.entry import UsageError
from wiring.cli.output import planned, talk, write_file
from wiring.sheets.words import CAUTION, wrap


def run(args: argparse.Namespace) -> int:
    """Write what was asked for; exit 0 when written, or the verdict with --strict."""
    if not (args.out or args.sheets or args.html):
        raise UsageError("nothing to write: give -o OUT.pdf, --sheets DIR or --html OUT.html")
    if args.out and not args.out.lower().endswith(".pdf"):
        raise UsageError(f"-o {args.out}: the pack is a .pdf; for a page use --html, for files --sheets")
    plan = planned(args.file, args.stage, "single", progress=True)
    if args.out:
        write_file(args.out, pack(plan, args.paper or ""))
        talk(f"wrote {args.out}")
    if args.html:
        write_file(args.html, pack_page(plan))
        talk(f"wrote {args.html}")
    if args.sheets:
        try:
            names = write_sheets(plan, args.sheets)
        except OSError as error:
            raise UsageError(f"cannot write into {args.sheets}: {error.strerror or error}") from error
        talk(f"wrote {len(names)} files into {args.sheets}")
    talk(wrap(CAUTION))
    return exits.OF_VERDICT[str(plan.report.verdict)] if args.strict else exits.OK
