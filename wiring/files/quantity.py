"""Every quantity a person writes, read strictly, and every number we print, shown one way.

The units library's own parser never sees user text: it reads `3 1/2 ft` as
1.5 ft and `12,5 m` as 125 m, silently. Here one pattern, one closed table of
unit words per kind, and a message of its own for each usual slip.
"""

from __future__ import annotations

import difflib
import functools
import math
import re
from collections.abc import Sequence
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Decimal
from typing import TYPE_CHECKING, Any

from wiring.files.problems import printable
from wiring.files.units import COLUMN_UNITS, DISPLAY, KIND_OF, KINDS, US_DISPLAY, Kind, Unit
from wiring.model.value import Amount

if TYPE_CHECKING:
    import pint

_NUMBER = r"[+-]?[0-9]{1,7}(?:\.[0-9]{1,7})?"
_PATTERN = re.compile(rf"({_NUMBER}) ([^\s0-9]\S{{0,11}}(?: \S{{1,12}})?)")
_FRACTION = re.compile(r"([1-9][0-9]?)/([1-9][0-9]?) hp")
_LONGEST = 40  # characters; nothing longer is a quantity


class QuantityError(ValueError):
    """A text that is no quantity of the wanted kind. found, allowed, nearest are for a `Problem`."""

    def __init__(self, found: str, allowed: str, nearest: str = "") -> None:
        found = printable(found, 200)  # it is shown where it was typed: nothing in it may steer a terminal
        super().__init__(f"found {found}; allowed: {allowed}" + (f"; nearest: {nearest}" if nearest else ""))
        self.found = found
        self.allowed = allowed
        self.nearest = nearest


def parse(text: str, kind: str) -> Amount:
    """The quantity of that kind written in `text`.

    kind: a name of `units.KINDS` ("length", "current", ...). The number has a
    sign at most, up to seven digits and a decimal dot, then one blank and a unit
    word; hp alone may be a plain fraction. Raises QuantityError, never anything else.

    >>> parse("12 ft", "length").si
    3.6576
    """
    wanted = KINDS[kind]
    fraction = _FRACTION.fullmatch(text) if kind == "power" else None
    if fraction:
        number, word = Decimal(fraction[1]) / Decimal(fraction[2]), "hp"
    else:
        number, word = _split(text, wanted)
    unit = wanted.units.get(word)
    if unit is None:
        other = f" ({word} is a unit of {KIND_OF[word]})" if word in KIND_OF else ""
        raise QuantityError(f'"{text}"', _allowed(wanted) + other, _nearest_unit(text, word, wanted))
    si = float((number - unit.before) * unit.factor)
    if not math.isfinite(si) or not wanted.low <= si <= wanted.high:
        low, high = _plain(wanted.low), _plain(wanted.high)
        raise QuantityError(f'"{text}"', f"a {kind} from {low} to {high} {wanted.si}")
    return Amount(si, kind, text)


def parse_any(text: str, kinds: Sequence[str] = ()) -> Amount:
    """The quantity in `text`, its kind read from the unit word; kinds: those allowed (none: all).

    Raises QuantityError.
    """
    allowed = tuple(kinds) or tuple(KINDS)
    found = _PATTERN.fullmatch(text) or re.fullmatch(r"(\S+) (hp)", text)
    kind = KIND_OF.get(found[2]) if found else None
    if kind in allowed:
        return parse(text, kind)
    if len(allowed) == 1 or found is None:
        return parse(text, allowed[0])
    examples = " or ".join(f'"{KINDS[name].example}"' for name in allowed[:4])
    raise QuantityError(f'"{text}"', f"a quantity with a unit such as {examples}")


def read_as(text: str, unit: str) -> float:
    """The SI number written in `text`, where a number of that SI word is wanted (a table cell).

    A plain number will do where the unit is none ("1", "count"). Raises QuantityError.
    """
    kinds = [kind.name for kind in KINDS.values() if kind.si == unit]
    plain = re.fullmatch(rf"({_NUMBER})(?: (\S{{1,12}}))?", text)
    if plain and COLUMN_UNITS.get(plain[2] or "", ("",))[0] == unit:
        return float(Decimal(plain[1]) * COLUMN_UNITS[plain[2] or ""][1])
    if plain and plain[2] is None and unit in ("1", "count"):
        return float(plain[1])
    if kinds:
        return parse_any(text, kinds).si
    words = [word for word, (si, _, _) in COLUMN_UNITS.items() if si == unit and word]
    raise QuantityError(f'"{text[:_LONGEST]}"', f"a number with its unit, {', '.join(words) or unit}")


def _split(text: str, kind: Kind) -> tuple[Decimal, str]:
    """Number and unit word of a well-formed text. Raises QuantityError with the slip named."""
    found = _PATTERN.fullmatch(text) if len(text) <= _LONGEST else None
    if found is None:
        shown = text if len(text) <= _LONGEST else text[:_LONGEST] + "..."
        raise QuantityError(f'"{shown}"', _slip(text[: 2 * _LONGEST], kind))
    if sum(character.isdigit() for character in found[1]) > 7:
        raise QuantityError(f'"{text}"', "at most seven digits")
    return Decimal(found[1]), found[2]


_SLIPS = (
    (r"\s*", "is empty"),
    (rf"{_NUMBER}", "has no unit"),
    (r"\S.*\s|\s.*", "has blanks before or after it"),
    (r"[+-]?[0-9.]*,[0-9].*", "has a comma; decimals take a dot, thousands nothing"),
    (r"""[0-9.]+\s*(?:'|′|ft|foot|feet)\s*-?\s*[0-9./ ]+\s*(?:"|″|''|in|inch|inches)?\s*""",
     "is feet and inches; write one decimal number, 5 ft 6 in is 5.5 ft"),
    (r"""[0-9.]+\s*(?:'|′|"|″)""", "has a mark for its unit; write ft or in"),
    (r"[+-]?[0-9]+\s+[0-9]+/[0-9]+.*", "is a whole number with a fraction; write decimals, 3 1/2 is 3.5"),
    (r"[+-]?[0-9]+/[0-9]+.*", "is a fraction, which only hp may be; write decimals"),
    (r"[½¼¾⅓⅔⅛].*|[0-9]+\s*[½¼¾⅓⅔⅛].*", "is a fraction; write decimals"),
    (r"[+-]?(?:nan|inf|infinity)\b.*", "is not a number"),
    (r"[+-]?[0-9.]+[eE][+-]?[0-9]+.*", "has an exponent; write the number out"),
    (r"[0-9]+(?:\s*[-–]|\s+to)\s*[0-9]+.*", "is a range; write one number"),
    (r"[<>~≈±].*", "has a sign before it; write one number"),
    (r"[0-9]{8,}.*", "has more than seven digits"),
    (r"[+-]?\.[0-9]+.*|[+-]?[0-9]+\.\s.*", "has no digit on one side of the dot"),
    (rf"{_NUMBER}[^0-9\s].*", "has no blank between number and unit"),
    (rf"{_NUMBER}\s\s+.*", "has more than one blank between number and unit"),
    (rf"{_NUMBER} \S+ (?:AC|DC|ac|dc|rms)", "says AC or DC; write the unit alone"),
)  # fmt: skip


def _slip(text: str, kind: Kind) -> str:
    """What is wrong with a text that is not of the form, and what would be right."""
    for pattern, message in _SLIPS:
        if re.fullmatch(pattern, text, re.IGNORECASE | re.DOTALL):
            return f"{_allowed(kind)} (this {message})"
    return _allowed(kind)


def _allowed(kind: Kind) -> str:
    words = ", ".join(word for word in kind.units if word.isascii() or word[0] == "°")
    return f'{"an" if kind.name[0] in "aeiou" else "a"} {kind.name} such as "{kind.example}", units {words}'


def _nearest_unit(text: str, word: str, kind: Kind) -> str:
    """The text with the unit word most like the written one, or an empty text."""
    number = text.partition(" ")[0]
    bare = re.sub(r"\s*(?:AC|DC|ac|dc|rms)$", "", word)
    folded = [unit for unit in kind.units if unit.casefold().replace(" ", "") == bare.casefold()]
    close = folded or difflib.get_close_matches(bare, list(kind.units), 1, 0.5)
    return f'"{number} {close[0]}"' if close else ""


def _plain(number: float) -> str:
    return f"{number:,.0f}".replace(",", " ") if abs(number) >= 1 or number == 0 else f"{number:g}"


def digits_of(unit: str) -> int:
    """Decimals with which a number of that unit word is printed (3 for an unlisted one)."""
    if unit in KIND_OF:
        return KINDS[KIND_OF[unit]].units[unit].digits
    return COLUMN_UNITS[unit][2] if unit in COLUMN_UNITS else 3


def convert(si: float, unit: str) -> float:
    """An SI number in the unit word given (a unit of a job file or of a table column)."""
    factor, before = _factor(unit)
    return float(Decimal(repr(float(si))) / factor + before)


def to_si(number: float, unit: str) -> tuple[float, str]:
    """A number in a unit word as (SI number, SI word). Raises KeyError for an unknown unit word."""
    if unit in KIND_OF:
        kind = KINDS[KIND_OF[unit]]
        found = kind.units[unit]
        return float((Decimal(repr(number)) - found.before) * found.factor), kind.si
    word, factor, _ = COLUMN_UNITS[unit]
    return float(Decimal(repr(number)) * factor), word


def _factor(unit: str) -> tuple[Decimal, Decimal]:
    if unit in KIND_OF:
        found: Unit = KINDS[KIND_OF[unit]].units[unit]
        return found.factor, found.before
    return (COLUMN_UNITS[unit][1], Decimal(0)) if unit in COLUMN_UNITS else (Decimal(1), Decimal(0))


def show(si: float, unit: str, region: str = "", digits: int | None = None, toward: str = "near") -> str:
    """A number as every page prints it: decimals from the unit table, then the unit word.

    unit: the word to print in, or an SI word, which is replaced by its readable
    one (F by uF, m2 by mm2; with region "us" m by ft, degC by degF). toward:
    "near", "up" or "down" says how the last digit is rounded.

    >>> show(16e-6, "F"), show(3.6576, "m", region="us")
    ('16.00 uF', '12.0 ft')
    """
    word = US_DISPLAY.get(unit, DISPLAY.get(unit, unit)) if region == "us" else DISPLAY.get(unit, unit)
    if not math.isfinite(si):
        return f"{si} {word}".rstrip()
    places = digits_of(word) if digits is None else digits
    return f"{rounded(convert(si, word), places, toward):.{places}f} {word}".rstrip()


def rounded(number: float, places: int, toward: str = "near") -> float:
    """`number` at that many decimals, to the nearest, "up" or "down"; exact on decimal input.

    A measured value is rounded against its limit ("up" for at-most, "down" for
    at-least), so that the printed pair decides. The thirteenth significant digit
    is noise of the arithmetic and does not round a value away.
    """
    mode = {"near": ROUND_HALF_EVEN, "up": ROUND_CEILING, "down": ROUND_FLOOR}[toward]
    exact = Decimal(f"{number:.12e}")
    result = float(exact.quantize(Decimal(1).scaleb(-places), rounding=mode))
    return result + 0.0  # no minus zero on paper


@functools.cache
def registry() -> pint.UnitRegistry[Any]:
    """The one units registry of the program, made when first asked for (short list of our own)."""
    import pint

    units: pint.UnitRegistry[Any] = pint.UnitRegistry(None)
    for line in _DEFINITIONS:
        units.define(line)
    return units


def quantity(amount: Amount) -> pint.Quantity[Any]:
    """The amount as a pint Quantity in SI, for formulas that want their units checked."""
    si = {"degC": "degC", "1": "", "N m": "N*m", "m2": "m**2"}.get(
        KINDS[amount.kind].si, KINDS[amount.kind].si
    )
    made: pint.Quantity[Any] = registry().Quantity(amount.si, si)
    return made


_DEFINITIONS = (
    "milli- = 1e-3 = m-", "micro- = 1e-6 = u-", "nano- = 1e-9 = n-", "pico- = 1e-12 = p-",
    "centi- = 1e-2 = c-", "kilo- = 1e3 = k-", "mega- = 1e6 = M-",
    "metre = [length] = m", "second = [time] = s", "ampere = [current] = A", "gram = [mass] = g",
    "kelvin = [temperature] = K", "degree_celsius = kelvin; offset: 273.15 = °C = degC",
    "degree_fahrenheit = 5 / 9 * kelvin; offset: 233.15 + 200 / 9 = °F = degF",
    "foot = 0.3048 * metre = ft", "inch = 0.0254 * metre", "minute = 60 * second = min",
    "hour = 3600 * second = h",
    "pound = 0.45359237 * kilogram = lb", "tonne = 1000 * kilogram", "hertz = 1 / second = Hz",
    "newton = kilogram * metre / second ** 2 = N", "lbf = 4.4482216152605 * newton",
    "watt = newton * metre / second = W", "hp = 745.69987158227022 * watt", "volt = watt / ampere = V",
    "ohm = volt / ampere = Ω", "VA = watt", "farad = ampere * second / volt = F", "percent = 0.01 = %",
)  # fmt: skip
