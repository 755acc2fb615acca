"""Circuits of a few parts and states that are given, not simulated: for the edges of single rules."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType
from typing import Any

from tests.check.made import job
from wiring.check import RULES
from wiring.check.case import Case, Facts
from wiring.check.draft import Draft
from wiring.files import load_catalog
from wiring.model.behaviour import Behaviour, Settled, Truth
from wiring.model.circuit import Circuit, Part
from wiring.model.job import Job
from wiring.model.value import certain

CATALOG = load_catalog()
_FIELDS = ("form", "by", "role", "rect", "cable", "number", "owner")


def part(name: str, kind: Any, pins: str, **more: Any) -> Part:
    """A part; pins separated by blanks; what is a number becomes a stated value."""
    fields = {k: more.pop(k) for k in _FIELDS if k in more}
    numbers = {k: certain(f"{name}.{k}", float(v), "1", "stated", "made") for k, v in more.items()}
    return Part(name, kind, tuple(pins.split()), fields.pop("owner", "hoist"), values=numbers, **fields)


def circuit(*parts: Part, about: Any = "after", **more: Any) -> Circuit:
    return Circuit(about, more.pop("points", ()), parts, more.pop("inputs", ()), **more)


def state(*names: str, **more: Any) -> Settled:
    """A settled state: what is operated, and what then holds."""
    maps = {k: MappingProxyType(more.pop(k)) for k in ("volts", "potential", "torque", "amps") if k in more}
    lists = {k: tuple(more.pop(k, "").split()) for k in ("energised", "closed", "brakes_open", "blown")}
    return Settled(frozenset(names), motions=more.pop("motions", ()), **lists, **maps, **more)


def facts(
    after: Circuit,
    *states: Settled,
    before: Circuit | None = None,
    was: tuple[Settled, ...] = (),
    given: Job | None = None,
    **shown: Any,
) -> Facts:
    """Facts in which these are the settled states; was: those of the circuit as found."""
    none = Truth(True, 0, ())
    seen = Behaviour(none, none, (), (), None, (), (), (), (), 0.0, was, states)
    old = before or replace(after, about="before")
    return Facts(given or job(), CATALOG, old, after, replace(seen, **shown))


def case(rule: str, given: Facts) -> Case:
    return Case(replace(given, cache={}), RULES[rule].danger)


def drafts(rule: str, given: Facts) -> list[Draft]:
    """What a rule says of the facts."""
    return list(RULES[rule].check(case(rule, given)))


def verdicts(rule: str, given: Facts) -> dict[str, str]:
    """Verdict by subject."""
    return {d.subject: str(d.verdict) for d in drafts(rule, given)}
