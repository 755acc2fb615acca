"""The judge's own reader: job and catalog files as plain data, quantities as plain SI numbers."""

from __future__ import annotations

import functools
import re
import tomllib
from pathlib import Path
from typing import Any

CATALOGS = Path(__file__).resolve().parents[2] / "catalogs"
Data = dict[str, Any]

SCALE = {
    "V": 1.0, "kV": 1e3, "mV": 1e-3, "A": 1.0, "mA": 1e-3, "kA": 1e3, "uA": 1e-6, "VA": 1.0, "kVA": 1e3,
    "W": 1.0, "kW": 1e3, "hp": 745.7, "ohm": 1.0, "kohm": 1e3, "Mohm": 1e6, "F": 1.0, "uF": 1e-6,
    "nF": 1e-9, "Hz": 1.0, "s": 1.0, "ms": 1e-3, "m": 1.0, "cm": 0.01, "mm": 1e-3, "ft": 0.3048,
    "in": 0.0254, "%": 0.01, "": 1.0, "degC": 1.0, "deg": 1.0, "H": 1.0, "mH": 1e-3, "mm2": 1e-6, "Ah": 1.0,
    "m/min": 1 / 60, "ft/min": 0.3048 / 60, "m/s": 1.0,
}  # fmt: skip
WRITTEN = re.compile(r"\s*<?\s*([+-]?\d+(?:\.\d+)?)(?:/(\d+))?\s*(.*?)\s*$")


class CannotRead(ValueError):
    """The job holds something that this reader does not know."""


def number(text: Any) -> float:
    """The SI number of a quantity as written. Raises CannotRead."""
    if isinstance(text, dict):
        text = text["is"]
    if isinstance(text, int | float):
        return float(text)
    found = WRITTEN.match(text)
    if found is None:
        raise CannotRead(f"{text!r} is no quantity")
    value = float(found[1]) / float(found[2] or 1)
    word = found[3].replace("²", "2")
    if word in ("°F", "degF"):
        return (value - 32) / 1.8
    if word == "°C":
        return value
    if word == "AWG":
        return awg(found[1] if not found[2] else f"{found[1]}/{found[2]}")
    if word not in SCALE:
        raise CannotRead(f"{text!r}: unit {word!r} is not known here")
    return value * SCALE[word]


def awg(name: str) -> float:
    """Cross-section of an AWG size [m2], by the definition of the gauge."""
    gauge = 1 - int(name.split("/")[0]) if "/" in name else int(name)
    diameter = 0.127e-3 * 92 ** ((36 - gauge) / 39)
    return 3.141592653589793 / 4 * diameter**2


@functools.cache
def entry(kind: str, id: str) -> Data:
    """A catalog entry or table as it stands in its file."""
    path = CATALOGS / kind / f"{id}.toml"
    if not path.is_file():
        raise CannotRead(f"no {kind} {id}")
    return tomllib.loads(path.read_text("utf-8"))


@functools.lru_cache(maxsize=64)
def job(text: str) -> Data:
    """A job file as plain data."""
    return tomllib.loads(text)


def stated(of: Data) -> dict[str, float]:
    """Every `[[value]]` of a job: name to number."""
    return {row["of"]: number(row["is"]) for row in of.get("value", [])}
