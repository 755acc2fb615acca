"""The draft beside a job file: what was typed and not yet saved, for the next start after a crash."""

from __future__ import annotations

import datetime
import threading
from dataclasses import dataclass
from pathlib import Path

from tui import door


def draft_path(file: Path) -> Path:
    """`.malt.toml.draft` beside `malt.toml`."""
    return file.with_name(f".{file.name}.draft")


@dataclass(frozen=True, slots=True)
class Found:
    """A draft that is there and differs from its file."""

    path: Path
    text: str
    when: datetime.datetime


def found(file: Path, text: str) -> Found | None:
    """The draft of a file whose content is `text`, None where there is none or it says the same."""
    path = draft_path(file)
    try:
        kept = path.read_bytes().decode("utf-8")
        when = datetime.datetime.fromtimestamp(path.stat().st_mtime)
    except (OSError, UnicodeDecodeError):
        return None
    return None if kept == text else Found(path, kept, when)


class Draft:
    """Writes drafts, whole and in order. Safe to call from several threads."""

    def __init__(self, file: Path) -> None:
        self.path = draft_path(file)
        self._lock = threading.Lock()
        self._written = -1

    def write(self, number: int, text: str) -> None:
        """Write the text unless a newer one is already there. Raises OSError."""
        with self._lock:
            if number > self._written:
                door.write(self.path, text)
                self._written = number

    def drop(self, number: int) -> None:
        """The file itself says it now: take the draft away, and write none older than this."""
        with self._lock:
            self._written = max(self._written, number)
            self.path.unlink(missing_ok=True)
