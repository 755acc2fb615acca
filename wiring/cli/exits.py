"""Exit codes: one meaning each, the same in every command."""

from __future__ import annotations

OK = 0
FAIL = 1
BAD_INPUT = 2
UNKNOWN = 3
INTERNAL = 70
INTERRUPTED = 130

OF_VERDICT = {"pass": OK, "fail": FAIL, "unknown": UNKNOWN, "not-applicable": UNKNOWN}

# several files: the first of these that applies
ORDER = (INTERNAL, BAD_INPUT, FAIL, UNKNOWN, OK)


def worst(codes: list[int]) -> int:
    """The code of several files together."""
    return next((code for code in ORDER if code in codes), OK)
