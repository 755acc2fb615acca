"""`holdrun open [FILE]`: the terminal screens."""

from __future__ import annotations

import argparse
import importlib

from wiring.cli import exits


def run(args: argparse.Namespace) -> int:
    """Start the screens. They are a sibling of the command line and are loaded by name only here."""
    start = importlib.import_module("tui").start
    start(args.file)
    return exits.OK
