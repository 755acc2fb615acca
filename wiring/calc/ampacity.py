"""Ampacity: table value times factors, for cord, building, machine and crane wiring."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence


def ambient_factor(insulation: float, ambient: float, base: float) -> float:
    """Correction of an ampacity for the ambient, unrounded. [1]

    insulation: conductor limit; ambient; base: ambient of the table (30 us, 40 iec machine) [degC].
    0 where the ambient reaches the limit: not usable. Tables print it rounded, at the top of each band.
    Source: NEC 310.15(B); IEC 60204-1 annex D, heat balance, basis: derived.

    >>> round(ambient_factor(75, 50, 30), 3), round(ambient_factor(70, 50, 40), 3)
    (0.745, 0.816)
    """
    if ambient >= insulation:
        return 0.0
    return math.sqrt((insulation - ambient) / (insulation - base))


def derated(ampacity: float, factors: Iterable[float]) -> float:
    """An ampacity after all its factors. [A]

    ampacity: table value [A]; factors: ambient, number of conductors, grouping, drum, each of the
    value before. Source: NEC 310.15; IEC 60204-1 annex D, basis: read.

    >>> round(derated(25, [0.91, 0.80]), 1)
    18.2
    """
    return math.prod(factors, start=ampacity)


def cord_ampacity(
    three: float, two: float, carrying: int, count_factor: float, ambient: float = 1.0
) -> float:
    """Ampacity of a flexible cord. [A]

    three, two: table values with three and with two conductors carrying [A]; carrying: conductors
    that carry current; count_factor: for that number, 1 up to three; ambient: factor.
    Source: NEC table 400.5(A)(1) and (3), basis: read.

    >>> cord_ampacity(7, 10, 2, 1.0), round(cord_ampacity(7, 10, 8, 0.70), 1)
    (10.0, 4.9)
    """
    return derated(float(two if carrying <= 2 else three), [count_factor, ambient])


def crane_ampacity(
    minutes_30: float, minutes_60: float, minutes: float, fifteen: float, factors: Iterable[float] = ()
) -> float:
    """Ampacity with a short-time rated crane or hoist motor. [A]

    minutes_30, minutes_60: table values of the wire [A]; minutes: time rating of the motor, 0 for
    continuous; fifteen: factor of a 15 minute motor on the 30 minute value; factors: ambient and
    number of power conductors. A rating between two columns takes the longer, lower one; 60 minutes
    is the longest the table knows. Raises ValueError above it: use article 430 instead.
    Source: NEC table 610.14(A) and notes, basis: read.

    >>> round(crane_ampacity(26, 25, 15, 1.12), 2), crane_ampacity(94, 83, 30, 1.12)
    (29.12, 94.0)
    """
    if minutes <= 0.0 or minutes > 60.0:
        raise ValueError("the crane table is for short-time ratings up to 60 minutes")
    if minutes <= 15.0:
        base = minutes_30 * fifteen
    else:
        base = minutes_30 if minutes <= 30.0 else minutes_60
    return derated(float(base), factors)


def hoist_supply(motors: Sequence[float], second: float, demand: float = 1.0, machines: int = 1) -> float:
    """Current that the supply conductors of a hoist, or of several, must carry. [A]

    motors: plate currents of one machine [A]; second: share of the second largest; demand: factor
    for several machines; machines: how many. Source: NEC 610.14(E), basis: read.

    >>> hoist_supply([10, 4], 0.5), round(hoist_supply([10, 4], 0.5, 0.95, 2), 1)
    (12.0, 22.8)
    """
    ranked = sorted(motors, reverse=True)
    return machines * demand * (ranked[0] + second * (ranked[1] if len(ranked) > 1 else 0.0))


def disconnect_rating(motors: Sequence[float], of_sum: float, of_motion: float) -> float:
    """Least continuous rating of the disconnect of a crane or hoist. [A]

    motors: short-time currents, one for each motion [A]; of_sum: share of all together; of_motion:
    share of the largest motion. Source: NEC 610.33, basis: read.

    >>> disconnect_rating([10, 4], 0.5, 0.75)
    7.5
    """
    return max(of_sum * math.fsum(motors), of_motion * max(motors))
