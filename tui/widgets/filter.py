"""A line to filter a table with: words that all must occur."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.content import Content
from textual.message import Message
from textual.widgets import Input, Static

from wiring.sheets.words import clean


class FilterInput(Input):
    """Escape or Enter goes back to the table."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,enter,down", "back", "back to the table", show=False)
    ]

    def action_back(self) -> None:
        self.screen.focus_next()


class FilterLine(Horizontal):
    """`/` puts the cursor here."""

    class Changed(Message):
        """The words changed."""

    def compose(self) -> ComposeResult:
        yield Static("/", classes="slash", markup=False)
        yield FilterInput(placeholder="filter", compact=True)
        yield Static("", classes="said quiet", markup=False)

    def on_mount(self) -> None:
        self.query_one(Input).cursor_blink = self.app.animation_level != "none"

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        event.stop()
        self.post_message(self.Changed())

    def fits(self, text: str) -> bool:
        """Whether every word of the filter occurs in the text."""
        low = text.casefold()
        return all(word in low for word in self.query_one(Input).value.casefold().split())

    def say(self, text: str) -> None:
        self.query_one(".said", Static).update(Content(clean(text)))
