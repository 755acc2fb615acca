"""What a rule hands to the runner: one draft per subject, before stage, provenance and rests-on.

A rule knows the trade; it does not know stages, sorting or which values are
weak. `compared` is the one place where a number meets its limit.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from wiring.check.verdict import holds, margin_of
from wiring.files.quantity import show
from wiring.model.finding import Verdict


class Missing(Exception):
    """A fact that the job does not give. key: what to state; how: how to find it."""

    def __init__(self, key: str, how: str = "") -> None:
        super().__init__(key)
        self.key = key
        self.how = how


@dataclass(frozen=True, slots=True)
class Draft:
    """One answer of a rule about one subject.

    key: the job key it is about (for file and line); due, danger: only where
    this finding differs from its rule; source: only where it is not the rule's.
    """

    subject: str
    verdict: Verdict
    found: str
    wanted: str = ""
    about: str = "after"
    measured: float | None = None
    limit: float | None = None
    sense: str | None = None
    unit: str | None = None
    margin: float | None = None
    remedies: tuple[str, ...] = ()
    key: str = ""
    path: str = ""
    source: str = ""
    basis: str = ""
    due: str = ""
    danger: int = 0


def passed(subject: str, found: str, wanted: str = "", *, about: str = "after", key: str = "", path: str = "",
           source: str = "", basis: str = "") -> Draft:  # fmt: skip
    """No objection."""
    return Draft(subject, Verdict.PASS, found, wanted, about, key=key, path=path, source=source, basis=basis)


def failed(subject: str, found: str, wanted: str, *remedies: str, about: str = "after", key: str = "",
           path: str = "", source: str = "", danger: int = 0) -> Draft:  # fmt: skip
    """An objection with what was wanted and what to do, cheapest first."""
    return Draft(subject, Verdict.FAIL, found, wanted, about, remedies=remedies, key=key, path=path,
                 source=source, danger=danger)  # fmt: skip


def unknown(subject: str, found: str, wanted: str, *remedies: str, about: str = "after", key: str = "",
            path: str = "", source: str = "", due: str = "") -> Draft:  # fmt: skip
    """Not answerable; `key` names what to state and the first remedy how to find it."""
    return Draft(subject, Verdict.UNKNOWN, found, wanted, about, remedies=remedies, key=key, path=path,
                 source=source, due=due)  # fmt: skip


def with_number(
    draft: Draft, measured: float, unit: str, sense: str = "at-most", limit: float | None = None
) -> Draft:
    """The same answer with the number it rests on, in an SI word; limit None where none is stated."""
    margin = None
    if limit:
        margin = (measured - limit) / limit if sense == "at-least" else (limit - measured) / limit
    return replace(draft, measured=measured, unit=unit, sense=sense, limit=limit, margin=margin)


def not_applicable(subject: str, found: str, *, about: str = "after") -> Draft:
    """The rule has nothing to judge here."""
    return Draft(subject, Verdict.NOT_APPLICABLE, found, "", about)


def lacking(subject: str, missing: Missing, about: str = "after") -> Draft:
    """Unknown because a fact is absent, naming its key and how to find it."""
    found = f"{missing.key} is not stated"
    return unknown(subject, found, "the value and where it comes from", missing.how or f"state {missing.key}",
                   about=about, key=missing.key)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Comparison:
    """A measured number, its limit and how they compare once printed."""

    measured: float
    limit: float
    sense: str  # at-most | at-least
    unit: str
    shown: str = ""  # unit word of the printed pair, where the SI word prints too few digits

    @property
    def ok(self) -> bool:
        """True where the measured value keeps its limit."""
        return holds(self.measured, self.limit, self.sense, self.shown or self.unit)


def compared(subject: str, comparison: Comparison, found: str, wanted: str, *remedies: str,
             about: str = "after", key: str = "", path: str = "", source: str = "") -> Draft:  # fmt: skip
    """Pass or fail by the printed pair of a measured value and its limit."""
    c = comparison
    ok = c.ok
    toward = "up" if c.sense == "at-most" else "down"
    word = c.shown or c.unit
    pair = f"{show(c.measured, word, toward=toward)} {c.sense.replace('-', ' ')} {show(c.limit, word)}"
    return Draft(
        subject,
        Verdict.PASS if ok else Verdict.FAIL,
        found,
        wanted,
        about,
        measured=c.measured,
        limit=c.limit,
        sense=c.sense,
        unit=c.unit,
        margin=margin_of(c.measured, c.limit, c.sense),
        remedies=() if ok else remedies,
        key=key,
        path=path or pair,
        source=source,
    )
