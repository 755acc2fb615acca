"""Cables: gauge, length and order; where every conductor lands."""

from __future__ import annotations

from tui.sight import Sight
from tui.steps.pane import StepPane
from tui.theme import hex_of
from tui.widgets.grid import Grid
from tui.widgets.landing import conductor_rows
from tui.widgets.table import Table, cell
from wiring.model.finding import Verdict


class Conductors(Table):
    """Every conductor with its two ends; a loose one is marked."""

    def __init__(self) -> None:
        super().__init__(cursor_type="row")

    def show_sight(self, sight: Sight) -> None:
        red = hex_of(self.app.current_theme, Verdict.FAIL)
        found = []
        for *row, loose in conductor_rows(sight.open.data):
            found.append([*(cell(one) for one in row), cell(f"✗ {loose}" if loose else "", red)])
        self.show(("conductor", "size", "number", "from", "to", ""), found)


class CablesPane(StepPane):
    LEAVES = (
        ("Cables", lambda: Grid("cable")),
        ("Conductors", Conductors),
    )
