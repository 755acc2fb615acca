"""Guided identification: one reading at a time, what is left shrinks. The gate comes first."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Static

from tui import door
from tui.sight import Sight
from tui.steps.gate import gate_words, is_open


class Identify(Vertical):
    def compose(self) -> ComposeResult:
        yield Static("", markup=False, classes="note", id="identify-note")

    def show_sight(self, sight: Sight) -> None:
        note = self.query_one("#identify-note", Static)
        if not is_open(sight):
            note.update(
                Content.assemble(gate_words(sight), "\nStep Isolate comes before the first reading: key 2.")
            )
        elif not door.has("identify"):
            note.update(
                Content("Guided readings are not available yet. Write readings by hand in the next leaf.")
            )
