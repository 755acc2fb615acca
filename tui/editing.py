"""Edits of the job text, and the way back through them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui import door
from tui.messages import EditJob, PutText
from tui.screens.raw import RawText
from tui.sight import Sight
from tui.work import Worker

if TYPE_CHECKING:
    from textual.screen import Screen

    Base = Screen[None]
else:
    Base = object


class Editing(Base):
    """Mixed into the desk. Every change of the text passes here. Handlers of a mix-in go by name."""

    sight: Sight
    worker: Worker

    if TYPE_CHECKING:  # the desk has them

        def show_all(self) -> None: ...
        def plan_now(self) -> None: ...

    def on_edit_job(self, event: EditJob) -> None:
        """Do the edits; what cannot be done is said and changes nothing."""
        event.stop()
        try:
            changed = self.sight.open.edit(event.edits, event.what)
        except Exception as error:  # noqa: BLE001 - InputError, EditError, tomlkit: the text stays as it was
            problems = door.problems_of(error)
            said = str(problems[0]) if problems else str(error)
            self.notify(f"not changed: {said}", severity="error", markup=False)
            return
        if changed:
            self.text_changed()

    def on_put_text(self, event: PutText) -> None:
        event.stop()
        if self.sight.open.put(event.text, event.what):
            self.text_changed()

    def text_changed(self) -> None:
        """Show, keep as draft and plan the new text."""
        job = self.sight.open
        self.worker.keep(job.number, job.text)
        self.show_all()
        self.plan_now()

    def action_undo(self) -> None:
        self._step(self.sight.open.undo(), "undone", "nothing to undo")

    def action_redo(self) -> None:
        self._step(self.sight.open.redo(), "done again", "nothing to do again")

    def _step(self, what: str | None, word: str, nothing: str) -> None:
        if what is None:
            self.notify(nothing, timeout=2, markup=False)
            return
        self.notify(f"{word}: {what}", timeout=2, markup=False)
        self.text_changed()

    def action_raw(self, path: str = "") -> None:
        """The whole file as text, at a key or at the first problem."""
        problem = next((p for p in self.sight.problems if not path or p.key == path), None)
        line = problem.line if problem else 1
        self.app.push_screen(RawText(self.sight.open.text, line), self._took)

    def _took(self, text: str | None) -> None:
        if text is not None and self.sight.open.put(text, "text of the file"):
            self.text_changed()
