"""A clause of the region as it is answered on one job."""

from __future__ import annotations

from dataclasses import dataclass

from wiring.model.entry import Clause

#: Worst first: of several answers to one clause the first of these stands.
STATES = ("objection", "unknown", "open question", "to show", "your answer", "met", "not applicable")


@dataclass(frozen=True, slots=True)
class Reply:
    """One source of an answer. by: a rule's id, "proof", "test release" or "question"; says: its words."""

    by: str
    state: str
    says: str = ""


@dataclass(frozen=True, slots=True)
class Requirement:
    """A clause, what answers it here, and how it stands (one of `STATES`)."""

    clause: Clause
    replies: tuple[Reply, ...]
    state: str
