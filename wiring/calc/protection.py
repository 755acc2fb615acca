"""Overcurrent protection of conductors and contacts."""

from __future__ import annotations

from collections.abc import Iterable


def device_fits(load: float, device: float, ampacity: float) -> bool:
    """True where load <= device <= ampacity.

    load, device rating, ampacity after factors [A]. Source: IEC 60364-4-43, basis: read.

    >>> device_fits(4, 6, 8.5), device_fits(4, 10, 8.5)
    (True, False)
    """
    return load <= device <= ampacity


def trips_in_time(tripping: float, ampacity: float, ratio: float) -> bool:
    """True where the conventional tripping current is within the ratio of the ampacity.

    tripping: current at which the device surely trips; ampacity [A]; ratio: 1.45.
    Source: IEC 60364-4-43, basis: read.

    >>> trips_in_time(1.45 * 10, 10.1, 1.45), trips_in_time(1.9 * 6, 7, 1.45)
    (True, False)
    """
    return tripping <= ratio * ampacity


def largest_device(ampacity: float, ratio: float) -> float:
    """Largest device that a conductor may sit behind. [A]

    ampacity [A]; ratio: 3 for crane control conductors. Source: NEC 610.53, basis: read.

    >>> largest_device(8, 3.0)
    24.0
    """
    return ampacity * ratio


def next_below(limit: float, ratings: Iterable[float]) -> float | None:
    """Largest standard rating that does not pass a limit; None where the smallest does. [A]

    limit, ratings [A]. Source: selection.

    >>> next_below(7.8, [1, 3, 6, 10])
    6
    """
    return max((rating for rating in ratings if rating <= limit), default=None)


def adiabatic_time(area: float, current: float, constant: float) -> float:
    """Longest time a conductor stands a fault current. [s]

    area [m2]; current [A]; constant k of metal and insulation in A s^0.5 / mm2, 115 for copper in
    PVC. Valid up to 5 s, no heat leaves the wire. Source: IEC 60364-5-54, basis: memory.

    >>> round(adiabatic_time(1.5e-6, 1000, 115), 5)
    0.02976
    """
    return (constant * area * 1e6 / current) ** 2


def primary_covers_secondary(wire_device: float, secondary: float, primary: float) -> float:
    """Largest primary device that also protects the two-wire secondary of a control transformer. [A]

    wire_device: largest device for the secondary wire [A]; secondary, primary: voltages [V].
    Source: NEC 430.72(B) exception 2, basis: read.

    >>> round(primary_covers_secondary(7, 24, 120), 2)
    1.4
    """
    return wire_device * secondary / primary


def prospective_current(volts: float, loop_ohms: float, transformer: float = 0.0) -> float:
    """Fault current at the end of a run. [A]

    volts of the source [V]; loop_ohms there and back, cold [ohm]; transformer: its short-circuit
    impedance seen from this side [ohm]. Resistances added, so a little low.
    Source: Ohm's law, basis: derived.

    >>> round(prospective_current(120, 1.0, 0.2))
    100
    """
    return volts / (loop_ohms + transformer)
