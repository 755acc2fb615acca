"""The job on the desk: its text, what was saved, and the way back. No screen in it."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from tui import door

KEPT = 200  # steps back that are kept


@dataclass(frozen=True, slots=True)
class Past:
    """A text that was, and what was done to it."""

    text: str
    what: str


@dataclass
class OpenJob:
    """The TOML text is the only state; everything shown is read from it."""

    path: Path
    text: str
    saved: str
    number: int = 0  # grows with every change
    past: list[Past] = field(default_factory=list)
    future: list[Past] = field(default_factory=list)
    _read: tuple[str, dict[str, Any] | None, str] | None = None

    @property
    def dirty(self) -> bool:
        return self.text != self.saved

    @property
    def data(self) -> dict[str, Any] | None:
        """The text as plain data, None where it is no TOML."""
        return self._parsed()[1]

    @property
    def syntax(self) -> str:
        """What is wrong with the text as TOML, or an empty text."""
        return self._parsed()[2]

    def _parsed(self) -> tuple[str, dict[str, Any] | None, str]:
        if self._read is None or self._read[0] != self.text:
            try:
                self._read = (self.text, tomllib.loads(self.text), "")
            except (tomllib.TOMLDecodeError, RecursionError) as error:
                self._read = (self.text, None, str(error))
        return self._read

    def edit(self, edits: Iterable[Any], what: str) -> bool:
        """Do edits; False where they change nothing. Raises InputError, ValueError."""
        return self.put(door.edited(self.text, edits), what)

    def put(self, text: str, what: str) -> bool:
        """Take a new text; False where it is the same."""
        if text == self.text:
            return False
        self.past.append(Past(self.text, what))
        del self.past[:-KEPT]
        self.future.clear()
        self._take(text)
        return True

    def undo(self) -> str | None:
        """Go one step back. Returns what was undone, None at the beginning."""
        return self._move(self.past, self.future)

    def redo(self) -> str | None:
        """Go one step forward again. Returns what was done, None at the end."""
        return self._move(self.future, self.past)

    def _move(self, source: list[Past], target: list[Past]) -> str | None:
        if not source:
            return None
        one = source.pop()
        target.append(Past(self.text, one.what))
        self._take(one.text)
        return one.what

    def _take(self, text: str) -> None:
        self.text = text
        self.number += 1

    def at(self, path: str) -> Any:
        """The plain value at a key path, None where there is none."""
        here: Any = self.data
        for step in path.split("."):
            if isinstance(here, dict):
                here = here.get(step)
            elif isinstance(here, list) and step.isdigit() and int(step) < len(here):
                here = here[int(step)]
            else:
                return None
        return here
