"""A number with its unit, its provenance and the range it may really lie in.

Everything that a verdict may rest on travels as a `Value`: the SI number for
the arithmetic, and beside it the id, the basis and the source that a finding
must show.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

# read: seen in a named source; derived: by formula from such values;
# practice: common practice of the trade; stated: typed by the user with a
# source; memory: recalled, no source seen; placeholder: right size, no more.
Basis = Literal["read", "derived", "practice", "stated", "memory", "placeholder"]

#: Bases on which a pass may not stand without a confirmation or a stated value.
WEAK: frozenset[str] = frozenset({"memory", "placeholder"})


@dataclass(frozen=True, slots=True)
class Amount:
    """A quantity as a person wrote it: SI number and the text it came from.

    si: value in the SI unit of its kind (m, A, V, ohm, W, VA, s, kg, Hz, m/s,
    degrees Celsius for temperatures, 1 for ratios); kind: "length",
    "current", "voltage", ... as in `files.quantity`; text: as written.
    """

    si: float
    kind: str
    text: str

    def __str__(self) -> str:
        return self.text


@dataclass(frozen=True, slots=True)
class WireSize:
    """A conductor size. system: "awg", "kcmil" or "mm2"; name: the bare size
    ("18", "2/0", "1.5"); area_m2: copper cross-section [m2]."""

    system: Literal["awg", "kcmil", "mm2"]
    name: str
    area_m2: float
    text: str

    def __str__(self) -> str:
        return self.text


@dataclass(frozen=True, slots=True)
class Value:
    """One number that a verdict can rest on.

    id: the address a user can act on: `table/row/column` of a catalog table or
    `owner:part.property` of a part; si: SI number; unit: SI word ("A", "ohm");
    low, high: ends of the spread [same unit], equal to si where it is certain.
    """

    id: str
    si: float
    unit: str
    basis: Basis
    source: str
    low: float
    high: float

    @property
    def weak(self) -> bool:
        """True where a verdict may not stand on this value alone."""
        return self.basis in WEAK

    def moved(self, si: float) -> Value:
        """The same value at another point of its spread."""
        return replace(self, si=si)


def certain(id: str, si: float, unit: str, basis: Basis, source: str) -> Value:
    """A value without spread (read, derived, practice or stated)."""
    return Value(id, si, unit, basis, source, si, si)
