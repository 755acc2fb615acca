"""What a rule says: one finding per rule and subject, and the verdict words."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Verdict(StrEnum):
    """The four answers of a rule, and the mark for one that is not due yet."""

    PASS = "pass"
    FAIL = "fail"
    UNKNOWN = "unknown"
    NOT_APPLICABLE = "not-applicable"
    TO_SHOW = "to-show"


STAGES = ("design", "installed", "commissioned", "hand-over")


@dataclass(frozen=True, slots=True)
class Finding:
    """One answer of one rule about one subject.

    measured, limit, margin: numbers in `unit` (SI word), None where there is no
    number; sense: "at-most" | "at-least" | None. margin is (limit - measured) /
    limit for at-most and (measured - limit) / limit for at-least. rests_on: ids of
    the weak values the verdict stands on. path: the computation in one line.
    remedies: cheapest first; remedy is the first of them.
    """

    rule: str
    subject: str
    about: str
    verdict: Verdict
    due: str
    danger: int
    found: str
    wanted: str
    measured: float | None = None
    limit: float | None = None
    sense: str | None = None
    unit: str | None = None
    margin: float | None = None
    source: str = ""
    basis: str = ""
    rests_on: tuple[str, ...] = ()
    remedies: tuple[str, ...] = ()
    where: str = ""
    path: str = ""
    values: tuple[str, ...] = ()  # every table row or part property used: id = number unit (basis: source)

    @property
    def remedy(self) -> str:
        """The cheapest next step, or an empty text."""
        return self.remedies[0] if self.remedies else ""


@dataclass(frozen=True, slots=True)
class Problem:
    """Something wrong with an input file: where, what was found, what is allowed."""

    file: str
    line: int
    key: str
    found: str
    allowed: str
    nearest: str = ""

    def __str__(self) -> str:
        hint = f"; nearest: {self.nearest}" if self.nearest else ""
        place = f"{self.file}:{self.line}" if self.line else self.file  # none where there is no such file
        return f"{place}: {self.key}: found {self.found}; allowed: {self.allowed}{hint}"
