"""The one-off relay check: one contact, one load, an answer for each thing a contact must do."""

from __future__ import annotations

from dataclasses import dataclass

from wiring.model.finding import Finding, Verdict


@dataclass(frozen=True, slots=True)
class RatingAnswer:
    """One category ("make", "break", ...) with the finding that decides it.

    missing: figures that nobody gave, each with the way to write it.
    """

    category: str
    finding: Finding
    missing: tuple[str, ...] = ()

    @property
    def verdict(self) -> Verdict:
        """That of its finding."""
        return self.finding.verdict


@dataclass(frozen=True, slots=True)
class OneOff:
    """The whole check. contact, load: as written; taken_as: what was assumed where the text is silent."""

    contact: str
    load: str
    region: str
    taken_as: tuple[str, ...]
    verdict: Verdict
    answers: tuple[RatingAnswer, ...]
    not_checked: tuple[str, ...]
