"""A recalled figure that a job uses, and what is known of its confirmation."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Recalled:
    """One value of basis memory. id: its address; ours [unit, an SI word]; source: as recalled.

    about: the row in words; rules: that used it; decides: those whose verdict rests on it; danger: the
    smallest of the rules that used it, so two names where it is 1 or 2. state: "to read", "confirmed",
    or why a confirmation does not hold; theirs: the number that was read; by, second, place: who and where.
    """

    id: str
    ours: float
    unit: str
    source: str
    about: str
    rules: tuple[str, ...]
    decides: tuple[str, ...]
    danger: int
    state: str = "to read"
    theirs: float | None = None
    by: str = ""
    second: str = ""
    place: str = ""

    @property
    def names(self) -> int:
        """How many readers the confirmation needs."""
        return 2 if self.danger <= 2 else 1

    @property
    def differs(self) -> float | None:
        """How far theirs is from ours as a share of ours; None without one, or where ours is 0."""
        if self.theirs is None or self.ours == 0:
            return None
        return (self.theirs - self.ours) / self.ours
