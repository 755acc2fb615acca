"""`holdrun open [FILE]`: the terminal screens."""

from __future__ import annotations

import argparse
import importlib

from wiring.cli import exits
from wiring.cli.entry import stranger


def run(args: argparse.Namespace) -> int:
    """Start the screens. They are a sibling of the command line and are loaded by name only here."""
    screens = importlib.import_module("tui")
    if stranger("tui", screens):
        return exits.BAD_INPUT
    screens.start(args.file)
    return exits.OK
