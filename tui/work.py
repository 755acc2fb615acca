"""Long work off the screen's thread: planning after each edit, fault runs, drafts."""

from __future__ import annotations

import sys
import threading
import time
from pathlib import Path

from textual.message_pump import MessagePump

from tui import door
from tui.draft import Draft
from tui.messages import DraftFailed, PlanFailed, PlanReady, Running

SWITCH = 0.0005  # seconds that a thread computes before the screen gets its turn again
TELL = 0.1  # seconds between two words on how far a run is
QUIET = 0.15  # seconds without a further edit before a text is planned


class Stopped(Exception):
    """The run was cancelled, or a newer text made it useless."""


class Worker:
    """Plans texts and writes drafts, the newest first; what comes of it is posted to the screen.

    Two threads live as long as the screen. A text that arrives while another
    one is planned makes that one stop at its next progress report.
    """

    def __init__(self, target: MessagePump, path: Path) -> None:
        self.target, self.path = target, path
        self.draft = Draft(path)
        self._plan: tuple[int, str, str] | None = None
        self._seen: tuple[int, str, str] | None = None
        self._keep: tuple[int, str] | None = None
        self._wake = threading.Condition()
        self._told = 0.0
        self._ended = False
        self._cancelled = False
        sys.setswitchinterval(SWITCH)
        for work in (self._planning, self._keeping):
            threading.Thread(target=work, name=work.__name__, daemon=True).start()

    def want(self, number: int, text: str, faults: str = "none") -> None:
        """Plan this text next."""
        with self._wake:
            self._plan, self._cancelled = (number, text, faults), False
            self._wake.notify_all()

    def keep(self, number: int, text: str) -> None:
        """Write this text as the draft next."""
        with self._wake:
            self._keep = (number, text)
            self._wake.notify_all()

    def cancel(self) -> None:
        """Give up the run that is under way."""
        with self._wake:
            self._plan, self._cancelled = None, True

    def end(self) -> None:
        """Stop both threads after what they are at."""
        with self._wake:
            self._ended = True
            self._wake.notify_all()

    def _planning(self) -> None:
        while True:
            with self._wake:
                self._wake.wait_for(lambda: self._plan or self._ended)
                while self._plan and self._plan[0] and self._wake.wait_for(self._newer, QUIET):
                    self._seen = self._plan  # somebody is still typing
                wanted, self._plan = self._plan, None
            if wanted is None:
                return
            self._make(*wanted)

    def _newer(self) -> bool:
        return self._plan is not None and self._plan is not self._seen and not self._ended

    def _make(self, number: int, text: str, faults: str) -> None:
        """Read and plan one text. Whatever goes wrong is told on the screen, never raised into it."""
        entries = None
        try:
            entries = door.catalog(self.path.parent)
            job = door.read(text, self.path, entries)
            plan = door.planned(job, entries, faults, self._progress)
        except Stopped:
            return
        except Exception as error:  # noqa: BLE001 - a crash is no verdict; it is shown as what it is
            problems = door.problems_of(error)
            said = "" if problems else f"{type(error).__name__}: {error}"
            self.target.post_message(PlanFailed(number, problems or (), said, entries, faults))
        else:
            self.target.post_message(PlanReady(number, plan, faults))

    def _progress(self, done: int, total: int) -> None:
        with self._wake:
            if self._ended or self._cancelled or self._plan is not None:
                raise Stopped
        now = time.monotonic()
        if now - self._told >= TELL or done >= total:
            self._told = now
            self.target.post_message(Running(done, total))

    def _keeping(self) -> None:
        while True:
            with self._wake:
                self._wake.wait_for(lambda: self._keep or self._ended)
                wanted, self._keep = self._keep, None
            if wanted is None:
                return
            try:
                self.draft.write(*wanted)
            except OSError as error:
                self.target.post_message(DraftFailed(str(error)))
