"""`holdrun open [FILE]`: the terminal screens."""

from __future__ import annotations

import argparse
import importlib
import sys

from wiring.cli import exits
from wiring.cli.entry import UsageError, stranger


def run(args: argparse.Namespace) -> int:
    """Start the screens. They are a sibling of the command line and are loaded by name only here."""
    screens = importlib.import_module("tui")
    if stranger("tui", screens):
        return exits.BAD_INPUT
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        raise UsageError("needs a terminal; without one use: holdrun check, prove, draw, pack")
    screens.start(args.file)
    return exits.OK
