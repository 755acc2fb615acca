"""What every part of the screen is shown: the job text and, where there is one, its plan."""

from __future__ import annotations

from dataclasses import dataclass

from tui.openjob import OpenJob
from wiring.model.entry import Catalog
from wiring.model.finding import Problem
from wiring.model.plan import Plan


@dataclass
class Sight:
    """number: of the text that plan or problems belong to; planning: a newer one is under way."""

    open: OpenJob
    catalog: Catalog | None = None
    plan: Plan | None = None
    problems: tuple[Problem, ...] = ()
    error: str = ""
    number: int = -1
    earlier: Plan | None = None  # the plan before the last edit

    @property
    def fresh(self) -> bool:
        """Whether plan and problems belong to the text that is shown."""
        return self.number == self.open.number

    def problem_at(self, path: str) -> Problem | None:
        """The problem of exactly this key, where the last run named one."""
        return next((p for p in self.problems if p.key == path), None)
