"""The job file as text: for what no form covers, and for a text that no longer reads."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Static, TextArea


class RawText(ModalScreen[str | None]):
    """Escape takes the text over, F8 leaves it as it was."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "take", "take the text over", priority=True),
        Binding("f8", "drop", "leave it as it was", priority=True),
    ]

    def __init__(self, text: str, line: int = 1) -> None:
        super().__init__()
        self.text, self.line = text, line

    def compose(self) -> ComposeResult:
        with Vertical(classes="box tall"):
            yield Static(
                Content("The job file as text.  Esc takes it over · F8 leaves it as it was"), classes="title"
            )
            yield TextArea(self.text, show_line_numbers=True, tab_behavior="indent", soft_wrap=False)

    def on_mount(self) -> None:
        area = self.query_one(TextArea)
        area.cursor_blink = self.app.animation_level != "none"
        area.focus()
        area.move_cursor((max(0, self.line - 1), 0), center=True)

    def action_take(self) -> None:
        self.dismiss(self.query_one(TextArea).text)

    def action_drop(self) -> None:
        self.dismiss(None)
