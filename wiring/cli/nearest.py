"""The word that was most likely meant."""

from __future__ import annotations

import difflib
from collections.abc import Iterable


def hint(word: str, words: Iterable[str]) -> str:
    """`; nearest: WORD` for a message, an empty text where none is like it."""
    near = difflib.get_close_matches(word, list(words), 1)
    return f"; nearest: {near[0]}" if near else ""
