"""Current past an open contact: cable capacitance, suppressors, leakage, and what a coil makes of it."""

from __future__ import annotations

import math

from wiring.calc.coil import coil_impedance


def capacitive_current(capacitance: float, volts: float, frequency: float) -> float:
    """Current through a capacitance, e.g. an RC suppressor across an open contact. [A]

    capacitance [F]; volts [V]; frequency [Hz]. Series resistors of suppressors are small against
    the reactance and left out. Source: I = 2 pi f C U, basis: derived.

    >>> round(1000 * capacitive_current(0.1e-6, 230, 50), 2)
    7.23
    """
    return 2.0 * math.pi * frequency * capacitance * volts


def residual_share(
    sealed: float, volts: float, frequency: float, capacitance: float, power_factor: float = 0.0
) -> float:
    """Share of the source voltage on a coil fed through a capacitance only. [1]

    sealed burden [VA] at `volts` [V]; frequency [Hz]; capacitance across the open contact [F];
    power_factor of the sealed coil, 0 is the unfavourable pure inductance. Above 1 near
    resonance. Linear model, coil at its sealed impedance. Source: series circuit; a submersible motor
    maker's field note confirms a coil held by 0.1 uF, basis: derived.

    >>> round(residual_share(8, 240, 60, 0.1e-6), 4)
    0.3726
    """
    if capacitance <= 0.0:
        return 0.0
    coil = coil_impedance(sealed, power_factor, volts)
    loop = coil - 1j / (2.0 * math.pi * frequency * capacitance)
    return math.inf if loop == 0 else abs(coil / loop)


def capacitance_limit(
    sealed: float, volts: float, frequency: float, must_drop: float, overvoltage: float = 1.0
) -> float:
    """Largest capacitance across an open contact at which the coil still lets go. [F]

    sealed burden [VA] at `volts` [V]; frequency [Hz]; must_drop: share of rated voltage at which the
    coil has let go; overvoltage: highest supply over rated. Valid for a pure inductance below
    resonance, which is cautious by up to one percent. Source: voltage of a coil in series
    with a capacitance solved for C; same form in an application note of 2007, basis: derived.

    >>> round(1e6 * capacitance_limit(8, 230, 50, 0.20, 1.10), 4)
    0.0741
    """
    share = must_drop / overvoltage
    return share / (1.0 + share) * sealed / (2.0 * math.pi * frequency * volts**2)


def capacitance_limit_handbook(sealed: float, volts: float, constant: float = 500e-6) -> float:
    """The same limit by the handbook constant, for comparison. [F]

    sealed burden [VA]; volts rated [V]; constant: 500 uF V2/VA at 50 Hz, 417 at 60 Hz.
    Source: technical paper of a contactor maker, basis: memory.

    >>> round(1e6 * capacitance_limit_handbook(8, 230), 4)
    0.0756
    """
    return constant * sealed / volts**2


def longest_run_capacitance(limit: float, farad_per_m: float, other: float = 0.0) -> float:
    """One-way length at which the cable reaches the capacitance limit. [m]

    limit [F]; farad_per_m of the arrangement [F/m]; other: suppressors across the contact [F].
    Source: division, basis: derived.

    >>> round(longest_run_capacitance(capacitance_limit(8, 230, 50, 0.20, 1.10), 0.6e-9), 1)
    123.4
    """
    return max(0.0, limit - other) / farad_per_m


def leakage_volts(leakage: float, coil: complex, volts: float) -> float:
    """Voltage on a load that an open solid-state output feeds with leakage current. [V]

    leakage at `volts` [A]; coil: impedance of the load in the state it is in [ohm]; volts: source [V].
    The output is taken as the impedance volts/leakage, resistive; never above the source.
    Source: voltage divider, basis: derived.

    >>> round(leakage_volts(0.001, complex(2000, 6400), 230), 2)
    6.64
    """
    if leakage <= 0.0:
        return 0.0
    return min(volts, volts * abs(coil / (coil + volts / leakage)))


def bled_share(coil: complex, bleeder: float, capacitance: float, frequency: float) -> float:
    """Share of the source voltage on a coil with a resistor across it, fed through a capacitance. [1]

    coil: sealed impedance [ohm]; bleeder [ohm]; capacitance [F]; frequency [Hz]. The bleeder takes
    U^2 / R all the time the coil is in. Source: circuit theory, basis: derived.

    >>> z = coil_impedance(8, 0.3, 240)
    >>> round(bled_share(z, 1e12, 0.1e-6, 60), 2), round(bled_share(z, 3300, 0.1e-6, 60), 2)
    (0.36, 0.11)
    """
    pair = coil * bleeder / (coil + bleeder)
    return abs(pair / (pair - 1j / (2.0 * math.pi * frequency * capacitance)))


def may_hold(share: float, must_drop: float) -> bool:
    """True where a coil may stay in: its voltage is not below the share at which it must have let go.

    share, must_drop: of rated voltage [1]. Source: IEC 60947-4-1 limits of operation, basis: read.

    >>> may_hold(0.21, 0.20), may_hold(0.20, 0.20), may_hold(0.19, 0.20)
    (True, True, False)
    """
    return share >= must_drop


def discharge_time(capacitance: float, bleeder: float, start: float, end: float) -> float:
    """Time in which a capacitor falls from one voltage to another through its bleeder. [s]

    capacitance [F]; bleeder [ohm]; start, end [V], start the peak of the supply.
    Source: exponential decay, basis: derived.

    >>> round(discharge_time(30e-6, 100e3, 170, 50), 2)
    3.67
    """
    return 0.0 if start <= end else capacitance * bleeder * math.log(start / end)
