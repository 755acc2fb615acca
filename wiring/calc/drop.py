"""Voltage drop: along a run, and along a path in which other loads share a conductor."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from wiring.calc.conductor import effective_ohms


@dataclass(frozen=True, slots=True)
class Stretch:
    """A conductor of a path. ohm_per_m at working temperature [ohm/m]; length [m];
    current through it, all loads that share it together [A]."""

    ohm_per_m: float
    length: float
    current: float

    @property
    def volts(self) -> float:
        """Voltage lost along it. [V]"""
        return self.ohm_per_m * self.length * self.current


def drop_dc(current: float, loop_ohms: float) -> float:
    """Voltage lost in there-and-back resistance. [V]

    current [A]; loop_ohms: both conductors at working temperature [ohm].
    Source: Ohm's law, basis: derived.

    >>> round(drop_dc(0.5, 2 * 150 * 4.99 / 1000), 4)
    0.7485
    """
    return current * loop_ohms


def drop_single_phase(
    current: float, resistance: float, reactance: float, power_factor: float, length: float
) -> float:
    """Voltage lost in a two-wire alternating-current run. [V]

    current [A]; resistance, reactance of one conductor [ohm/m]; power_factor of the load; length one way [m].
    Valid for drops that are small against the supply. Source: NEC chapter 9 table 9 note; IEC 60364-5-52
    annex G, basis: derived.

    >>> round(drop_single_phase(10, 9.5481e-3, 0.08e-3, 0.8, 25), 3)
    3.843
    """
    return 2.0 * length * current * effective_ohms(resistance, reactance, power_factor)


def drop_three_phase(
    current: float, resistance: float, reactance: float, power_factor: float, length: float
) -> float:
    """Line-to-line voltage lost in a three-phase run. [V]

    current [A]; resistance, reactance of one conductor [ohm/m]; power_factor of the load; length one way [m].
    Valid for balanced load. Source: as `drop_single_phase`, basis: derived.

    >>> round(drop_three_phase(10, 9.5481e-3, 0.08e-3, 0.8, 40), 3)
    5.325
    """
    return math.sqrt(3.0) * length * current * effective_ohms(resistance, reactance, power_factor)


def path_drop(stretches: Iterable[Stretch]) -> float:
    """Voltage lost along a path of several conductors, each with the current it really carries. [V]

    stretches: from the source pole to the load and back to the other pole: new cable, kept
    tail of the old cord, common conductor. A shared conductor carries the sum of its loads.
    Valid for resistive drop with currents taken in phase, which is the unfavourable case.
    Source: Ohm's law, basis: derived.

    >>> there, tail = Stretch(0.01637, 7.62, 2.9), Stretch(0.01637, 0.91, 2.9)
    >>> round(path_drop([there, tail, Stretch(0.01637, 8.53, 3.4)]), 2)
    0.88
    """
    return math.fsum(stretch.volts for stretch in stretches)


def drop_fraction(drop: float, supply: float) -> float:
    """A drop as a share of the supply. [1]

    drop, supply [V], supply > 0. Source: definition.

    >>> round(drop_fraction(7.902, 120), 5)
    0.06585
    """
    return drop / supply


def starting_voltage(supply: float, loop_ohms: float, locked_current: float, power_factor: float) -> float:
    """Voltage at a motor while it stands and draws locked-rotor current. [V]

    supply, also the voltage at which `locked_current` [A] is stated [V]; loop_ohms of the run [ohm];
    power_factor at standstill. The motor is taken as a fixed impedance, so the current falls with
    the voltage; `drop_dc` with the full locked current is the unfavourable figure.
    Source: circuit theory, basis: derived.

    >>> round(starting_voltage(115, 0.124, 144, 0.6), 1)
    104.5
    """
    motor = supply / locked_current
    resistance, reactance = motor * power_factor, motor * math.sqrt(1.0 - power_factor**2)
    return supply * motor / math.hypot(resistance + loop_ohms, reactance)
