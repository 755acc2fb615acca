"""Questions laid over the desk: pick one answer, or read a page."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from wiring.sheets.words import clean


class Pick(ModalScreen[str]):
    """One question, answers as (id, what it does). Escape is the last one."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "leave", "leave it")]

    def __init__(self, title: str, lines: tuple[str, ...], answers: tuple[tuple[str, str], ...]) -> None:
        super().__init__()
        self.titled, self.lines, self.answers = title, lines, answers

    def compose(self) -> ComposeResult:
        with Vertical(classes="box"):
            yield Static(Content(clean(self.titled)), classes="title")
            for line in self.lines:
                yield Static(Content(clean(line)))
            yield OptionList(*(Option(Content(clean(word))) for _, word in self.answers), markup=False)

    def on_mount(self) -> None:
        self.query_one(OptionList).focus()

    @on(OptionList.OptionSelected)
    def _picked(self, event: OptionList.OptionSelected) -> None:
        self.dismiss(self.answers[event.option_index][0])

    def action_leave(self) -> None:
        self.dismiss(self.answers[-1][0])


class Page(ModalScreen[None]):
    """A page of plain text to read, panned with the arrow keys."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,q,f1", "app.pop_screen", "close"),
        Binding("w", "write", "write as text file"),
    ]

    def __init__(self, title: str, text: str) -> None:
        super().__init__()
        self.titled, self.text = title, text

    def compose(self) -> ComposeResult:
        with Vertical(classes="box tall"):
            yield Static(Content(f"{clean(self.titled)}   (Esc closes)"), classes="title")
            with VerticalScroll():
                yield Static(Content("\n".join(clean(line) for line in self.text.split("\n"))))

    def on_mount(self) -> None:
        self.query_one(VerticalScroll).focus()

    def action_write(self) -> None:
        """Write the page beside the job."""
        name = "".join(c if c.isalnum() else "-" for c in self.titled.casefold()).strip("-") or "page"
        from pathlib import Path

        from tui import door

        try:
            door.write(Path(f"{name}.txt"), self.text)
        except OSError as error:
            self.notify(str(error), severity="error", markup=False)
        else:
            self.notify(f"wrote {name}.txt", markup=False)
