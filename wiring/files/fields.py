"""The kinds of field that our TOML files have, each with its own message and its own JSON Schema.

A `Block` is one table of a file. `freeze` turns it into the frozen dataclass
of `wiring.model` that it stands for.
"""

from __future__ import annotations

import datetime
import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from types import MappingProxyType
from typing import Annotated, Any, ClassVar

from pydantic import BaseModel, ConfigDict, GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from wiring.files.problems import listed, nearest, printable
from wiring.files.quantity import QuantityError, parse, parse_any
from wiring.files.units import KINDS
from wiring.files.wiresize import parse_size
from wiring.model.value import Amount, WireSize


class Block(BaseModel):
    """One table of a file. makes: the dataclass it becomes; field `x_` stands for key `x`."""

    model_config = ConfigDict(extra="forbid", strict=True, defer_build=True, hide_input_in_errors=True)
    makes: ClassVar[type | None] = None


def freeze(value: Any) -> Any:
    """A block as its dataclass, lists as tuples, tables as read-only mappings."""
    if isinstance(value, Block):
        made = type(value).makes
        if made is None:
            raise TypeError(f"{type(value).__name__} stands for no dataclass")
        return made(**{name: freeze(getattr(value, name)) for name in type(value).model_fields})
    if isinstance(value, list):
        return tuple(freeze(each) for each in value)
    if isinstance(value, dict):
        return MappingProxyType({key: freeze(each) for key, each in value.items()})
    return value


def wrong(found: str, allowed: str, near: str = "") -> PydanticCustomError:
    """The error of a field: what was found, what is allowed, the nearest valid text."""
    return PydanticCustomError("wrong", "wrong", {"found": found, "allowed": allowed, "nearest": near})


@dataclass(frozen=True, eq=False)
class Reads:
    """Marks a field as read by `read` (raises `wrong`) and described to editors by `schema`."""

    read: Callable[[Any], Any]
    schema: dict[str, Any]

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        return dict(self.schema)


def shown(value: Any) -> str:
    """A value of a file as a message shows it."""
    if isinstance(value, str):
        return f'"{printable(value)}"'
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        return "a table"
    return "a list" if isinstance(value, list) else printable(str(value))


# ---- quantities -----------------------------------------------------------------------------------


def _quantity(*kinds: str) -> Reads:
    """A field that holds a quantity of one of the kinds, as text with a unit."""

    def read(value: Any) -> Amount:
        if not isinstance(value, str):
            examples = " or ".join(f'"{KINDS[kind].example}"' for kind in kinds)
            raise wrong(shown(value), f"a {kinds[0]} with its unit, in quotes: {examples}")
        try:
            return parse(value, kinds[0]) if len(kinds) == 1 else parse_any(value, kinds)
        except QuantityError as error:
            raise wrong(printable(error.found), error.allowed, error.nearest) from None

    words = sorted({word for kind in kinds for word in KINDS[kind].units})
    fraction = "|[1-9][0-9]?/[1-9][0-9]? hp" if "power" in kinds else ""
    pattern = rf"^([+-]?[0-9]{{1,7}}(\.[0-9]{{1,7}})? ({'|'.join(map(re.escape, words))}){fraction}|unknown)$"
    return Reads(
        read, {"type": "string", "pattern": pattern, "examples": [KINDS[kind].example for kind in kinds]}
    )


Length = Annotated[Amount, _quantity("length")]
Current = Annotated[Amount, _quantity("current")]
Voltage = Annotated[Amount, _quantity("voltage")]
Resistance = Annotated[Amount, _quantity("resistance")]
Power = Annotated[Amount, _quantity("power")]
Time = Annotated[Amount, _quantity("time")]
Frequency = Annotated[Amount, _quantity("frequency")]
Temperature = Annotated[Amount, _quantity("temperature")]
Speed = Annotated[Amount, _quantity("speed")]
Ratio = Annotated[Amount, _quantity("ratio")]
Torque = Annotated[Amount, _quantity("torque")]
AnyAmount = Annotated[Amount, _quantity(*KINDS)]


def _read_size(value: Any) -> WireSize:
    if not isinstance(value, str):
        raise wrong(shown(value), 'a wire size with its unit, in quotes: "16 AWG" or "1.5 mm2"')
    try:
        return parse_size(value)
    except QuantityError as error:
        raise wrong(printable(error.found), error.allowed, error.nearest) from None


Size = Annotated[
    WireSize,
    Reads(
        _read_size,
        {
            "type": "string",
            "pattern": r"^([0-9]{1,4}(/0|\.[0-9]{1,3})? (AWG|kcmil|mm2|mm²)|unknown)$",
            "examples": ["16 AWG", "2/0 AWG", "250 kcmil", "1.5 mm²"],
        },
    ),
]


# ---- words, names, texts --------------------------------------------------------------------------


def word(*words: str) -> Reads:
    """A field that holds one of these words."""

    def read(value: Any) -> str:
        if value not in words or not isinstance(value, str):
            near = nearest(value, words) if isinstance(value, str) else ""
            raise wrong(shown(value), listed(words, 60), near)
        return value

    return Reads(read, {"enum": list(words)})


def time_or(*words: str) -> Reads:
    """A field that holds a time, or one of these words."""
    time = _quantity("time")

    def read(value: Any) -> Amount | str:
        if isinstance(value, str) and value in words:
            return value
        if isinstance(value, str) and value[:1].isalpha():
            raise wrong(shown(value), f'a time such as "0.4 s", or {listed(words)}', nearest(value, words))
        result: Amount = time.read(value)
        return result

    return Reads(read, {"anyOf": [time.schema, {"enum": list(words)}]})


def text(pattern: str, what: str, example: str) -> Reads:
    """A field that holds a text of a form. what, example: for the message."""
    compiled = re.compile(pattern)

    def read(value: Any) -> str:
        if not isinstance(value, str) or not compiled.fullmatch(value):
            raise wrong(shown(value), f'{what} such as "{example}"')
        return value

    return Reads(read, {"type": "string", "pattern": f"^(?:{pattern})$", "examples": [example]})


def _read_line(value: Any) -> str:
    if not isinstance(value, str):
        raise wrong(shown(value), "a text, in quotes")
    if "\n" in value or "\t" in value:
        raise wrong(shown(value), "a text on one line")
    if len(value) > 500:
        raise wrong(shown(value), "at most 500 characters")
    return value


def _read_prose(value: Any) -> str:
    if not isinstance(value, str):
        raise wrong(shown(value), "a text, in quotes")
    if len(value) > 4000:
        raise wrong(shown(value), "at most 4000 characters")
    return value


def _read_count(value: Any) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value <= 1_000_000_000:
        raise wrong(shown(value), "a whole number from 0 to 1 000 000 000, without quotes")
    return value


def _read_switch(value: Any) -> bool:
    if not isinstance(value, bool):
        near = str(value).lower() if str(value).lower() in ("true", "false") else ""
        raise wrong(shown(value), "true or false, without quotes", near)
    return value


def _read_date(value: Any) -> datetime.date:
    if not isinstance(value, datetime.date) or isinstance(value, datetime.datetime):
        raise wrong(shown(value), "a date such as 2026-11-25, without quotes")
    return value


def _read_moment(value: Any) -> datetime.datetime:
    if not isinstance(value, datetime.datetime):
        raise wrong(shown(value), "a date and time such as 2026-11-25T09:10:00, without quotes")
    return value


def number(value: Any) -> float:
    """A finite number of a file. Raises `wrong`."""
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not math.isfinite(value):
        raise wrong(shown(value), "a number")
    return float(value)


ID = r"[A-Za-z0-9][A-Za-z0-9_-]{0,23}"
OWNER = r"[A-Za-z][A-Za-z0-9_-]{0,23}"
POINT = rf"{OWNER}(?:\.[A-Za-z0-9_-]{{1,24}})?:[^\s:\"']{{1,40}}"

Line = Annotated[str, Reads(_read_line, {"type": "string", "maxLength": 500})]
Prose = Annotated[str, Reads(_read_prose, {"type": "string", "maxLength": 4000})]
Count = Annotated[int, Reads(_read_count, {"type": "integer", "minimum": 0})]
Switch = Annotated[bool, Reads(_read_switch, {"type": "boolean"})]
Date = Annotated[datetime.date, Reads(_read_date, {"type": "string", "format": "date"})]
Moment = Annotated[datetime.datetime, Reads(_read_moment, {"type": "string", "format": "date-time"})]
Number = Annotated[float, Reads(number, {"type": "number"})]
Id = Annotated[str, text(ID, "an id of letters, digits, - and _", "CH1")]
OwnerId = Annotated[str, text(OWNER, "an id that begins with a letter", "K10")]
PointName = Annotated[str, text(POINT, "a point, owner[.unit]:terminal,", "K10.up:A1")]
Conductor = Annotated[str, text(rf"{OWNER}:[^\s:.]{{1,24}}", "a conductor, cable:conductor,", "W1:2")]
