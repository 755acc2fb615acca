"""Fields that only a job has: addresses, cells, meter readings, bench times."""

from __future__ import annotations

from typing import Annotated, Any

from wiring.files.fields import Reads, shown, text, wrong
from wiring.files.quantity import QuantityError, parse

Hash = Annotated[str, text(r"[0-9a-f]{4,64}", "hex digits", "7f3a2c91d04e")]
ButtonName = Annotated[str, text(r"[A-Za-z0-9][A-Za-z0-9_-]*(?:\.[0-9])?", "a button or a stop", "up.2")]
KeyName = Annotated[str, text(r"[a-z0-9][a-z0-9-]*(?:\.[0-9])?", "a key", "up.2")]
Place = Annotated[str, text(r"[^\s\"'][^\"']{0,80}", "cores or points", "1+3")]
HoistName = Annotated[str, text(r"hoist:[^\s:\"']{1,40}", "a wire or part of the hoist", "hoist:W4")]
Address = Annotated[
    str,
    text(r"[A-Za-z][^\s\"']{0,80}\.[a-z][a-z0-9_]*", "an address owner:part.property", "hoist:motor.power"),
]
CellName = Annotated[
    str, text(r"[^\s/\"']+/[^\"']+/[^\s/\"']+", "table/row/column", "nec-610-14-a/14/c75_30")
]


def read_reading(value: Any) -> Any:
    """A meter reading: ohms or volts, or what the meter did."""
    words = ("OL", "climbs", "drops")
    if isinstance(value, str) and value in words:
        return value
    if not isinstance(value, str):
        raise wrong(shown(value), '"0.3 ohm" or "24 V" with its unit, or OL, climbs, drops')
    try:
        return parse(value, "voltage" if value.endswith("V") else "resistance")
    except QuantityError as error:
        raise wrong(error.found, f"{error.allowed}; or OL, climbs, drops", error.nearest) from None


def read_bound(value: Any) -> Any:
    """A bench time: "0.4 s", or "< 1 s" for an upper bound, as (amount, is a bound)."""
    if not isinstance(value, str):
        raise wrong(shown(value), 'a time such as "0.4 s" or "< 1 s"')
    bound = value.startswith("<")
    try:
        return parse(value.removeprefix("<").strip() if bound else value, "time"), bound
    except QuantityError as error:
        raise wrong(f'"{value[:40]}"', f'{error.allowed}; or an upper bound "< 1 s"', error.nearest) from None


ReadingValue = Annotated[Any, Reads(read_reading, {"type": "string", "examples": ["0.3 ohm", "24 V", "OL"]})]
BenchTime = Annotated[Any, Reads(read_bound, {"type": "string", "examples": ["0.4 s", "< 1 s"]})]
