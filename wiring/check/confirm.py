"""Confirmed figures: the number a person read in the book replaces the recalled one."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable

from wiring.files.quantity import to_si
from wiring.model.job import Confirm
from wiring.model.value import Value, certain

_NUMBER = re.compile(r"\s*([+-]?\d+(?:\.\d+)?(?:[eE][+-]?\d+)?)\s*(.*?)\s*$")

#: From this danger down one reader is not enough.
TWO_READERS = 2


def confirmed(value: Value, confirms: Iterable[Confirm], danger: int) -> Value:
    """`value`, or what the job's `[[confirm]]` puts in its place.

    The first row about it that holds counts. Where none does the recalled value
    stands and its source says why.
    """
    why = ""
    for confirm in confirms:
        if confirm.entry != value.id:
            continue
        why = objection(confirm, value, danger)
        number = number_of(confirm.is_, value.unit)
        if not why and number is not None:
            return certain(value.id, number, value.unit, "read", _source(confirm, value, number))
    if not why:
        return value
    return Value(value.id, value.si, value.unit, value.basis, f"{value.source}; {why}", value.low, value.high)


def objection(confirm: Confirm, value: Value, danger: int) -> str:
    """Why a confirmation of this value does not hold for a rule of that danger, "" where it does."""
    if number_of(confirm.is_, value.unit) is None:
        return f"the confirmation {confirm.is_!r} is no figure in {value.unit}"
    if not confirm.by or not confirm.source:
        missing = "who read it" if not confirm.by else "the edition and place"
        return f"a confirmation does not say {missing}"
    if confirm.ours is not None and not _same(number_of(confirm.ours, value.unit), value.si):
        return f"a confirmation is void: it was given while this entry said {confirm.ours}"
    if danger <= TWO_READERS and _person(confirm.second) in ("", _person(confirm.by)):
        return f"read once by {confirm.by}, a second name is missing"
    return ""


def _source(confirm: Confirm, value: Value, number: float) -> str:
    """Where the number is from, who read it, and how ours differs."""
    second = confirm.second if _person(confirm.second) != _person(confirm.by) else None
    names = f"{confirm.by} and {second}" if second else confirm.by
    note = f"{confirm.source}, read by {names}"
    return note if number == value.si else f"{note}; the catalog has {value.si:g} {value.unit}"


def _person(name: str | None) -> str:
    """A name for comparing: blanks and capitals do not make another person."""
    return " ".join((name or "").lower().split())


def _same(one: float | None, two: float) -> bool:
    """True for one number, apart from the last digits that a printed figure loses."""
    return one is not None and math.isclose(one, two, rel_tol=1e-5)


def number_of(text: str, unit: str) -> float | None:
    """The SI number of a confirmed figure, None where it is not one of this unit."""
    found = _NUMBER.match(text)
    if found is None:
        return None
    number, word = float(found[1]), found[2]
    if word in ("", unit):
        return number
    try:
        si, of = to_si(number, word)
    except KeyError:
        return None
    return si if of == unit else None
