"""Text that fits: our own width rule, wrapping and cutting, and characters a drawing can carry.

The pinned face is DejaVu Sans Mono: every character is 0.602 of the size wide
(its advance is 1233 of 2048 units), so widths are known without a renderer.
"""

from __future__ import annotations

import unicodedata
from functools import lru_cache

FACE = "DejaVu Sans Mono"
ADVANCE = 1233 / 2048
ASCENT, DESCENT = 0.76, 0.24  # of the size: highest capital and deepest tail, with a little air
NO_BREAK = "\u00a0"


def clean(text: str) -> str:
    """The text without control and direction-changing characters, line breaks as spaces."""
    if text.isascii() and text.isprintable():
        return text
    kept = (" " if c in "\n\r\t" else c for c in text)
    return "".join(c for c in kept if unicodedata.category(c) not in ("Cc", "Cf", "Cs", "Co", "Cn"))


def width(text: str, size: float) -> float:
    """Width of one line [mm]. Wide (East Asian) characters count double."""
    if text.isascii():
        return len(text) * ADVANCE * size
    return _cells(text) * ADVANCE * size


@lru_cache(8192)
def _cells(text: str) -> int:
    return sum(2 if unicodedata.east_asian_width(c) in "WF" else 1 for c in text)


def cut(text: str, room: float, size: float) -> str:
    """The text, or as much of it as fits `room` [mm] with an ellipsis at its end."""
    text = clean(text)
    if width(text, size) <= room + 1e-6:
        return text
    while text and width(text + "…", size) > room + 1e-6:
        text = text[:-1]
    return text.rstrip() + "…" if text else ""


def wrap(text: str, room: float, size: float, lines: int = 99) -> tuple[str, ...]:
    """Lines that fit `room` [mm]; words too long are broken; past `lines` the last one is cut.

    Words with NO_BREAK between them stay on one line, and have a plain space there in the end.
    """
    done: list[str] = []
    line = ""
    for word in filter(None, clean(text).split(" ")):
        trial = f"{line} {word}" if line else word
        if width(trial, size) <= room + 1e-6:
            line = trial
            continue
        if line:
            done.append(line)
        while width(word, size) > room + 1e-6 and len(word) > 1:
            head = _head(word, room, size)
            done.append(head)
            word = word[len(head) :]
        line = word
    if line:
        done.append(line)
    if len(done) > lines:
        done = [*done[: lines - 1], cut(" ".join(done[lines - 1 :]), room, size)]
    return tuple(line.replace(NO_BREAK, " ") for line in done)


def _head(word: str, room: float, size: float) -> str:
    """The longest beginning of a word that fits, at least one character."""
    count = len(word)
    while count > 1 and width(word[:count], size) > room + 1e-6:
        count -= 1
    return word[:count]
