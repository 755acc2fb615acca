"""The command line: options in, one document or plain text out, an exit code.

It holds no engineering. Each command is one file with `run(args) -> int`; heavy
rooms are imported when a command needs them, so `--version` stays bare.
"""

from __future__ import annotations


def main(argv: list[str] | None = None) -> int:
    """Entry point of the `holdrun` command. Returns the exit code."""
    from wiring.cli.entry import run

    return run(argv)
