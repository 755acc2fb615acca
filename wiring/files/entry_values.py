"""Values of catalog entries: which property is which kind of quantity, and how far it may be off.

A value that the entry does not source is a placeholder of the right size: it
may lie between half and twice the figure. What defines the type (rated
voltage, frequency, phase, thresholds) is stated by the choice of the type.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any

from pydantic_core import PydanticCustomError

from wiring.files.entry_format import BASES
from wiring.files.fields import number, shown
from wiring.files.problems import Reporter, listed, nearest, printable
from wiring.files.quantity import QuantityError, parse_any
from wiring.files.units import KINDS
from wiring.model.entry import Source
from wiring.model.value import Basis, Value

_IMPEDANCE: dict[str, tuple[str, ...]] = dict.fromkeys(
    ("resistance", "run_r", "run_x", "locked_r", "locked_x"), ("resistance",)
)
_BURDEN = ("apparent power", "power")
_PROTECTED: dict[str, tuple[str, ...]] = {"minimum": ("voltage",), "maximum": ("voltage",)}

#: Property to the kinds of quantity it may be written in, for each kind of part.
PART_PROPERTIES: dict[str, dict[str, tuple[str, ...]]] = {
    "source": {"voltage": ("voltage",), "frequency": ("frequency",), "phase": ("degree",),
               "resistance": ("resistance",)},
    "wire": {"resistance": ("resistance",)},
    "fuse": {"rating": ("current",), "voltage": ("voltage",), "resistance": ("resistance",)},
    "contact": {"resistance": ("resistance",), "rating": ("current",), "close_time": ("time",),
                "open_time": ("time",)},
    "coil": {"voltage": ("voltage",), "frequency": ("frequency",), "resistance": ("resistance",),
             "inrush": _BURDEN, "inrush_pf": ("ratio",), "sealed": _BURDEN, "sealed_pf": ("ratio",),
             "pick_up": ("ratio",), "drop_out": ("ratio",), "close_time": ("time",), "open_time": ("time",)},
    "winding": _IMPEDANCE,
    "motor3": _IMPEDANCE,
    "capacitor": {"capacitance": ("capacitance",), "voltage": ("voltage",)},
    "transformer": {"primary": ("voltage",), "secondary": ("voltage",), "power": _BURDEN,
                    "primary_resistance": ("resistance",), "secondary_resistance": ("resistance",),
                    "impedance": ("ratio",)},
    "brake": {"resistance": ("resistance",), "voltage": ("voltage",), "pick_up": ("ratio",),
              "drop_out": ("ratio",), "close_time": ("time",), "open_time": ("time",), "power": _BURDEN},
    "rectifier": {"voltage": ("voltage",), "rating": ("current",)},
    "load": {"resistance": ("resistance",), "reactance": ("resistance",), "power": _BURDEN,
             "voltage": ("voltage",), **_PROTECTED},
    "supply-input": {"power": _BURDEN, "leakage": ("current",), **_PROTECTED},
    "suppressor": {"capacitance": ("capacitance",), "resistance": ("resistance",), "voltage": ("voltage",)},
    "drive-input": {"resistance": ("resistance",), "on": ("voltage",), "off": ("voltage",),
                    "leakage": ("current",), "voltage": ("voltage",)},
    "semiconductor": {"leakage": ("current",), "resistance": ("resistance",), "rating": ("current",)},
}  # fmt: skip

MOTOR_PROPERTIES: dict[str, tuple[str, ...]] = {
    "voltage": ("voltage",), "frequency": ("frequency",), "power": ("power",),
    "full_load_current": ("current",), "locked_rotor_current": ("current",), "no_load_current": ("current",),
    "power_factor": ("ratio",), "locked_power_factor": ("ratio",), "efficiency": ("ratio",),
    "duty_time": ("time",),
}  # fmt: skip

RATING_PROPERTIES: dict[str, tuple[str, ...]] = {
    "resistive": ("current",), "general": ("current",), "motor_120": ("power",), "motor_240": ("power",),
    "ac3": ("current",), "ac4": ("current",), "ac15_120": ("current",), "ac15_240": ("current",),
    "dc13_24": ("current",), "make": ("current",), "voltage_ac": ("voltage",), "voltage_dc": ("voltage",),
    "fuse_max": ("current",), "electrical_life": ("count",),
}  # fmt: skip
RATING_WORDS = ("pilot", "min_load")

ENTRY_PROPERTIES: dict[str, tuple[str, ...]] = {
    "leakage": ("current",), "standing_current": ("current",), "temperature_min": ("temperature",),
    "temperature_max": ("temperature",), "loss_time": ("time",), "dead_time": ("time",),
    "boot_time": ("time",),
    "power": _BURDEN, "voltage": ("voltage",), "frequency": ("frequency",), "current": ("current",),
    "minimum": ("voltage",), "maximum": ("voltage",), "close_time": ("time",), "open_time": ("time",),
    "hold_up_time": ("time",), "resistance": ("resistance",), "capacitance": ("capacitance",),
    "range": ("length",), "short_circuit": ("current",), "operations": ("count",), "mass": ("mass",),
}  # fmt: skip

#: Properties that define the type: chosen with it, so certain.
DEFINING = frozenset(
    ("voltage", "frequency", "phase", "primary", "secondary", "minimum", "maximum", "pick_up", "drop_out",
     "on", "off")
)  # fmt: skip
_AT_MOST_ONE = frozenset(("inrush_pf", "sealed_pf", "power_factor", "locked_power_factor", "efficiency"))
_SPREAD = {"memory": (0.8, 1.2), "placeholder": (0.5, 2.0)}


@dataclass
class Site(Reporter):
    """Where values are being read: the file, the problems met so far, the source block."""

    source: Source = field(default_factory=lambda: Source(""))


def spread(si: float, basis: Basis, relative: float | None = None) -> tuple[float, float]:
    """Ends of the range a value may lie in; relative: the file's own spread (0.1 is +-10 %)."""
    low, high = (1 - relative, 1 + relative) if relative is not None else _SPREAD.get(basis, (1.0, 1.0))
    ends = sorted((si * low, si * high))
    return ends[0], ends[1]


def value_of(
    raw: Any, name: str, prop: str, kinds: tuple[str, ...], site: Site, key: str, basis: Basis, source: str
) -> Value | None:
    """One value of an entry, or None after noting the problem.

    name: the part it belongs to ("" for the entry itself); basis, source: where the
    value gives none of its own.
    """
    own: dict[str, Any] = raw if isinstance(raw, dict) else {"is": raw}
    for extra in own.keys() - {"is", "basis", "source", "spread", "low", "high"}:
        site.problem(f"{key}.{extra}", f'unknown key "{extra}"', "is, basis, source, spread, low, high")
    chosen = own.get("basis", basis)
    if chosen not in BASES:
        site.problem(f"{key}.basis", shown(chosen), listed(BASES), nearest(str(chosen), BASES))
        return None
    try:
        si, unit = _number(own.get("is"), kinds)
        relative = number(own["spread"]) if "spread" in own else None
        low, high = spread(si, chosen, relative)
        low = _number(own["low"], kinds)[0] if "low" in own else low
        high = _number(own["high"], kinds)[0] if "high" in own else high
    except QuantityError as error:
        site.problem(key, printable(error.found), error.allowed, error.nearest)
        return None
    except PydanticCustomError as error:
        context = error.context or {}
        site.problem(key, context["found"], context["allowed"])
        return None
    if prop in _AT_MOST_ONE:
        high = max(si, min(high, 1.0))
    address = f"{name}.{prop}" if name else prop
    return Value(address, si, unit, chosen, str(own.get("source", source)), low, high)


def _number(raw: Any, kinds: tuple[str, ...]) -> tuple[float, str]:
    """SI number and unit word. Raises QuantityError or `wrong`."""
    if kinds in (("degree",), ("count",)):
        return number(raw), kinds[0]
    if kinds == ("ratio",) and not isinstance(raw, str):
        return number(raw), "1"
    if not isinstance(raw, str):
        examples = " or ".join(f'"{KINDS[kind].example}"' for kind in kinds)
        raise QuantityError(shown(raw), f"a {kinds[0]} with its unit, in quotes: {examples}")
    amount = parse_any(raw, kinds)
    return amount.si, KINDS[amount.kind].si


def values_of(
    raw: Mapping[str, Any],
    name: str,
    properties: Mapping[str, tuple[str, ...]],
    site: Site,
    at: str,
    basis: Basis | None = None,
    source: str | None = None,
) -> Mapping[str, Value]:
    """All values of one part, motor or rating. basis None: placeholder, except what defines the type."""
    found: dict[str, Value] = {}
    text = source or source_text(site.source)
    for prop, one in raw.items():
        key = f"{at}.{prop}"
        if prop not in properties:
            site.problem(key, f'value "{printable(prop)}"', listed(properties, 40), nearest(prop, properties))
            continue
        certain = prop in DEFINING or properties is PART_PROPERTIES["source"]
        own: Basis = basis or ("stated" if certain else "placeholder")
        value = value_of(one, name, prop, properties[prop], site, key, own, text)
        if value is not None:
            found[prop] = value
    return MappingProxyType(found)


def source_text(source: Source) -> str:
    """A source in one line."""
    return ", ".join(filter(None, (source.title, source.edition)))
