"""What a meter session says of its readings: the same words on the command line and on the screens."""

from __future__ import annotations

from collections.abc import Iterable

CROSSED = (
    "The opened limit acts on the core of the opposite button: labels or cores are crossed. "
    "Nothing is written as a role; have it looked at."
)


def contradiction(readings: Iterable[int], repeat: int, place: str, certain: bool) -> tuple[str, str]:
    """Which readings cannot all be true, and which one to repeat.

    readings, repeat: counted from 0; place: the reading to repeat in words; certain: the
    others have settled the question, so that it is known which one was wrong.
    """
    numbers = ", ".join(str(number + 1) for number in readings)
    if certain:
        last = f"Number {repeat + 1} was wrong, so all others say: {place}."
    else:
        last = f"To repeat, if it is not asked for by itself: number {repeat + 1}, {place}."
    return f"Readings {numbers} cannot all be true.", last
