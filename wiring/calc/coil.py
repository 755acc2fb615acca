"""Coils on thin wire: voltage at pull-in, longest run, winding resistance."""

from __future__ import annotations

import math


def coil_impedance(apparent: float, power_factor: float, volts: float) -> complex:
    """Impedance of a coil from its burden. [ohm]

    apparent: inrush or sealed burden at `volts` [VA]; power_factor of the same state, lagging.
    Valid at rated frequency. Source: circuit theory, basis: derived.

    >>> z = coil_impedance(70, 0.75, 24)
    >>> round(abs(z), 3), round(z.real, 3)
    (8.229, 6.171)
    """
    size = volts**2 / apparent
    return complex(size * power_factor, size * math.sqrt(1.0 - power_factor**2))


def coil_share(coil: complex, line: complex) -> float:
    """Share of the source voltage that a coil gets behind a line, the coil as a fixed impedance. [1]

    coil, line: impedances, the line there and back [ohm]. Source: voltage divider, basis: derived.

    >>> round(coil_share(coil_impedance(70, 0.75, 24), complex(1.12174, 0.0032)), 3)
    0.904
    """
    return abs(coil / (coil + line))


def coil_drop(apparent: float, volts: float, loop_ohms: float, power_factor: float = 1.0) -> float:
    """Voltage lost on the way to a coil, the coil as a fixed current. [V]

    apparent: inrush burden at `volts` [VA]; loop_ohms: both conductors [ohm]; power_factor: 1 for the
    cautious figure, the inrush power factor for the part in phase. More than the true drop, the more
    so on long runs. Source: contactor makers' manuals, basis: read.

    >>> round(coil_drop(151, 24, 1.59), 2)
    10.0
    """
    return apparent / volts * loop_ohms * power_factor


def longest_run(
    apparent: float, volts: float, ohm_per_m: float, fraction: float, power_factor: float = 1.0
) -> float:
    """One-way length at which inrush takes the allowed share of the voltage, coil as a fixed current. [m]

    apparent: inrush burden [VA]; volts rated [V]; ohm_per_m of one conductor, warm [ohm/m]; fraction
    allowed, e.g. 0.05; power_factor as in `coil_drop`. Source: contactor maker's manual,
    L = p U^2 / (2 R S cos phi), basis: read.

    >>> round(longest_run(70, 24, 28.0436e-3, 0.05, 0.75), 1)
    9.8
    """
    return fraction * volts**2 / (2.0 * ohm_per_m * apparent * power_factor)


def longest_run_exact(coil: complex, ohm_per_m: float, share: float) -> float:
    """One-way length at which the coil, a fixed impedance, still gets a share of the source voltage. [m]

    coil: impedance at inrush [ohm]; ohm_per_m of one conductor, warm; share of the source voltage
    needed at the coil, 0 < share; 0 where even no line at all is too long. Resistive line.
    Source: voltage divider solved for the line, basis: derived.

    >>> z = coil_impedance(70, 0.75, 24)
    >>> length = longest_run_exact(z, 0.028, 0.9)
    >>> round(coil_share(z, 2 * 0.028 * length), 6)
    0.9
    """
    total = math.sqrt(max(0.0, (abs(coil) / share) ** 2 - coil.imag**2))
    return max(0.0, total - coil.real) / (2.0 * ohm_per_m)


def wiring_budget(pick_up: float, supply: float, transformer: float = 1.0) -> float:
    """Share of the voltage that the wiring may take before a coil fails to close. [1]

    pick_up: lowest operating share of rated voltage; supply: lowest supply over nominal;
    transformer: its voltage at inrush over nominal. Negative: the coil fails with no wire at all.
    Source: product of the three, basis: derived.

    >>> round(wiring_budget(0.85, 0.90, 0.95), 4)
    0.0058
    """
    return 1.0 - pick_up / (supply * transformer)


def winding_ohms_dc(volts: float, power: float) -> float:
    """Resistance of a direct-current coil. [ohm]

    volts rated [V]; power at rated voltage [W]. Cold copper reads up to a fifth less.
    Source: P = U^2 / R, basis: derived.

    >>> round(winding_ohms_dc(24, 5.4), 1)
    106.7
    """
    return volts**2 / power


def winding_ohms_ac(volts: float, sealed: float, power_factor: float) -> float:
    """Upper bound of the winding resistance that a meter reads on an alternating-current coil. [ohm]

    volts rated [V]; sealed burden [VA] and its power factor. Iron loss is in the in-phase part, so
    the copper alone is less, typically half. Source: circuit theory, basis: derived.

    >>> round(winding_ohms_ac(120, 8, 0.3), 0)
    540.0
    """
    return power_factor * volts**2 / sealed
