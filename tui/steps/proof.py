"""Proof."""

from __future__ import annotations

from tui.steps.pane import StepPane
from tui.widgets.page import TextPage


class ProofPane(StepPane):
    LEAVES = (("Bench", lambda: TextPage(lambda s: "not available yet")),)
