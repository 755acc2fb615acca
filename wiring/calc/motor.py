"""Motors: full-load and locked-rotor current, what switches and conductors they need, run capacitor."""

from __future__ import annotations

import math

#: Mechanical horsepower, 550 ft lbf/s, exact by definition. [W]
HORSEPOWER_W = 745.6998715822702


def locked_by_letter(va_per_hp: float, power: float, volts: float, phases: int) -> float:
    """Locked-rotor current from the code letter on the plate. [A]

    va_per_hp: of the letter, top of its range for the worst case [VA/hp]; power: rated output [W];
    volts rated [V]; phases: 1 or 3. Source: NEC table 430.7(B), basis: read.

    >>> round(locked_by_letter(8990, HORSEPOWER_W, 230, 1), 2)
    39.09
    >>> round(locked_by_letter(6290, 20 * HORSEPOWER_W, 460, 3), 1)
    157.9
    """
    return va_per_hp * power / HORSEPOWER_W / volts / (math.sqrt(3.0) if phases == 3 else 1.0)


def locked_by_ratio(full_load: float, ratio: float) -> float:
    """Locked-rotor current as a multiple of full-load current. [A]

    full_load [A]; ratio: 6 in the relay motor test and for single-phase motors; small three-phase
    motors reach 7 to 9. Source: UL 508 practice; NEC table 430.251(A), basis: read.

    >>> round(locked_by_ratio(3.8, 6), 1)
    22.8
    """
    return full_load * ratio


def full_load_current(
    power: float, volts: float, efficiency: float, power_factor: float, phases: int
) -> float:
    """Current of a motor at rated output, where no plate and no table gives it. [A]

    power: rated output [W]; volts rated [V]; efficiency, power_factor at rated load, 0 to 1; phases 1 or 3.
    Source: energy balance, basis: derived.

    >>> round(full_load_current(1500, 400, 0.8, 0.8, 3), 2)
    3.38
    """
    return power / (volts * efficiency * power_factor * (math.sqrt(3.0) if phases == 3 else 1.0))


def conductor_current(full_load: float, ratio: float) -> float:
    """Ampacity the conductors of one motor need. [A]

    full_load: table current, plate current for short-time duty [A]; ratio: 1.25 for continuous duty,
    else by duty. Source: NEC 430.22, basis: read.

    >>> conductor_current(16, 1.25)
    20.0
    """
    return full_load * ratio


def snap_switch_rating(full_load: float, share: float) -> float:
    """Least ampere rating of an AC snap switch for a motor. [A]

    full_load [A]; share: 0.8. Valid up to 2 hp and 300 V. Source: NEC 430.83(C), basis: read.

    >>> round(snap_switch_rating(16, 0.8), 6)
    20.0
    """
    return full_load / share


def motor_contact_fits(
    motor: float, motor_locked: float, contact: float | None, contact_locked: float | None
) -> bool:
    """True where a contact has a motor rating that covers the motor.

    motor, motor_locked: full-load and locked-rotor current of the motor [A]; contact, contact_locked: the
    rating, None where no motor rating is printed. A resistive figure is no motor rating, whatever its size.
    Source: NEC 430.83(A)(1), basis: read.

    >>> motor_contact_fits(6.3, 37.8, 7.2, 43.2), motor_contact_fits(9.8, 58.8, None, None)
    (True, False)
    """
    if contact is None:
        return False
    return motor <= contact and (contact_locked is None or motor_locked <= contact_locked)


def capacitor_for(current: float, volts: float, frequency: float) -> float:
    """Capacitance that passes a current at a voltage across the capacitor. [F]

    current in the auxiliary winding [A]; volts across the capacitor, above the supply [V]; frequency [Hz].
    Source: I = 2 pi f C U, basis: derived.

    >>> round(1e6 * capacitor_for(2.0, 200, 60), 1)
    26.5
    """
    return current / (2.0 * math.pi * frequency * volts)


def capacitor_surge(volts: float, loop_ohms: float) -> float:
    """First current when a charged capacitor is shorted or reversed onto the line. [A]

    volts: difference at the instant, up to twice the peak supply [V]; loop_ohms: wire and contact [ohm].
    Inductance left out. Source: Ohm's law, basis: derived.

    >>> round(capacitor_surge(340, 0.5))
    680
    """
    return volts / loop_ohms
