"""Questions that only a person can answer, and where the job keeps the answers."""

from __future__ import annotations

from wiring.check.case import Case


def answered(case: Case, requirement: str) -> str:
    """The text of the last `[[answer]]` to a question, empty where nobody answered."""
    found = [a.text.strip() for a in case.job.answers if a.requirement == requirement]
    return found[-1] if found else ""


def refused(text: str) -> bool:
    """True where the answer says that there is none."""
    return text.strip().lower() in ("no", "none", "nothing", "-")
