"""`holdrun schema KIND`: the JSON Schema of a file format, for editors."""

from __future__ import annotations

import argparse

from wiring import schema
from wiring.cli import exits
from wiring.cli.output import emit_json


def run(args: argparse.Namespace) -> int:
    """Print the schema."""
    emit_json(schema(args.kind))
    return exits.OK
