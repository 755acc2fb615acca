"""Types of the catalog to choose from: how to recognise the real thing, and its circuit as text."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from tui.fields import UNKNOWN
from tui.messages import EditJob
from tui.sight import Sight
from tui.widgets.page import TextPage
from tui.writing import setting
from wiring.sheets.words import clean


@cache
def page_text(kind: str, id: str, beside: Path) -> str:
    """The catalog page of a type. May take a while: call it in a worker."""
    import wiring

    return wiring.type_page(kind, id, beside).text


class Types(Vertical):
    """Enter takes the type into the job; the page below shows the one under the cursor."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("p", "page", "read its page")]

    def __init__(self, kind: str) -> None:
        super().__init__(classes="halves beside")
        self.kind = kind
        self.words: list[str] = []
        self.sight: Sight | None = None

    def compose(self) -> ComposeResult:
        yield OptionList(id="types", markup=False)
        yield TextPage(id="type-page")

    def show_sight(self, sight: Sight) -> None:
        """List the types, the job's own one marked."""
        self.sight = sight
        if sight.catalog is None:
            return
        shelf = sight.catalog.hoists if self.kind == "hoist" else sight.catalog.receivers
        own = str(sight.open.at(f"{self.kind}.type") or UNKNOWN)
        options = self.query_one(OptionList)
        at = options.highlighted
        options.clear_options()
        self.words = [UNKNOWN, *shelf]
        for word in self.words:
            title = shelf[word].title if word != UNKNOWN else "not known yet: the readings will tell"
            mark = "● " if word == own else "  "
            options.add_option(Option(Content.assemble(mark, (word, "bold"), f"\n    {clean(title)}")))
        start = self.words.index(own) if own in self.words else 0
        options.highlighted = start if at is None else min(at, len(self.words) - 1)

    @on(OptionList.OptionHighlighted)
    def _moved(self, event: OptionList.OptionHighlighted) -> None:
        event.stop()
        if event.option_index >= len(self.words) or self.sight is None:
            return
        word = self.words[event.option_index]
        if word == UNKNOWN:
            self.query_one(TextPage).put(
                "Leave it unknown. Every check that needs it says what to find out next."
            )
            return
        self.run_worker(lambda: self._read(word), thread=True, exclusive=True, exit_on_error=False)

    def _read(self, word: str) -> None:
        assert self.sight is not None
        try:
            text = page_text(self.kind, word, self.sight.open.path.parent)
        except Exception as error:  # noqa: BLE001 - a page that cannot be made is said, not fatal
            text = f"no page: {error}"
        self.app.call_from_thread(self._put, word, text)

    def _put(self, word: str, text: str) -> None:
        at = self.query_one(OptionList).highlighted
        if self.is_mounted and at is not None and self.words[at] == word:
            self.query_one(TextPage).put(text)

    @on(OptionList.OptionSelected)
    def _taken(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        if self.sight is None:
            return
        word = self.words[event.option_index]
        path = f"{self.kind}.type"
        edits = setting(self.sight.open, path, None if word == UNKNOWN else word)
        if edits:
            self.screen.post_message(EditJob(edits, f"{self.kind} type {word}"))

    def action_page(self) -> None:
        """The page on the whole screen."""
        from tui.screens.ask import Page

        self.app.push_screen(Page("Type page", self.query_one(TextPage).plain))

    def go_to(self, path: str) -> bool:
        return False
