"""Cores: colour, role and how it is known, where each one lands; readings and identification."""

from __future__ import annotations

from rich.text import Text

from tui.steps.identify import Identify
from tui.steps.pane import StepPane
from tui.widgets.grid import Grid
from tui.widgets.landing import lands
from tui.widgets.ledger import Ledger
from tui.widgets.table import cell


class Cores(Grid):
    """The cores with where each one lands in the conversion."""

    def extra_head(self) -> tuple[str, ...]:
        return ("lands on",)

    def extra(self, number: int) -> tuple[Text, ...]:
        core = self.rows_of_job[number].get("id")
        found = lands(self.sight.open.data if self.sight else None, f"core:{core}")
        return (cell(", ".join(found) or "nothing yet"),)


class CoresPane(StepPane):
    LEAVES = (
        ("Cores", lambda: Cores("core")),
        ("Identify", Identify),
        ("Readings", lambda: Grid("reading")),
        ("Cord and pendant", lambda: Ledger("cord", "pendant")),
        ("Handset", lambda: Grid("pendant.contact")),
    )
