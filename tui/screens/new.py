"""The new-job assistant: a few questions, each of which can be answered with unknown."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from tui import door
from tui.widgets.frame import Caution
from tui.widgets.page import TextPage, flow
from wiring.sheets.words import clean

if TYPE_CHECKING:
    from wiring.model.entry import Catalog

US_FAMILY = ("US", "CA")
FIRST = (
    "Leave the handset closed for now. Count the cores at the gland, read the plate, and listen while "
    "somebody presses a button: a click at the hoist means contactors, no click means the button "
    "switches the motor."
)


@dataclass(frozen=True, slots=True)
class Question:
    """key: of the answers; about: a line below; options: (word, note), () for a typed answer."""

    key: str
    asked: str
    about: str
    options: Callable[[Catalog], list[tuple[str, str]]] | None = None
    proposed: str = ""


def _hoists(catalog: Catalog) -> list[tuple[str, str]]:
    rows = [(id, _recognise(h.title, h.recognise)) for id, h in catalog.hoists.items()]
    return [("unknown", "Not known yet; the readings will tell."), *rows]


def _recognise(title: str, lines: tuple[str, ...]) -> str:
    return f"{title}\n" + "\n".join(f"look for: {one}" for one in lines)


def _receivers(catalog: Catalog) -> list[tuple[str, str]]:
    rows = [(id, _recognise(r.title, r.recognise)) for id, r in catalog.receivers.items()]
    return [("unknown", "Not bought yet, or not known."), *rows]


def _people(_: Catalog) -> list[tuple[str, str]]:
    return [
        ("outside", "nobody is near the load while it moves"),
        ("beside", "people are beside the load"),
        ("lifted", "people ride on it, or are under it: not with a material hoist"),
    ]


QUESTIONS = (
    Question("title", "What do you call this hoist?", "as it will stand on the sheets"),
    Question(
        "country", "Which country, two letters?", "US and CA take the us rule set, others iec", None, "US"
    ),
    Question("people", "Who is near the load?", "", _people),
    Question("hoist", "Which hoist is it?", FIRST, _hoists),
    Question("receiver", "Which receiver is to replace the pendant?", "", _receivers),
    Question("file", "Which file is the job to be written to?", "it is never written over another file"),
)


class NewJob(Screen[Path | None]):
    """Dismissed with the written file, or None."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "back", "one question back", priority=True)]

    def __init__(self, folder: Path) -> None:
        super().__init__()
        self.folder = folder
        self.answers: dict[str, str] = {}
        self.at = -1  # the lockout sheet comes first
        self.words: list[str] = []
        self.notes: list[str] = []

    def compose(self) -> ComposeResult:
        with Vertical(classes="asker"):
            yield Static("New job · Esc goes one question back", classes="title", markup=False)
            yield Static("", id="asked-text", markup=False)
            yield Static("", id="asked-about", classes="quiet", markup=False)
            yield TextPage(wrap=True, id="asked-note")
            yield OptionList(id="options", markup=False)
            yield Input(compact=True, id="answer")
            yield Static("", id="asked-said", markup=False)
        yield Caution()

    def on_mount(self) -> None:
        self.query_one("#answer", Input).cursor_blink = self.app.animation_level != "none"
        self.catalog = door.catalog(self.folder)
        self.show()

    def show(self) -> None:
        """Show the question that is next, or the lockout sheet."""
        options, typed = self.query_one("#options", OptionList), self.query_one("#answer", Input)
        options.clear_options()
        self.query_one("#asked-said", Static).update("")
        if self.at < 0:
            self._sheet(options)
            typed.display = False
            return
        question = QUESTIONS[self.at]
        self.query_one("#asked-text").display = True
        self.query_one("#asked-about").display = bool(question.about)
        self.query_one("#asked-text", Static).update(
            Content.assemble((f"{self.at + 1} of {len(QUESTIONS)}  {question.asked}", "bold"))
        )
        self.query_one("#asked-about", Static).update(Content(question.about))
        options.display, typed.display = question.options is not None, question.options is None
        self.query_one("#asked-note").display = question.options is not None
        if question.options is None:
            typed.value = self.answers.get(question.key, question.proposed or self._file_name(question))
            self.set_focus(typed)
            return
        rows = question.options(self.catalog)
        self.words, self.notes = [word for word, _ in rows], [note for _, note in rows]
        for word, note in rows:
            first = note.partition("\n")[0]
            options.add_option(Option(Content.assemble((word, "bold"), f"  {clean(first)}")))
        before = self.answers.get(question.key)
        options.highlighted = self.words.index(before) if before in self.words else 0
        self.set_focus(options)

    def _sheet(self, options: OptionList) -> None:
        """The lockout sheet, before the first question."""
        from wiring.sheets.lockout_text import lockout_text

        for id in ("#asked-text", "#asked-about"):
            self.query_one(id).display = False
        self.words, self.notes = ["on"], []
        self.query_one("#asked-note").display = True
        self.query_one("#asked-note", TextPage).put(flow(lockout_text(self.catalog)))
        options.add_option(Option(Content("I have read this; go on")))
        options.display = True
        options.highlighted = 0
        self.set_focus(options)

    def _file_name(self, question: Question) -> str:
        if question.key != "file":
            return ""
        bare = re.sub(r"[^a-z0-9]+", "-", self.answers["title"].casefold()).strip("-")[:40] or "hoist"
        return f"{bare}.toml"

    @on(OptionList.OptionHighlighted)
    def _moved(self, event: OptionList.OptionHighlighted) -> None:
        """Below the list: how to recognise the type under the cursor."""
        if event.option_index < len(self.notes):
            self.query_one("#asked-note", TextPage).put(self.notes[event.option_index])

    @on(OptionList.OptionSelected)
    def _picked(self, event: OptionList.OptionSelected) -> None:
        self.answer(self.words[event.option_index])

    @on(Input.Submitted)
    def _typed(self, event: Input.Submitted) -> None:
        self.answer(event.value.strip())

    def answer(self, word: str) -> None:
        """Take an answer and go on; an answer that cannot be is said and asked again."""
        if self.at >= 0:
            wrong = self.wrong(QUESTIONS[self.at].key, word)
            if wrong:
                self.query_one("#asked-said", Static).update(Content.assemble((f"✗ {wrong}", "$text-error")))
                return
            self.answers[QUESTIONS[self.at].key] = word
        self.at += 1
        if self.at < len(QUESTIONS):
            self.show()
        else:
            self.write()

    def wrong(self, key: str, word: str) -> str:
        """Why an answer cannot be, "" where it can."""
        if not word:
            return "something must stand here"
        if key == "title" and (len(word) > 500 or not word.isprintable()):
            return "one line of at most 500 printable characters"
        if key == "country" and not re.fullmatch("[A-Za-z]{2}", word):
            return "two letters, such as US or DE"
        if key == "file" and not word.endswith(".toml"):
            return "a file name that ends in .toml"
        if key == "file" and self.target(word).exists():
            return f"{word} exists; give another name"
        return ""

    def target(self, word: str) -> Path:
        path = Path(word).expanduser()
        return path if path.is_absolute() else self.folder / path

    def write(self) -> None:
        """Write the job and its schema; every unknown stands in it."""
        import json

        import wiring

        a = self.answers
        country = a["country"].upper()
        region = "us" if country in US_FAMILY else "iec"
        path = self.target(a["file"])
        try:
            text = wiring.new_job_text(
                self.catalog, a["title"], region, country, a["people"], a["hoist"], a["receiver"]
            )
            door.write(path, text)
            if not (path.parent / "job.schema.json").exists():
                door.write(path.parent / "job.schema.json", json.dumps(door.schema(), indent=2) + "\n")
        except OSError as error:
            self.at = len(QUESTIONS) - 1
            self.show()
            self.query_one("#asked-said", Static).update(Content.assemble((f"✗ {error}", "$text-error")))
            return
        self.dismiss(path)

    def action_back(self) -> None:
        if self.at < 0:
            self.dismiss(None)
            return
        self.at -= 1
        self.show()
