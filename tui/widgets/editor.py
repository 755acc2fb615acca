"""The line at the foot of a step where one value is typed, with its choices and what it may hold."""

from __future__ import annotations

from typing import ClassVar

from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from tui.fields import FieldError, read, wanted
from tui.messages import Ask
from wiring.sheets.words import clean

LISTED = 200  # choices offered at a time


class Typing(Input):
    """The input of the line. Up and down walk the choices, Tab goes on to the next field."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("down", "walk(1)", "next choice", show=False),
        Binding("up", "walk(-1)", "choice before", show=False),
        Binding("tab", "finish(1)", "take it, next field", show=False),
        Binding("shift+tab", "finish(-1)", "take it, field before", show=False),
        Binding("escape", "drop", "leave as it was", show=False),
    ]

    def action_walk(self, by: int) -> None:
        self.line.walk(by)

    def action_finish(self, move: int) -> None:
        self.line.finish(move)

    def action_drop(self) -> None:
        self.line.close()

    @property
    def line(self) -> EditorLine:
        for node in self.ancestors:
            if isinstance(node, EditorLine):
                return node
        raise LookupError("an input outside its line")


class EditorLine(Vertical):
    """Shows a hint at rest; with a question open, an input and the choices that fit what is typed."""

    ask: Ask | None = None

    def compose(self) -> ComposeResult:
        yield OptionList(id="choices", markup=False, compact=True)
        with Horizontal(id="typing"):
            yield Static("", id="asked", markup=False)
            yield Typing(id="typed", compact=True)
        yield Static("", id="hint", markup=False)

    def on_mount(self) -> None:
        self.query_one(Typing).cursor_blink = self.app.animation_level != "none"

    def rest(self, text: str) -> None:
        """The hint for the thing under the cursor, shown while nothing is asked."""
        if self.ask is None:
            self.query_one("#hint", Static).update(Content(clean(text)))

    def open(self, ask: Ask) -> None:
        """Ask. What was being typed before is taken if it fits, else dropped."""
        if self.ask is not None:
            self.finish(0, refocus=False)
        self.ask = ask
        self.set_class(True, "open")
        self.query_one("#asked", Static).update(Content(clean(ask.label)))
        typed = self.query_one(Typing)
        with typed.prevent(Input.Changed):
            typed.value = ask.value
        typed.cursor_position = len(ask.value)
        typed.select_all()
        self._list("")
        self._judge(ask.value)
        self.screen.set_focus(typed)

    def close(self, refocus: bool = True) -> None:
        """Leave the value as it was."""
        ask, self.ask = self.ask, None
        self.set_class(False, "open")
        self.query_one("#choices").display = False
        self.query_one("#hint", Static).update("")
        if refocus and ask is not None and ask.back is not None:
            self.screen.set_focus(ask.back)

    def _list(self, typed: str) -> None:
        """Choices that contain what is typed, those that begin with it first."""
        choices = self.query_one("#choices", OptionList)
        ask = self.ask
        found = ask.choices if ask else ()
        low = typed.casefold()
        if low:
            found = tuple(c for c in found if low in c[0].casefold() or low in c[1].casefold())
            found = tuple(sorted(found, key=lambda c: not c[0].casefold().startswith(low)))
        choices.clear_options()
        for word, note in found[:LISTED]:
            text = Content.assemble(clean(word), (f"  {clean(note)}" if note else "", "$secondary"))
            choices.add_option(Option(text, id=None))
        self._found = [word for word, _ in found[:LISTED]]
        choices.display = bool(self._found)
        if ask and ask.value in self._found and not typed:
            choices.highlighted = self._found.index(ask.value)

    def _judge(self, typed: str) -> bool:
        """Say what the field holds, or what is wrong with the text typed so far."""
        if self.ask is None:
            return False
        line, fits = self.ask.hint, True
        try:
            read(self.ask.field, typed)
        except FieldError as error:
            line, fits = f"✗ {error}", False
        else:
            about = wanted(self.ask.field)
            line = f"{line} · {about}" if line and about != "a text" else line or about
        self.set_class(not fits, "wrong")
        self.query_one("#hint", Static).update(Content(clean(line)))
        return fits

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        event.stop()
        self._list(event.value)
        self._judge(event.value)

    @on(Input.Submitted)
    def _entered(self, event: Input.Submitted) -> None:
        event.stop()
        self.finish(0)

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        """A choice was clicked."""
        event.stop()
        self._take(self._found[event.option_index])
        self.finish(0)

    def walk(self, by: int) -> None:
        """Highlight the next choice and put it into the line."""
        choices = self.query_one("#choices", OptionList)
        if not self._found:
            return
        here = choices.highlighted
        at = (0 if by > 0 else -1) if here is None else here + by
        choices.highlighted = at % len(self._found)
        self._take(self._found[choices.highlighted])

    def _take(self, word: str) -> None:
        typed = self.query_one(Typing)
        with typed.prevent(Input.Changed):
            typed.value = self._joined(typed.value, word)
        typed.cursor_position = len(typed.value)
        self._judge(typed.value)

    def _joined(self, typed: str, word: str) -> str:
        """In a list the choice replaces what stands behind the last comma."""
        if self.ask is None or self.ask.field.kind not in ("list", "pair"):
            return word
        head, comma, _ = typed.rpartition(",")
        return f"{head}, {word}" if comma else word

    def finish(self, move: int, refocus: bool = True) -> None:
        """Take the value if the field can hold it; else stay, with the reason shown."""
        ask = self.ask
        if ask is None:
            return
        text = self.query_one(Typing).value
        if not self._judge(text):
            if refocus:
                self.app.bell()
            else:
                self.close(False)
            return
        value = read(ask.field, text)
        self.close(refocus)
        ask.done(value, move)

    @on(events.DescendantBlur)
    def _left(self) -> None:
        """Clicked away: take what fits. The terminal losing focus is no reason to take anything."""
        if self.ask is not None and self.app.app_focus and not self.has_focus_within:
            self.finish(0, refocus=False)
