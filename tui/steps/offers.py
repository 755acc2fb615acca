"""What the planner offers in a step: a line about it, and answers of which Enter takes one."""

from __future__ import annotations

from collections.abc import Iterable
from typing import ClassVar

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from tui.sight import Sight
from wiring.sheets.words import clean


class Offers(Vertical):
    """A note above a list. Who inherits it asks the planner in a worker and calls `offer`."""

    #: Ids of the note and of the list.
    NOTE: ClassVar[str] = ""
    LIST: ClassVar[str] = ""

    def __init__(self) -> None:
        super().__init__()
        self.sight: Sight | None = None

    def compose(self) -> ComposeResult:
        yield Static("", markup=False, classes="note", id=self.NOTE)
        yield OptionList(id=self.LIST, markup=False)

    def say(self, text: str) -> None:
        """Put a line above the list."""
        self.query_one(f"#{self.NOTE}", Static).update(Content(clean(text)))

    def offer(self, rows: Iterable[Content], said: str, after: Content | None = None) -> None:
        """List answers, the first under the cursor. after: a closing row that cannot be taken."""
        options = self.query_one(OptionList)
        options.clear_options()
        options.add_options([Option(row) for row in rows])
        some = options.option_count > 0
        if after is not None:
            options.add_option(Option(after, disabled=True))
        self.say(said)
        if some:
            options.highlighted = 0
            self.screen.set_focus(options)
