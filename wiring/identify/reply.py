"""What a person types as an answer: `0.3`, `1.2 k`, `OL`, `climbs`, `skip`, `no button`."""

from __future__ import annotations

import re
from typing import Literal

from wiring.identify.meter import Answer

ALLOWED = 'ohms such as 0.3, "1.2 k" or "2 M"; OL; climbs; drops; skip; no button'
_NUMBER = re.compile(r"([0-9]+(?:[.,][0-9]+)?)\s*([kKM]?)\s*(?:ohms?|Ω|Ω)?")
_VOLTS = re.compile(r"([0-9]+(?:[.,][0-9]+)?)\s*[vV]?(?:olts?)?")
_WORDS = {
    "ol": "OL", "open": "OL", "o.l": "OL", "0l": "OL", "inf": "OL",
    "climbs": "climbs", "climb": "climbs", "rises": "climbs", "drops": "drops", "falls": "drops",
}  # fmt: skip


class ReplyError(ValueError):
    """An answer that cannot be read. The message names what is allowed."""


def parse_reply(text: str, live: bool = False) -> Answer | Literal["skip", "no button"]:
    """An answer as typed, leads not yet subtracted. live: a number is volts.

    Raises ReplyError for anything else; a beep is no answer.
    """
    bare = " ".join(text.strip().split())
    lower = bare.lower().rstrip(".")
    if lower in ("skip", "s"):
        return "skip"
    if lower in ("no button", "no such button", "none"):
        return "no button"
    if lower in _WORDS:
        return Answer(word=_WORDS[lower])
    if live:
        match = _VOLTS.fullmatch(bare)
        if match:
            return Answer(volts=float(match[1].replace(",", ".")))
        raise ReplyError(f"found {bare[:40]!r}; allowed: volts such as 24, drops, skip")
    match = _NUMBER.fullmatch(bare)
    if match:
        scale = {"": 1.0, "k": 1e3, "K": 1e3, "M": 1e6}[match[2]]
        return Answer(ohms=float(match[1].replace(",", ".")) * scale)
    hint = "; a beep is no reading: read the number" if "beep" in lower else ""
    raise ReplyError(f"found {bare[:40]!r}; allowed: {ALLOWED}{hint}")
