"""Screens for the terminal: views of a plan, and edits of the job text.

Owns what is shown and typed. Holds no engineering: everything computed comes
through the engine's door (`wiring`), the nouns (`wiring.model`) and the sheets'
words (`wiring.sheets`).
"""

from __future__ import annotations

__distribution__ = "holdrun"


def start(file: str | None = None) -> None:
    """Run the screens on a job file, or on the start page where none is named."""
    from tui.app import HoldrunApp

    HoldrunApp(file).run()
