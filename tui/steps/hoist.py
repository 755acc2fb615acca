"""Hoist: which type it is and how that is known, what feeds it, what its plate says."""

from __future__ import annotations

from tui.steps.pane import StepPane
from tui.widgets.grid import Grid
from tui.widgets.ledger import Ledger
from tui.widgets.types import Types


class HoistPane(StepPane):
    LEAVES = (
        ("Facts", lambda: Ledger("hoist", "supply", "meter")),
        ("Recognise", lambda: Types("hoist")),
        ("Plate values", lambda: Grid("value")),
    )
