"""Conductors: geometry of the wire gauge, resistance, temperature, impedance per metre."""

from __future__ import annotations

import math

INCH_M = 0.0254
CIRCULAR_MIL_M2 = math.pi / 4 * (0.001 * INCH_M) ** 2


def gauge_number(name: str) -> int:
    """Number of an American wire gauge: "18" is 18, "1/0" is 0, "4/0" is -3.

    name: the bare size. Valid from 4/0 to 40. Raises ValueError for another word.
    Source: ASTM B258, basis: read.

    >>> [gauge_number(size) for size in ("18", "1/0", "4/0")]
    [18, 0, -3]
    """
    text = name.strip()
    if text.endswith("/0") and text[:-2].isdigit() and 1 <= int(text[:-2]) <= 4:
        return 1 - int(text[:-2])
    if text.isdigit() and 0 <= int(text) <= 40:
        return int(text)
    raise ValueError(f"no American wire gauge: {name!r}")


def gauge_diameter(number: int) -> float:
    """Diameter of a solid wire of that gauge. [m]

    number: as `gauge_number` gives it. Valid from -3 (4/0) to 40.
    Source: ASTM B258, two sizes fixed (36: 0.005 in, 4/0: 0.46 in) and 38 equal ratios between, basis: read.

    >>> round(1000 * gauge_diameter(18), 4)
    1.0237
    """
    return float(0.005 * INCH_M * 92.0 ** ((36 - number) / 39))


def gauge_area(number: int) -> float:
    """Copper cross-section of that gauge. [m2]

    number: as `gauge_number` gives it. Source: ASTM B258, basis: read.

    >>> round(1e6 * gauge_area(16), 4)
    1.3087
    """
    return math.pi / 4 * gauge_diameter(number) ** 2


def circular_mils(area: float) -> float:
    """A cross-section in circular mils, as United States tables print it. [cmil]

    area [m2]. Source: definition, the circle of a thousandth of an inch.

    >>> round(circular_mils(gauge_area(-3)))
    211600
    """
    return area / CIRCULAR_MIL_M2


def resistance_from_area(resistivity: float, length: float, area: float) -> float:
    """Direct-current resistance of one conductor. [ohm]

    resistivity at working temperature [ohm m]; length [m]; area [m2] > 0.
    Valid for a uniform solid conductor; stranding adds about two percent.
    Source: Ohm's law; annealed copper 1/58 ohm mm2/m at 20 degC (IEC 60028), basis: read.

    >>> round(resistance_from_area(1.7241e-8, 304.8, gauge_area(20)), 2)
    10.15
    """
    return resistivity * length / area


def at_temperature(resistance: float, base: float, alpha: float, temperature: float) -> float:
    """A resistance (or ohms per metre) at another conductor temperature. [same unit]

    resistance at `base`; base [degC]; alpha: rise per kelvin of the value at `base` [1/K];
    temperature of the conductor, not of the room [degC].
    Valid from about -40 to 150 degC. Source: NEC chapter 9 table 8 note; IEC 60228, basis: read.

    >>> round(at_temperature(7.95, 75.0, 0.00323, 20.0), 4)
    6.5377
    """
    return resistance * (1.0 + alpha * (temperature - base))


def alpha_at(alpha: float, base: float, new_base: float) -> float:
    """The temperature coefficient of the same metal on another base. [1/K]

    alpha on `base` [1/K]; base, new_base [degC]. Valid where resistance is linear in temperature.
    Source: algebra of the linear law, basis: derived.

    >>> round(alpha_at(0.00393, 20.0, 75.0), 6)
    0.003232
    """
    return alpha / (1.0 + alpha * (new_base - base))


def run_resistance(ohm_per_m: float, length: float, conductors: int = 2) -> float:
    """Resistance of a run: once for one conductor, twice for there and back. [ohm]

    ohm_per_m at working temperature; length: one way [m]; conductors in series.
    Source: Ohm's law, basis: derived.

    >>> round(run_resistance(4.99 / 304.8, 25 * 0.3048), 2)
    0.25
    """
    return ohm_per_m * length * conductors


def effective_ohms(resistance: float, reactance: float, power_factor: float) -> float:
    """The part of an impedance that lowers the voltage of a load. [same unit]

    resistance, reactance: of the conductor, any length [ohm]; power_factor of the load, lagging, 0 to 1.
    Valid for drops that are small against the supply. Source: NEC chapter 9 table 9 note 2, basis: read.

    >>> round(effective_ohms(3.1, 0.058, 0.85), 4)
    2.6656
    """
    return resistance * power_factor + reactance * math.sqrt(1.0 - power_factor**2)


def reactance_at(ohm_per_m: float, frequency: float, base_frequency: float) -> float:
    """A reactance at another frequency. [ohm/m]

    ohm_per_m at `base_frequency` [Hz]. Source: reactance is proportional to frequency, basis: derived.

    >>> round(reactance_at(0.0001, 60.0, 50.0), 6)
    0.00012
    """
    return ohm_per_m * frequency / base_frequency
