"""The guided test of the receiver alone on the bench."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Static

from tui.sight import Sight


class BenchTest(Vertical):
    def compose(self) -> ComposeResult:
        yield Static("", markup=False, classes="note", id="bench-note")

    def show_sight(self, sight: Sight) -> None:
        self.query_one("#bench-note", Static).update(
            Content("The guided test is not available yet. Write results by hand in the next leaf.")
        )
