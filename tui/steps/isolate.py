"""Isolate: done before anything is opened. It stands before the first meter reading."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.widgets import Static

from tui.sight import Sight
from tui.steps.gate import gate_words
from tui.steps.pane import StepPane
from tui.widgets.ledger import Ledger
from tui.widgets.page import TextPage, flow


class GateNote(Static):
    def show_sight(self, sight: Sight) -> None:
        self.update(gate_words(sight))


class Gate(Vertical):
    """What was done, line by line, and whether that is enough."""

    def compose(self) -> ComposeResult:
        yield GateNote(markup=False, classes="note")
        yield Ledger("gate")


def lockout(sight: Sight) -> str:
    """The lockout sheet of the catalog."""
    from wiring.sheets.lockout_text import lockout_text

    region = sight.plan.job.region if sight.plan else None
    return flow(lockout_text(sight.catalog, region)) if sight.catalog else "... the catalog is being read"


class IsolatePane(StepPane):
    LEAVES = (
        ("Done", Gate),
        ("Lockout sheet", lambda: TextPage(lockout, wrap=True)),
    )
