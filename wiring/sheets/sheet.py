"""A sheet as a value: blocks of text, tables, drawings and labels under one head.

Every writer (PDF, HTML, text, CSV) reads this value and adds nothing of its own.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass, field
from typing import Literal

from wiring.model.commissioning import Outcome
from wiring.model.plan import Plan
from wiring.model.requirement import Requirement
from wiring.sheets.words import CAUTION, EXAMPLE, verdict_line


@dataclass(frozen=True, slots=True)
class Text:
    """One paragraph. strong: what must be read first; large: for a card read at arm's length."""

    text: str
    style: Literal["plain", "strong", "quiet", "large"] = "plain"


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading between blocks."""

    text: str


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under columns. empty: what stands in place of a table without rows; form: to fill in by hand;
    written: columns in which a hand fills the gaps."""

    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    title: str = ""
    empty: str = "none"
    form: bool = False
    written: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Labels:
    """Texts to print and fix, one label each, as lines; wide: for boxes, not for wires."""

    labels: tuple[tuple[str, ...], ...]
    title: str = ""
    wide: bool = False


@dataclass(frozen=True, slots=True)
class Figure:
    """A drawing on a page of its own. svg: one sheet; width, height [mm]; alt: what it shows in words."""

    title: str
    svg: str
    width: float
    height: float
    alt: str
    plain: str = ""  # the same matter as text


Block = Text | Heading | Table | Labels | Figure


@dataclass(frozen=True, slots=True)
class Head:
    """What stands on every sheet of a job."""

    job: str
    stage: str
    verdict: str
    digest: str
    revision: str
    date: str
    condition: str = ""  # "Holds only if ..." while the hoist type is not shown
    example: str = ""
    caution: str = CAUTION


@dataclass(frozen=True, slots=True)
class Sheet:
    """One section of the job pack. id: also its file name."""

    id: str
    title: str
    blocks: tuple[Block, ...]
    head: Head
    landscape: bool = False
    card: bool = False  # one page in large type


@dataclass(frozen=True, slots=True)
class Material:
    """Everything a sheet is made from. figures: drawings by name ("as-found", ...), one or more sheets
    each; outcomes: commissioning tests in working order with what was recorded for them;
    live_after: stops that leave a terminal of the receiver live; versions: programs and catalog entries;
    requirements: the clauses of the region as they are answered on this plan."""

    plan: Plan
    figures: dict[str, tuple[Figure, ...]] = field(default_factory=dict)
    outcomes: tuple[Outcome, ...] = ()
    live_after: tuple[str, ...] = ()
    versions: tuple[tuple[str, str], ...] = ()
    requirements: tuple[Requirement, ...] = ()


def figure_of(title: str, svg: str, width: float, height: float, alt: str, plain: str) -> Figure:
    """A drawing for the pack, without characters that change the direction of reading.

    title: what is drawn and the name of the sheet, as `as-found: power 1`.
    """
    kind, _, name = title.partition(": ")
    kind = kind.replace("-", " ").capitalize()
    words = name.capitalize() if name.startswith(kind.lower()) else f"{kind}: {name}"
    title = words if name not in ("", "circuit") else kind
    turning = {ord(c): None for c in set(svg) if unicodedata.category(c) == "Cf"}
    return Figure(title, svg.translate(turning) if turning else svg, width, height, alt, plain)


def head_of(plan: Plan) -> Head:
    """The head of every sheet of a plan."""
    job = plan.job
    return Head(
        job=job.title,
        stage=f"stage {plan.report.stage}, {job.region} rules",
        verdict=verdict_line(plan.report),
        digest=plan.digest,
        revision=job.revision or "not given",
        date=job.date.isoformat() if job.date else "undated",
        condition=plan.identity_sentence if plan.identity != "shown" else "",
        example=EXAMPLE if job.example else "",
    )


def said(value: object, missing: str = "not stated") -> str:
    """A fact of the job as text; `missing` where nobody stated it."""
    if value is None or value == "":
        return missing
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)
