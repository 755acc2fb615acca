"""Drawing: the circuit and the connections as text, exported as drawings, opened in the system's viewer."""

from __future__ import annotations

import tempfile
import webbrowser
from pathlib import Path
from typing import Any, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Static

from tui import door
from tui.fields import Field
from tui.messages import Ask, Asked
from tui.sight import Sight
from tui.steps.pane import StepPane
from tui.widgets.page import TextPage
from wiring.model.plan import Plan

SYMBOLS = ("iec", "us")
PATH = Field("file", "text", required=True)


class Sheet(Vertical):
    """One sheet as text. Arrow keys pan; `m` symbols, `h` state to highlight, `x` export, `o` open."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("x", "export", "export"),
        Binding("o", "view", "open in viewer", show=False),
        Binding("m", "symbols", "other symbols", show=False),
        Binding("h", "state", "highlight a state", show=False),
    ]

    def __init__(self, sheet: str) -> None:
        super().__init__()
        self.sheet = sheet
        self.symbols = ""
        self.state = ""
        self.sight: Sight | None = None
        self._drawn: tuple[Plan | None, str, str] = (None, "", "")

    def compose(self) -> ComposeResult:
        yield Static("", markup=False, classes="note quiet", id=f"{self.sheet}-note")
        yield TextPage()

    def show_sight(self, sight: Sight) -> None:
        """Draw in a worker; a plan that was drawn already is left as it is."""
        self.sight = sight
        if sight.plan is None:
            self.query_one(TextPage).put("... planning")
            return
        self.symbols = self.symbols or sight.plan.job.region
        plan = sight.plan
        self.say()
        if plan is not self._drawn[0] or (self.symbols, self.state) != self._drawn[1:]:
            self._drawn = (plan, self.symbols, self.state)
            self.run_worker(lambda: self._draw(plan), thread=True, exclusive=True, exit_on_error=False)

    def say(self, more: str = "") -> None:
        state = f" · shown: {self.state}" if self.state else ""
        text = f"{self.symbols} symbols{state} · x export · o open · m symbols · h highlight a state{more}"
        self.query_one(f"#{self.sheet}-note", Static).update(Content(text))

    def _draw(self, plan: Plan) -> None:
        try:
            text = str(self.written(plan, ".txt"))
        except Exception as error:  # noqa: BLE001 - a drawing that cannot be made is said, not fatal
            text = f"no drawing: {type(error).__name__}: {error}"
        self.app.call_from_thread(self.query_one(TextPage).put, text)

    def written(self, plan: Plan, suffix: str) -> bytes | str:
        """The sheet in a format, as the engine draws it."""
        import wiring

        drawing = wiring.draw(plan, self.sheet, self.symbols or "iec", state=self.state or None)
        return wiring.written(drawing, suffix)

    def action_symbols(self) -> None:
        self.symbols = SYMBOLS[(SYMBOLS.index(self.symbols or "iec") + 1) % 2]
        if self.sight is not None:
            self.show_sight(self.sight)

    def action_state(self) -> None:
        """Ask for a state to highlight."""

        def done(value: Any, move: int) -> None:
            self.state = value or ""
            if self.sight is not None:
                self.show_sight(self.sight)

        hint = "press key:up, open limit:up, fault K10.up stuck-in; empty: none"
        field = Field("state", "text")
        self.screen.post_message(
            Asked(Ask("state", field, self.state, done, self.query_one(TextPage), (), hint))
        )

    def action_export(self) -> None:
        """Ask where to; the ending picks the format."""
        if self.sight is None or self.sight.plan is None:
            return
        path = self.sight.open.path
        proposed = f"{path.stem}.{self.sheet}.svg"
        endings = tuple((f"{path.stem}.{self.sheet}{s}", "") for s in (".svg", ".pdf", ".png", ".txt"))
        hint = "the ending picks the format: .svg .pdf .png .txt"
        self.screen.post_message(
            Asked(Ask("write to", PATH, proposed, self._export, self.query_one(TextPage), endings, hint))
        )

    def _export(self, value: Any, move: int) -> None:
        assert self.sight is not None and self.sight.plan is not None
        target, plan = self.sight.open.path.parent / str(value), self.sight.plan
        self.run_worker(lambda: self._write(plan, target), thread=True, exit_on_error=False)

    def _write(self, plan: Plan, target: Path) -> None:
        try:
            if target.suffix not in (".svg", ".pdf", ".png", ".txt"):
                raise ValueError(f"found {target.suffix or 'no ending'}; allowed: .svg .pdf .png .txt")
            door.write(target, self.written(plan, target.suffix))
            said, bad = f"wrote {target}", False
        except Exception as error:  # noqa: BLE001 - told
            said, bad = f"not written: {error}", True
        self.app.call_from_thread(
            lambda: self.app.notify(said, severity="error" if bad else "information", markup=False)
        )

    def action_view(self) -> None:
        """Write an SVG to a folder of its own and open it in the system's viewer."""
        if self.sight is None or self.sight.plan is None:
            return
        plan = self.sight.plan
        folder = Path(tempfile.mkdtemp(prefix="holdrun-"))
        target = folder / f"{self.sight.open.path.stem}.{self.sheet}.svg"

        def work() -> None:
            self._write(plan, target)
            if target.exists():
                webbrowser.open(target.as_uri())

        self.run_worker(work, thread=True, exit_on_error=False)


class DrawingPane(StepPane):
    LEAVES = (
        ("Circuit", lambda: Sheet("circuit")),
        ("Connections", lambda: Sheet("connections")),
    )
