"""A rule: facts about itself, and one function from the case to drafts.

The five texts (checks, danger, needs, does not cover, source) are the user's
page, printed by `holdrun rules ID` and shown in the findings screen.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from wiring.check.draft import Draft
from wiring.model.finding import STAGES
from wiring.model.value import Basis

if TYPE_CHECKING:
    from wiring.check.case import Case

Region = Literal["us", "iec", "both"]
Check = Callable[["Case"], Iterable[Draft]]
#: What must be there before a rule can be asked at all.
Wants = Literal["job", "before", "circuit", "behaviour", "faults"]


@dataclass(frozen=True, slots=True)
class Source:
    """A clause, standard or practice that a rule rests on, and how it is known."""

    text: str
    basis: Basis
    region: Region = "both"


def _but(source: Source) -> str:
    """Said where a part of a source that was read is marked as known from memory only."""
    return ", but for what is recalled" if source.basis == "read" and "recalled" in source.text else ""


def us(text: str, basis: Basis = "read") -> Source:
    """A source of the us rules."""
    return Source(text, basis, "us")


def iec(text: str, basis: Basis = "read") -> Source:
    """A source of the iec rules."""
    return Source(text, basis, "iec")


def both(text: str, basis: Basis = "derived") -> Source:
    """A source of both rule sets."""
    return Source(text, basis, "both")


@dataclass(frozen=True, slots=True)
class Rule:
    """One check. danger 1 moves, drops or cannot be stopped; 2 shock or fire; 3 damage; 4 papers."""

    id: str
    title: str
    danger: int
    hazard: str
    stage: str
    wants: Wants
    sources: tuple[Source, ...]
    checks: str
    needs: str
    does_not_cover: str
    check: Check
    faults_too: bool = False  # looks at the faults where they were run

    @property
    def regions(self) -> tuple[str, ...]:
        """Regions in which this is asked: where it has a source, or one for both."""
        named = {s.region for s in self.sources}
        return ("us", "iec") if "both" in named else tuple(sorted(named, reverse=True))

    @property
    def source(self) -> str:
        """All its clauses, each with its region where it has one and its basis."""
        marks = {"us": "us: ", "iec": "iec: ", "both": ""}
        return "; ".join(f"{marks[s.region]}{s.text} [{s.basis}{_but(s)}]" for s in self.sources)

    def source_for(self, region: str) -> str:
        """Its clauses for one region, none of the other."""
        return "; ".join(s.text for s in self.sources if s.region in (region, "both"))

    def basis_for(self, region: str) -> str:
        """The weakest basis among the region's clauses."""
        rank = ("placeholder", "memory", "practice", "stated", "derived", "read")
        found = {s.basis for s in self.sources if s.region in (region, "both")}
        return next((b for b in rank if b in found), "derived")


def rule(
    id: str,
    title: str,
    *,
    danger: int,
    hazard: str,
    sources: tuple[Source, ...],
    checks: str,
    needs: str,
    does_not_cover: str,
    stage: str = "design",
    wants: Wants = "circuit",
    faults_too: bool = False,
) -> Callable[[Check], Rule]:
    """Make a rule of a function. Raises ValueError for one without source, text, danger or stage."""

    def make(check: Check) -> Rule:
        texts = (id, title, hazard, checks, needs, does_not_cover)
        if not sources or not all(s.text.strip() for s in sources):
            raise ValueError(f"rule {id} has no source")
        if not all(t.strip() for t in texts) or danger not in (1, 2, 3, 4) or stage not in STAGES:
            raise ValueError(f"rule {id} lacks a text, a danger from 1 to 4 or a stage")
        return Rule(
            id, title, danger, hazard, stage, wants, sources, checks, needs, does_not_cover, check, faults_too
        )

    return make
