"""Two plans of one hoist beside each other: what changed, and what that voids."""

from __future__ import annotations

from dataclasses import dataclass

from wiring.model.behaviour import Difference
from wiring.model.plan import Plan


@dataclass(frozen=True, slots=True)
class Compared:
    """Old against new.

    removed, added: part names; moved: (part, old pins, new pins); set: (value id, old,
    new figure); verdicts: (rule, subject, old, new word); motions: states in which the
    converted hoist moves differently; events: what ends worse or better, as sentences;
    parts: which of circuit, ratings, settings, catalog changed; approvals: by whom, void
    now; records: tests to repeat. circuits: False where one of the two has none.
    """

    old: Plan
    new: Plan
    circuits: bool
    removed: tuple[str, ...] = ()
    added: tuple[str, ...] = ()
    moved: tuple[tuple[str, str, str], ...] = ()
    set: tuple[tuple[str, str, str], ...] = ()
    verdicts: tuple[tuple[str, str, str, str], ...] = ()
    motions: tuple[Difference, ...] = ()
    events: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()
    approvals: tuple[str, ...] = ()
    records: tuple[str, ...] = ()

    @property
    def same(self) -> bool:
        """True where nothing that a person approved or measured has changed."""
        return self.old.digest == self.new.digest
