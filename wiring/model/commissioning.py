"""Commissioning: a test with what is expected of it, and what its record says."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from wiring.model.job import Record

Answer = Literal["accept", "reject", "repeat", "missing"]


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to measure or to see on the converted hoist.

    id: as in `[[record]]` ("release-up"); group: heading, in working order; answers: the
    word by which requirements name it ("release"); subject: part, motion or input.
    wanted: the expectation as the paper prints it. kind: quantity of `files.quantity`
    that is written ("time", "voltage", ...), "" where the answer is a word of `words`.
    low, high: what is accepted [SI]; nominal: what the simulation expects [SI];
    likely_low, likely_high: the band of that expectation. Outside the band but inside
    the limits a result stands with a remark. rests_on: weak values behind the band.
    supply: True where the figure moves with the supply voltage of the day.
    """

    id: str
    group: str
    answers: str
    do: str
    wanted: str
    subject: str = ""
    kind: str = ""
    low: float | None = None
    high: float | None = None
    nominal: float | None = None
    likely_low: float | None = None
    likely_high: float | None = None
    words: tuple[str, ...] = ()
    wrong: tuple[str, ...] = ()  # answers that are refused, beside the usual ones
    source: str = ""
    basis: str = ""
    rests_on: tuple[str, ...] = ()
    supply: bool = False
    impedance: complex | None = None  # of the subject, to turn missing volts into ohms [ohm]


@dataclass(frozen=True, slots=True)
class Outcome:
    """A step and what was recorded: accept, reject, repeat (the plan changed, or it cannot be read),
    or missing.

    why: one sentence; causes: likely ones, best first; next: what to do; changed: which
    parts of the plan changed since the record.
    """

    step: Step
    record: Record | None
    answer: Answer
    why: str
    causes: tuple[str, ...] = ()
    next: str = ""
    changed: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Explanation:
    """Faults that show the same in everything seen. misses: observations where they show something
    else; distance: how far the figures are off, in tolerances; differs: those observations, in words."""

    faults: tuple[str, ...]
    kind: str
    misses: int
    distance: float
    differs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Diagnosis:
    """alarms: observations that are not what the sound circuit shows (none: nothing to explain);
    explanations: best first; observed: how many observations there were; next: what to look at to
    tell the best ones apart, empty where nothing does; probe: its id."""

    alarms: tuple[str, ...]
    explanations: tuple[Explanation, ...]
    observed: int = 0
    next: str = ""
    probe: str = ""
