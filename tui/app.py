"""The program: opens a job on the desk, or begins where there is none."""

from __future__ import annotations

import os
from pathlib import Path
from typing import ClassVar

from textual.app import App
from textual.binding import Binding, BindingType

from tui.draft import found
from tui.openjob import OpenJob
from tui.screens.ask import Pick
from tui.screens.begin import Begin
from tui.screens.desk import Desk
from tui.theme import SLATE, THEMES


class HoldrunApp(App[None]):
    """holdrun in the terminal."""

    TITLE = "holdrun"
    CSS_PATH = "styles.tcss"
    ENABLE_COMMAND_PALETTE = True
    COMMAND_PALETTE_BINDING = "ctrl+p"
    BINDINGS: ClassVar[list[BindingType]] = [Binding("ctrl+q", "quit", "quit", priority=True)]

    def __init__(self, file: str | None = None, auto_faults: bool = True) -> None:
        super().__init__()
        self.file = file
        self.auto_faults = auto_faults

    def on_mount(self) -> None:
        for theme in THEMES:
            self.register_theme(theme)
        self.theme = os.environ.get("HOLDRUN_LOOK", SLATE.name) if self._look_known() else SLATE.name
        if self.file is not None:
            self.open_job(Path(self.file))
        else:
            self.begin(Path.cwd())

    def _look_known(self) -> bool:
        return os.environ.get("HOLDRUN_LOOK", "") in {theme.name for theme in THEMES}

    async def action_quit(self) -> None:
        """Leave; what is not saved is asked about first."""
        desk = next((one for one in self.screen_stack if isinstance(one, Desk)), None)
        if desk is None:
            self.exit()
        elif not isinstance(self.screen, Pick):
            desk.action_leave()

    def begin(self, folder: Path) -> None:
        """The first page: jobs that are here, a new one, the demos."""

        def picked(path: Path | None) -> None:
            if path is None:
                self.exit()
            else:
                self.open_job(path)

        self.push_screen(Begin(folder), picked)

    def open_job(self, path: Path) -> None:
        """Put a job on the desk; a draft that was never saved is offered."""
        try:
            text = path.read_bytes().decode("utf-8-sig")
        except (OSError, UnicodeDecodeError) as error:
            why = error.strerror if isinstance(error, OSError) else "it is not text in UTF-8"
            self.push_screen(
                Pick(f"{path} could not be read", (str(why),), (("ok", "choose another"),)),
                lambda _: self.begin(path.parent if path.parent.is_dir() else Path.cwd()),
            )
            return
        desk = Desk(OpenJob(path, text, text))
        desk.auto_faults = self.auto_faults
        if isinstance(self.screen, Desk):
            self.switch_screen(desk)
        else:
            self.push_screen(desk)
        kept = found(path, text)
        if kept is not None:
            self.call_later(desk.offer, kept)
