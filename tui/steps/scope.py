"""Scope: what the job is, who is near, where it hangs; and the questions that only people can answer."""

from __future__ import annotations

from tui.steps.pane import StepPane
from tui.widgets.grid import Grid
from tui.widgets.ledger import Ledger


class ScopePane(StepPane):
    LEAVES = (
        ("Job and place", lambda: Ledger("job", "place", leave=("job.example",))),
        ("Answers", lambda: Grid("answer")),
    )
