"""Plain text to read, panned with the arrow keys; long lines are not broken."""

from __future__ import annotations

from collections.abc import Callable

from textual.app import ComposeResult
from textual.containers import ScrollableContainer
from textual.content import Content
from textual.widgets import Static

from tui.sight import Sight
from wiring.sheets.words import clean


class TextPage(ScrollableContainer, can_focus=True):
    """A text, or one that is made anew from the sight each time it is shown."""

    def __init__(
        self, make: Callable[[Sight], str] | None = None, wrap: bool = False, id: str | None = None
    ) -> None:
        super().__init__(id=id, classes="text wrapped" if wrap else "text")
        self.make = make
        self.plain = ""

    def compose(self) -> ComposeResult:
        yield Static("", markup=False)

    def show_sight(self, sight: Sight) -> None:
        if self.make is not None:
            self.put(self.make(sight))

    def put(self, text: str | Content) -> None:
        """Show a text."""
        if isinstance(text, str):
            text = Content("\n".join(clean(line) for line in text.split("\n")))
        self.plain = text.plain
        self.query_one(Static).update(text)


def flow(text: str) -> str:
    """Text of a sheet with its hanging lines joined again, for a page that wraps by itself."""
    out: list[str] = []
    for line in text.split("\n"):
        if line.startswith("       ") and out and out[-1].strip():
            out[-1] += f" {line.strip()}"
        else:
            out.append(line)
    return "\n".join(out)
