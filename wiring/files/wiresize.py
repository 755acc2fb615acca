"""Conductor sizes: `18 AWG`, `2/0 AWG`, `250 kcmil`, `1.5 mm²`. No unit of the units library."""

from __future__ import annotations

import math
import re
from decimal import Decimal

from wiring.files.quantity import QuantityError
from wiring.model.value import WireSize

_AUGHT = {"1/0": 0, "2/0": -1, "3/0": -2, "4/0": -3}
_KCMIL_M2 = math.pi / 4 * 0.0254**2 / 1000  # a thousand circles of one mil diameter: by definition
_ALLOWED = 'a wire size such as "18 AWG", "2/0 AWG", "250 kcmil" or "1.5 mm²"'
_PATTERN = re.compile(r"([0-9]{1,4}(?:/0|\.[0-9]{1,3})?) (AWG|kcmil|mm2|mm²)")


def parse_size(text: str) -> WireSize:
    """The wire size written in `text`. Raises QuantityError.

    AWG 40 to 4/0, kcmil 250 to 2000, mm² 0.05 to 1000. The area of an AWG size is
    by definition of the gauge: diameter 0.127 mm * 92 ** ((36 - n) / 39).

    >>> round(parse_size("18 AWG").area_m2 * 1e6, 3)
    0.823
    """
    found = _PATTERN.fullmatch(text)
    if found is None:
        raise QuantityError(f'"{text[:40]}"', _ALLOWED, _nearest(text))
    number, unit = found[1], found[2]
    if unit == "AWG":
        return WireSize("awg", number, _awg_area_m2(number, text), text)
    if "/" in number:
        raise QuantityError(f'"{text}"', _ALLOWED, f'"{number} AWG"' if number in _AUGHT else "")
    size = float(number)
    name = f"{Decimal(number).normalize():f}"
    if unit == "kcmil":
        if not 250 <= size <= 2000:
            raise QuantityError(f'"{text}"', "250 to 2000 kcmil; smaller sizes are AWG")
        return WireSize("kcmil", name, size * _KCMIL_M2, text)
    if not 0.05 <= size <= 1000:
        raise QuantityError(f'"{text}"', "0.05 to 1000 mm²")
    return WireSize("mm2", name, float(Decimal(number) * Decimal("1e-6")), text)


def _awg_area_m2(number: str, text: str) -> float:
    """Copper area of an AWG size [m2]. Raises QuantityError for a size that is not made."""
    plain = re.fullmatch(r"[1-9][0-9]?", number)
    if not plain and number not in _AUGHT:
        raise QuantityError(f'"{text}"', "AWG sizes 40 to 1 and 1/0 to 4/0")
    gauge = int(number) if plain else _AUGHT[number]
    if gauge > 40:
        raise QuantityError(f'"{text}"', "AWG sizes 40 to 1 and 1/0 to 4/0")
    diameter_m = 0.127e-3 * 92 ** ((36 - gauge) / 39)
    return float(math.pi / 4 * diameter_m**2)


def _nearest(text: str) -> str:
    """The size that was meant where that can be told, or an empty text."""
    loose = re.fullmatch(
        r"#?\s*([0-9/.,]{1,7})\s*(awg|ga|gauge|kcmil|mcm|sqmm|qmm|mm\^?2|mm²)?", text.strip(), re.I
    )
    if loose is None:
        return ""
    number, word = loose[1].replace(",", "."), (loose[2] or "").lower()
    unit = {"awg": "AWG", "ga": "AWG", "gauge": "AWG", "kcmil": "kcmil", "mcm": "kcmil"}.get(word, "mm2")
    if not word:
        return f'"{number} AWG" or "{number} mm2"' if number.isdigit() else ""
    return f'"{number} {unit}"'
