"""Saving, leaving, opening, recovering: nothing typed is lost without being asked about."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from tui import door
from tui.draft import Found
from tui.helptext import help_text
from tui.screens.ask import Page, Pick
from tui.sight import Sight
from tui.theme import PAPER, SLATE
from tui.work import Worker

if TYPE_CHECKING:
    from collections.abc import Callable

    from textual.screen import Screen

    Base = Screen[None]
else:
    Base = object


class Filing(Base):
    """Mixed into the desk."""

    sight: Sight
    worker: Worker

    if TYPE_CHECKING:  # the desk and `Editing` have them

        def text_changed(self) -> None: ...
        def show_all(self) -> None: ...

    def action_save(self) -> None:
        """Write the file, unless another program has changed it meanwhile: then ask."""
        job = self.sight.open
        if on_disk(job.path) not in (None, job.saved, job.text):
            self.app.push_screen(
                Pick(
                    f"{job.path.name} was changed by another program since it was read",
                    ("Saving puts the text on this screen in its place.",),
                    (("save", "save over it"), ("stay", "do not save")),
                ),
                self._save_over,
            )
            return
        self._write()

    def _save_over(self, answer: str | None) -> None:
        if answer == "save":
            self._write()

    def _write(self) -> bool:
        job = self.sight.open
        try:
            door.save(job.path, job.text)
        except Exception as error:  # noqa: BLE001 - OSError, InputError: told, and the draft stays
            problems = door.problems_of(error)
            said = str(problems[0]) if problems else str(error)
            self.notify(f"not saved: {said}", severity="error", markup=False)
            return False
        job.saved = job.text
        self.worker.draft.drop(job.number)
        self.notify(f"saved {job.path.name}", timeout=2, markup=False)
        self.show_all()
        return True

    def action_leave(self) -> None:
        """Quit; with something not saved, ask first."""
        self.guard(lambda: self.app.exit())

    def guard(self, then: Callable[[], object]) -> None:
        """Do something that leaves this job, after asking about what is not saved."""
        if not self.sight.open.dirty:
            then()
            return

        def answered(answer: str | None) -> None:
            if answer == "save" and not self._write():
                return
            if answer == "forget":
                self.sight.open.saved = self.sight.open.text
                self.worker.draft.drop(self.sight.open.number)
            if answer in ("save", "keep", "forget"):
                then()

        self.app.push_screen(
            Pick(
                f"{self.sight.open.path.name} is not saved",
                (),
                (
                    ("save", "save, then leave"),
                    ("keep", "leave; keep the draft for next time"),
                    ("forget", "leave and forget the changes"),
                    ("stay", "stay here"),
                ),
            ),
            answered,
        )

    def offer(self, found: Found) -> None:
        """A draft is there from a session that did not end well: take it, or not."""

        def answered(answer: str | None) -> None:
            if answer == "take":
                self.sight.open.put(found.text, "draft recovered")
                self.text_changed()
            elif answer == "forget":
                found.path.unlink(missing_ok=True)

        self.app.push_screen(
            Pick(
                f"A draft of {self.sight.open.path.name} is there",
                (
                    f"Kept {found.when:%Y-%m-%d %H:%M:%S}; it was never saved.",
                    "The file itself is whole and stays as it is until you save.",
                ),
                (
                    ("take", "go on with the draft"),
                    ("forget", "throw the draft away"),
                    ("later", "ask again next time"),
                ),
            ),
            answered,
        )

    def action_new(self) -> None:
        from tui.screens.new import NewJob

        self.guard(lambda: self.app.push_screen(NewJob(self.sight.open.path.parent), self._other))

    def action_open_other(self) -> None:
        from tui.screens.begin import Begin

        self.guard(lambda: self.app.push_screen(Begin(self.sight.open.path.parent), self._other))

    def _other(self, path: Path | None) -> None:
        if path is not None:
            self.app.call_later(self.app.open_job, path)  # type: ignore[attr-defined]

    def action_help(self) -> None:
        """Every key that does something here."""
        self.app.push_screen(Page("Keys and steps", help_text(self.app.screen, self.app)))

    def action_look(self) -> None:
        """The other look."""
        self.app.theme = PAPER.name if self.app.theme == SLATE.name else SLATE.name
        self.show_all()


def on_disk(path: Path) -> str | None:
    """What the file says now, None where there is none that can be read."""
    try:
        return path.read_bytes().decode("utf-8-sig")
    except (OSError, UnicodeDecodeError):
        return None
