"""`holdrun rating`: may this contact switch this load? Without a job."""

from __future__ import annotations

import argparse

from wiring import RatingError, rating, rating_json, rating_text
from wiring.cli import exits
from wiring.cli.entry import UsageError
from wiring.cli.output import ascii_only, emit, emit_json


def run(args: argparse.Namespace) -> int:
    """Judge one contact with one load; exit code of the verdict."""
    if args.starts_per_hour is not None and args.starts_per_hour <= 0:
        raise UsageError("--starts-per-hour: a number above nothing")
    try:
        found = rating(args.contact, args.load, args.region, args.starts_per_hour)
    except RatingError as error:
        raise UsageError(str(error)) from error
    emit_json(rating_json(found)) if args.json else emit(rating_text(found, ascii_only()))
    return exits.OF_VERDICT[str(found.verdict)]
