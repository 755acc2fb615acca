"""Confirmed figures: the number a person read in the book replaces the recalled one."""

from __future__ import annotations

import re
from collections.abc import Iterable

from wiring.files.quantity import to_si
from wiring.model.job import Confirm
from wiring.model.value import Value, certain

_NUMBER = re.compile(r"\s*([+-]?\d+(?:\.\d+)?(?:[eE][+-]?\d+)?)\s*(.*?)\s*$")


def confirmed(value: Value, confirms: Iterable[Confirm], danger: int) -> Value:
    """`value`, or what the job's `[[confirm]]` puts in its place.

    A rule of danger 1 or 2 takes it only with a second name; until then the
    recalled value stands and its source says so.
    """
    for confirm in confirms:
        if confirm.entry != value.id:
            continue
        number = number_of(confirm.is_, value.unit)
        if number is None or not confirm.by or not confirm.source:
            return value
        if danger <= 2 and not confirm.second:
            note = f"{value.source}; read once by {confirm.by}, a second name is missing"
            return Value(value.id, value.si, value.unit, value.basis, note, value.low, value.high)
        names = confirm.by if not confirm.second else f"{confirm.by} and {confirm.second}"
        note = f"{confirm.source}, read by {names}"
        if number != value.si:
            note += f"; the catalog has {value.si:g} {value.unit}"
        return certain(value.id, number, value.unit, "read", note)
    return value


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
