"""Pilot-duty contact codes: what a coil contact may close onto and open, by voltage."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class PilotCode:
    """A contact code as its table prints it. voltage: ceiling [V]; thermal: carrying current [A];
    make_va, break_va [VA] (equal for direct current); make_at, break_at: amperes by listed
    voltage [A by V]."""

    voltage: float
    thermal: float
    make_va: float
    break_va: float
    make_at: Mapping[float, float] = field(default_factory=dict)
    break_at: Mapping[float, float] = field(default_factory=dict)


def make_limit(code: PilotCode, volts: float) -> float:
    """Largest inrush current the contact may close onto. [A]

    volts: circuit voltage [V]; above the ceiling of the code 0. Below the lowest listed voltage the
    current does not rise: at 24 V a coil of ten times the current meets the same limit as at 120 V.
    Between listed voltages volt-amperes over volts, never above the listed current below.
    Source: NEMA ICS 5, IEC 60947-5-1 annex A, basis: read.

    >>> b300 = PilotCode(300, 5, 3600, 360, {120: 30, 240: 15}, {120: 3, 240: 1.5})
    >>> make_limit(b300, 24), make_limit(b300, 200), make_limit(b300, 480)
    (30.0, 18.0, 0.0)
    """
    if volts > code.voltage or volts <= 0.0:
        return 0.0
    listed = [amps for at, amps in sorted(code.make_at.items()) if at <= volts]
    if not listed:
        lowest = min(code.make_at, default=None)
        by_va = code.make_va / volts
        return float(by_va if lowest is None else min(by_va, code.make_at[lowest]))
    return float(min(code.make_va / volts, listed[-1]))


def break_limit(code: PilotCode, volts: float, rises: bool = True) -> float:
    """Largest sealed current the contact may open. [A]

    volts: circuit voltage [V]; above the ceiling of the code 0. rises: below the lowest listed
    voltage the limit is volt-amperes over volts up to the carrying current (United States rule);
    False keeps it at the listed current (the cautious reading of the IEC annex).
    Source: NEMA ICS 5, UL 508, basis: read.

    >>> b300 = PilotCode(300, 5, 3600, 360, {120: 30, 240: 15}, {120: 3, 240: 1.5})
    >>> break_limit(b300, 24), break_limit(b300, 24, rises=False), break_limit(b300, 200)
    (5.0, 3.0, 1.8)
    """
    if volts > code.voltage or volts <= 0.0:
        return 0.0
    listed = [amps for at, amps in sorted(code.break_at.items()) if at <= volts]
    ceiling = code.thermal
    if listed:
        ceiling = min(ceiling, listed[-1])
    elif not rises and code.break_at:
        ceiling = min(ceiling, code.break_at[min(code.break_at)])
    return float(min(code.break_va / volts, ceiling))


def carries_coil(code: PilotCode, volts: float, inrush: float, sealed: float, rises: bool = True) -> bool:
    """True where the contact may close onto and open a coil of that burden.

    volts: circuit voltage [V]; inrush, sealed: burden at `volts`, watts for direct current [VA].
    Both amperes and volt-amperes are held against the code. Source: as `make_limit`, basis: read.

    >>> d300 = PilotCode(300, 1, 432, 72, {120: 3.6, 240: 1.8}, {120: 0.6, 240: 0.3})
    >>> carries_coil(d300, 120, 151, 24), carries_coil(d300, 24, 200, 20)
    (True, False)
    """
    if volts > code.voltage or inrush > code.make_va or sealed > code.break_va:
        return False
    return inrush / volts <= make_limit(code, volts) and sealed / volts <= break_limit(code, volts, rises)
