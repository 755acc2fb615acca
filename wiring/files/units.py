"""The closed tables of unit words: what may be written per kind, its SI factor, range and printed digits.

Factors are decimal texts, so that `0.3 mm` becomes the nearest float and not a
product of two roundings. Sources: exact by definition (inch, pound, foot,
degree Fahrenheit); mechanical horsepower 550 ft lbf/s from those.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit word. si = (written - before) * factor; digits: decimals when printed."""

    word: str
    factor: Decimal
    digits: int
    pint: str
    before: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of quantity. si: its SI word; low, high: what may be written [SI]; example: for messages."""

    name: str
    si: str
    low: float
    high: float
    example: str
    units: dict[str, Unit]


def _units(*rows: tuple[str, str, int, str]) -> dict[str, Unit]:
    """Unit rows of (words separated by a bar, factor, digits, pint unit) by word."""
    found: dict[str, Unit] = {}
    for words, factor, digits, pint in rows:
        for word in words.split("|"):
            found[word] = Unit(word, Decimal(factor), digits, pint)
    return found


_FAHRENHEIT = Decimal(5) / Decimal(9)
_TEMPERATURES = {
    word: Unit(word, factor, 0 if factor != 1 else 1, pint, before)
    for word, factor, pint, before in (
        ("degC", Decimal(1), "degC", Decimal(0)),
        ("°C", Decimal(1), "degC", Decimal(0)),
        ("degF", _FAHRENHEIT, "degF", Decimal(32)),
        ("°F", _FAHRENHEIT, "degF", Decimal(32)),
    )
}

_KINDS = (
    Kind("length", "m", 0, 10_000, "12 m",
         _units(("m", "1", 2, "m"), ("cm", "0.01", 1, "cm"), ("mm", "0.001", 1, "mm"),
                ("ft", "0.3048", 1, "ft"), ("in", "0.0254", 2, "inch"))),
    Kind("current", "A", 0, 200_000, "6.3 A",
         _units(("A", "1", 2, "A"), ("mA", "0.001", 1, "mA"), ("uA|µA|μA", "0.000001", 0, "uA"),
                ("kA", "1000", 2, "kA"))),
    Kind("voltage", "V", 0, 1_500, "230 V",
         _units(("V", "1", 1, "V"), ("mV", "0.001", 0, "mV"), ("kV", "1000", 2, "kV"))),
    Kind("resistance", "ohm", 0, 1e10, "0.3 ohm",
         _units(("ohm|Ω|Ω", "1", 2, "ohm"), ("mohm|mΩ|mΩ", "0.001", 0, "mohm"),
                ("kohm|kΩ|kΩ", "1000", 2, "kohm"), ("Mohm|MΩ|MΩ", "1000000", 2, "Mohm"))),
    Kind("power", "W", 0, 500_000, "0.5 hp",
         _units(("W", "1", 1, "W"), ("kW", "1000", 2, "kW"), ("hp", "745.69987158227022", 2, "hp"))),
    Kind("apparent power", "VA", 0, 500_000, "63 VA",
         _units(("VA", "1", 1, "VA"), ("kVA", "1000", 2, "kVA"))),
    Kind("time", "s", 0, 1_000_000, "0.4 s",
         _units(("s", "1", 2, "s"), ("ms", "0.001", 0, "ms"), ("min", "60", 1, "min"),
                ("h", "3600", 1, "h"))),
    Kind("frequency", "Hz", 0, 1_000, "50 Hz", _units(("Hz", "1", 1, "Hz"))),
    Kind("temperature", "degC", -60, 400, "30 °C", _TEMPERATURES),
    Kind("speed", "m/s", 0, 20, "8 m/min",
         _units(("m/s", "1", 3, "m/s"), ("m/min", "1", 1, "m/min"), ("ft/min", "0.00508", 0, "ft/min"))),
    Kind("ratio", "1", 0, 10, "10 %", _units(("%", "0.01", 1, "percent"))),
    Kind("capacitance", "F", 0, 0.1, "16 uF",
         _units(("uF|µF|μF", "0.000001", 2, "uF"), ("nF", "0.000000001", 1, "nF"),
                ("pF", "0.000000000001", 0, "pF"))),
    Kind("torque", "N m", 0, 1_000, "0.6 N m",
         _units(("N m", "1", 2, "N*m"), ("lbf in", "0.1129848290276167", 1, "lbf*inch"),
                ("lbf ft", "1.3558179483314004", 1, "lbf*ft"))),
    Kind("mass", "kg", 0, 1_000_000, "250 kg",
         _units(("kg", "1", 1, "kg"), ("t", "1000", 2, "tonne"), ("lb", "0.45359237", 0, "lb"))),
    Kind("area", "m2", 0, 0.01, "1.5 mm²", _units(("mm2|mm²", "0.000001", 2, "mm**2"))),
)  # fmt: skip

#: Every kind by name. Speed's m/min is a sixtieth and not a finite decimal: set here.
KINDS: dict[str, Kind] = {kind.name: kind for kind in _KINDS}
KINDS["speed"].units["m/min"] = Unit("m/min", Decimal(1) / Decimal(60), 1, "m/min")

#: Unit word to the kind it belongs to; every word belongs to one kind.
KIND_OF: dict[str, str] = {word: kind.name for kind in _KINDS for word in kind.units}

#: SI words that nobody reads easily, and the word they are printed in.
DISPLAY = {"F": "uF", "m2": "mm2", "1": "", "ohm/m": "ohm/km", "m/s": "m/min"}
US_DISPLAY = {"m": "ft", "degC": "degF", "N m": "lbf in", "m/s": "ft/min", "kg": "lb", "ohm/m": "ohm/kft"}

#: Units of table columns that are no unit of a job file: word to (SI word, factor, digits).
COLUMN_UNITS: dict[str, tuple[str, Decimal, int]] = {
    "ohm m": ("ohm m", Decimal(1), 10),
    "1": ("1", Decimal(1), 3),
    "": ("1", Decimal(1), 3),
    "ratio": ("1", Decimal(1), 3),
    "factor": ("1", Decimal(1), 3),
    "percent": ("1", Decimal("0.01"), 1),
    "degree": ("degree", Decimal(1), 1),
    "count": ("count", Decimal(1), 0),
    "ohm/m": ("ohm/m", Decimal(1), 6),
    "ohm/km": ("ohm/m", Decimal("0.001"), 3),
    "ohm/kft": ("ohm/m", Decimal("0.001") / Decimal("0.3048"), 3),
    "F/m": ("F/m", Decimal(1), 12),
    "nF/km": ("F/m", Decimal("1e-12"), 1),
    "uH/m": ("H/m", Decimal("1e-6"), 3),
    "mH/km": ("H/m", Decimal("1e-6"), 3),
    "1/K": ("1/K", Decimal(1), 5),
    "K": ("K", Decimal(1), 1),
    "W/hp": ("W/hp", Decimal(1), 1),
    "VA/hp": ("VA/hp", Decimal(1), 1),
    "kVA/hp": ("VA/hp", Decimal(1000), 2),
    "kcmil": ("m2", Decimal("5.06707479097497e-7"), 2),
    "cmil": ("m2", Decimal("5.06707479097497e-10"), 0),
}
