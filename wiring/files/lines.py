"""On which line every key of a TOML text stands.

The reading itself is done by the standard library, which keeps no positions.
This scanner only walks over a text that has already been read without error,
so it can be short: it never has to judge, only to find keys.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterator, Mapping

_BLANK = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_KEY = re.compile(r'[ \t]*("(?:[^"\\\n]|\\.)*"|\'[^\'\n]*\'|[A-Za-z0-9_-]+)[ \t]*')
_STRING = re.compile(r'"""(?:[^\\]|\\.)*?"{3,5}|\'\'\'.*?\'{3,5}|"(?:[^"\\\n]|\\.)*"|\'[^\'\n]*\'', re.DOTALL)
_PLAIN = re.compile(r"[^,\]}\n#]+")


def line_of(text: str) -> dict[str, int]:
    """Key path ("connection.3.from") to line number (1-based), for a valid TOML text."""
    return _Scanner(text).run()


def line_for(path: str, lines: Mapping[str, int]) -> int:
    """The line of a key path, or of its nearest parent that has one; 0 for the file as a whole."""
    while path:
        if path in lines:
            return lines[path]
        path = path.rpartition(".")[0]
    return 0


class Lines(Mapping[str, int]):
    """The lines of a text, scanned when first asked for: a file without a problem needs none."""

    def __init__(self, text: str) -> None:
        self._text = text
        self._found: dict[str, int] | None = None

    def all(self) -> dict[str, int]:
        if self._found is None:
            self._found = line_of(self._text)
        return self._found

    def __getitem__(self, path: str) -> int:
        return self.all()[path]

    def __iter__(self) -> Iterator[str]:
        return iter(self.all())

    def __len__(self) -> int:
        return len(self.all())


class _Scanner:
    """One walk over a text. at: where we are; lines: what was found so far."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.starts = [0, *(found.end() for found in re.finditer("\n", text))]
        self.lines: dict[str, int] = {}
        self.counts: dict[str, int] = {}  # entries of each array of tables so far

    def run(self) -> dict[str, int]:
        prefix = ""
        while True:
            self.blank()
            if self.at >= len(self.text):
                return self.lines
            prefix = self.header() if self.text[self.at] == "[" else self.pair(prefix)

    def header(self) -> str:
        """`[a.b]` or `[[a.b]]`: the path that the keys below belong to."""
        start = self.at
        array = self.text.startswith("[[", start)
        self.at += 2 if array else 1
        keys = self.keys()
        self.at += 2 if array else 1
        path = ""
        for place, key in enumerate(keys):
            path = f"{path}.{key}" if path else key
            last = place == len(keys) - 1
            if array and last:
                self.counts[path] = self.counts.get(path, -1) + 1
                self.note(path, start)
            if path in self.counts:
                path = f"{path}.{self.counts[path]}"
        self.note(path, start)
        return path

    def pair(self, prefix: str) -> str:
        """`key = value` below a header; returns the header's path unchanged."""
        start = self.at
        path = ".".join(filter(None, (prefix, *self.keys())))
        self.note(path, start)
        self.at += 1  # the equals sign
        self.value(path)
        return prefix

    def value(self, path: str) -> None:
        self.blank()
        first = self.text[self.at] if self.at < len(self.text) else ""
        if first in "\"'" and first:
            found = _STRING.match(self.text, self.at)
            self.at = found.end() if found else len(self.text)
        elif first == "[":
            self.items(path)
        elif first == "{":
            self.table(path)
        else:
            found = _PLAIN.match(self.text, self.at)
            self.at = found.end() if found else self.at + 1

    def items(self, path: str) -> None:
        """`[a, b]`: each item under its number."""
        self.at += 1
        index = 0
        while self.more("]"):
            self.note(f"{path}.{index}", self.at)
            self.value(f"{path}.{index}")
            index += 1

    def table(self, path: str) -> None:
        """`{ a = 1 }`: each key under the path."""
        self.at += 1
        while self.more("}"):
            self.pair(path)

    def more(self, end: str) -> bool:
        """Step over blanks and a comma; False (and over the bracket) at the end."""
        self.blank()
        if self.text.startswith(",", self.at):
            self.at += 1
            self.blank()
        if self.at >= len(self.text) or self.text[self.at] == end:
            self.at += 1
            return False
        return True

    def keys(self) -> list[str]:
        """A dotted key as its parts."""
        found: list[str] = []
        while match := _KEY.match(self.text, self.at):
            self.at = match.end()
            key = match[1]
            found.append(key[1:-1] if key[0] in "\"'" else key)
            if not self.text.startswith(".", self.at):
                break
            self.at += 1
        return found

    def blank(self) -> None:
        found = _BLANK.match(self.text, self.at)
        self.at = found.end() if found else self.at

    def note(self, path: str, at: int) -> None:
        self.lines.setdefault(path, bisect_right(self.starts, at))
