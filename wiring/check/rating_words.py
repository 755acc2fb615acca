"""Contact ratings and loads as people write them on one line, read strictly.

`10 A resistive, B300, 1/3 hp 120 V` and `coil 70/8 VA 24 V AC`: a text of another
form is refused with what is allowed; nothing is guessed from half of it.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Collection
from dataclasses import dataclass, replace
from typing import Any

from wiring.files.quantity import QuantityError, parse
from wiring.model.job import Rating
from wiring.model.value import Amount

_Q = r"[0-9]+(?:[./][0-9]+)? [A-Za-z]+"

CONTACT_FORMS = (
    "10 A resistive", "10 A general", "B300", "1/3 hp 120 V", "9 A AC-3", "4 A AC-4", "3 A AC-15 240 V",
    "2 A DC-13 24 V", "make 30 A", "250 V AC", "30 V DC", "min 100 mA 5 V", "life 100000",
)  # fmt: skip
LOAD_FORMS = (
    "motor 3/4 hp 120 V", "motor 6.3 A 230 V", "motor 1 hp 230 V three-phase locked 30 A",
    "coil 70/8 VA 24 V AC", "coil 12 W 24 V DC", "drive input 24 V 6 mA", "lamp 60 W 230 V",
    "resistive 5 A 230 V",
)  # fmt: skip
#: Supply voltages that a rating printed for 120 or for 240 V stands for. Definition of the classes. [V]
_CLASSES = (("120", 110.0, 132.0), ("240", 200.0, 264.0))
#: A drive input up to this voltage is taken as direct current, others must say. [V]
_LOGIC_V = 60.0
#: Lamps and heaters below this voltage run on either kind and must say which. [V]
_EITHER_V = 60.0


class RatingError(ValueError):
    """A text that is no contact rating or no load. option: where it stood; found, allowed, nearest."""

    def __init__(self, option: str, found: str, allowed: str, nearest: str = "") -> None:
        hint = f"; nearest: {nearest}" if nearest else ""
        super().__init__(f"{option}: found {found}; allowed: {allowed}{hint}")
        self.option, self.found, self.allowed, self.nearest = option, found, allowed, nearest


@dataclass(frozen=True, slots=True)
class Spoken:
    """A load in SI. kind: motor | coil | input | lamp | resistive.

    power: motor output, DC coil or lamp [W]; amps: motor or resistive current [A]; inrush, sealed: of
    an AC coil [VA]; locked: locked-rotor current [A]; None where not written.
    taken_as: what was assumed where the text is silent.
    """

    kind: str
    text: str
    volts: float
    ac: bool
    power: float | None = None
    amps: float | None = None
    inrush: float | None = None
    sealed: float | None = None
    locked: float | None = None
    phases: int = 1
    taken_as: tuple[str, ...] = ()


# ---- contact ---------------------------------------------------------------------------------------


def contact_of(text: str, codes: Collection[str]) -> Rating:
    """The ratings of a contact, comma-separated. codes: pilot codes that the tables know.

    Raises RatingError for an item of another form and for a rating given twice.
    """
    rating = Rating(source="as written")
    pilots: list[str] = []
    for item in (" ".join(part.split()) for part in text.split(",")):
        printed = re.split(r" ?/ ?", item.upper())  # B300/R300, as on many relays
        if all(code in codes for code in printed):
            pilots += printed
            continue
        for name, value in _figures(item, codes).items():
            if getattr(rating, name) is not None:
                raise RatingError("--contact", f'"{item}", and that rating once more', "each rating once")
            rating = replace(rating, **{name: value})
    return replace(rating, pilot=", ".join(pilots) or None)


def _figures(item: str, codes: Collection[str]) -> dict[str, Any]:
    """What one item of a rating says, by the names of `model.job.Rating`."""
    for pattern, read in _CONTACT:
        found = re.fullmatch(pattern, item, re.IGNORECASE)
        if found is not None:
            return read(*found.groups())
    if re.fullmatch(_Q, item) and item.endswith(" A"):
        allowed = f'what the figure is for; a bare one is resistive: "{item} resistive"'
        raise RatingError("--contact", f'"{item}"', allowed)
    near = difflib.get_close_matches(item.upper(), list(codes), 1, 0.6)
    forms = ", ".join(f'"{form}"' for form in CONTACT_FORMS)
    raise RatingError("--contact", f'"{item}"', f"comma-separated {forms}", near[0] if near else "")


def _motor_rating(power: str, volts: str) -> dict[str, Any]:
    """A motor rating in power at a voltage."""
    if volts.rpartition(" ")[2] != "V":
        raise RatingError("--contact", f'"{power} {volts}"', 'power with its voltage, "1/3 hp 120 V"')
    return {f"motor_{_class(volts)}": _quantity("--contact", power, "power")}


def _ac15(amps: str, volts: str) -> dict[str, Any]:
    return {f"ac15_{_class(volts)}": _quantity("--contact", amps, "current")}


def _dc13(amps: str, volts: str) -> dict[str, Any]:
    if not 20.0 <= _quantity("--contact", volts, "voltage").si <= 30.0:
        raise RatingError("--contact", f'"DC-13 at {volts}"', "a DC-13 figure at 24 V")
    return {"dc13_24": _quantity("--contact", amps, "current")}


def _class(volts: str) -> str:
    """`120` or `240`: the class of a printed rating's voltage."""
    si = _quantity("--contact", volts, "voltage").si
    for name, low, high in _CLASSES:
        if low <= si <= high:
            return name
    raise RatingError("--contact", f'"{volts}"', "a rating at 110 to 132 V or 200 to 264 V")


def _main(name: str) -> Callable[[str, str | None], dict[str, Any]]:
    """AC-3 or AC-4, with the voltage where it is printed."""

    def read(amps: str, volts: str | None) -> dict[str, Any]:
        found: dict[str, Any] = {name: _quantity("--contact", amps, "current")}
        if volts is not None:
            found["voltage_ac"] = _quantity("--contact", volts, "voltage")
        return found

    return read


def _one(name: str, kind: str) -> Callable[[str], dict[str, Any]]:
    return lambda text: {name: _quantity("--contact", text, kind)}


def _least(amps: str, volts: str | None) -> dict[str, Any]:
    _quantity("--contact", amps, "current")
    if volts is not None:
        _quantity("--contact", volts, "voltage")
    return {"min_load": f"{amps} {volts}" if volts else amps}


def _life(count: str) -> dict[str, Any]:
    if int(count) == 0:
        raise RatingError("--contact", '"life 0"', "a number of operations above nothing")
    return {"electrical_life": int(count)}


_CONTACT: tuple[tuple[str, Callable[..., dict[str, Any]]], ...] = (
    (rf"({_Q}) resistive", _one("resistive", "current")),
    (rf"({_Q}) general(?: use| purpose)?", _one("general", "current")),
    (rf"({_Q}) AC-3(?: ({_Q}))?", _main("ac3")),
    (rf"({_Q}) AC-4(?: ({_Q}))?", _main("ac4")),
    (rf"({_Q}) AC-15 ({_Q})", _ac15),
    (rf"AC-15 ({_Q}) ({_Q})", _ac15),
    (rf"({_Q}) DC-13 ({_Q})", _dc13),
    (rf"DC-13 ({_Q}) ({_Q})", _dc13),
    (rf"make ({_Q})", _one("make", "current")),
    (rf"({_Q}) AC", _one("voltage_ac", "voltage")),
    (rf"({_Q}) DC", _one("voltage_dc", "voltage")),
    (rf"min ({_Q})(?: ({_Q}))?", _least),
    (r"life ([0-9]{1,9})(?: operations)?", _life),
    (r"([0-9]+(?:[./][0-9]+)? (?:hp|kW|W)) " + rf"({_Q})", _motor_rating),
)


# ---- load ------------------------------------------------------------------------------------------


def load_of(text: str) -> Spoken:
    """The load written in `text`. Raises RatingError."""
    plain = " ".join(text.split())
    for pattern, read in _LOADS:
        found = re.fullmatch(pattern, plain)
        if found is not None:
            return read(plain, **found.groupdict())
    near = difflib.get_close_matches(plain, LOAD_FORMS, 1, 0.5)
    forms = ", ".join(f'"{form}"' for form in LOAD_FORMS)
    raise RatingError("--load", f'"{plain}"', f"one of the forms {forms}", near[0] if near else "")


def _motor(text: str, size: str, volts: str, kind: str | None, phases: str | None,
    locked: str | None) -> Spoken:  # fmt: skip
    by_current = size.rpartition(" ")[2] in ("A", "mA")
    si = _positive("--load", size, "current" if by_current else "power")
    taken: tuple[str, ...] = () if kind else ("alternating current",)
    if phases is None and kind != "DC":
        taken += ("single-phase",)
    if kind == "DC" and phases is not None:
        raise RatingError("--load", f'"{text}"', "phases for an AC motor only")
    return Spoken(
        "motor", text, _positive("--load", volts, "voltage"), kind != "DC",
        power=None if by_current else si, amps=si if by_current else None,
        locked=_positive("--load", locked, "current") if locked else None,
        phases=3 if phases == "three-phase" else 1, taken_as=taken,
    )  # fmt: skip


def _coil_ac(text: str, inrush: str | None, sealed: str, volts: str) -> Spoken:
    held = _positive("--load", f"{sealed} VA", "apparent power")
    pulled = _positive("--load", f"{inrush} VA", "apparent power") if inrush else None
    if pulled is not None and pulled < held:
        raise RatingError("--load", f'"{text}"', "inrush before sealed, the larger one first: 70/8 VA")
    volt = _positive("--load", volts, "voltage")
    return Spoken("coil", text, volt, True, inrush=pulled, sealed=held)


def _coil_dc(text: str, size: str, volts: str) -> Spoken:
    return Spoken(
        "coil", text, _positive("--load", volts, "voltage"), False, power=_positive("--load", size, "power")
    )


def _input(text: str, volts: str, kind: str | None, amps: str) -> Spoken:
    si = _positive("--load", volts, "voltage")
    if kind is None and si > _LOGIC_V:
        raise RatingError("--load", f'"{text}"', f'AC or DC after "{volts}"')
    taken = () if kind else ("direct current",)
    return Spoken("input", text, si, kind == "AC", amps=_positive("--load", amps, "current"), taken_as=taken)


def _lamp(text: str, size: str, volts: str, kind: str | None) -> Spoken:
    found = _plain(text, size, volts, kind)
    if found.power is None:
        raise RatingError("--load", f'"{text}"', 'the power of a lamp, "lamp 60 W 230 V"')
    return replace(found, kind="lamp")


def _plain(text: str, size: str, volts: str, kind: str | None) -> Spoken:
    si = _positive("--load", volts, "voltage")
    if kind is None and si < _EITHER_V:
        raise RatingError("--load", f'"{text}"', f'AC or DC after "{volts}"')
    by_current = size.rpartition(" ")[2] in ("A", "mA")
    much = _positive("--load", size, "current" if by_current else "power")
    return Spoken(
        "resistive", text, si, kind != "DC", power=None if by_current else much,
        amps=much if by_current else None, taken_as=() if kind else ("alternating current",),
    )  # fmt: skip


_LOADS: tuple[tuple[str, Callable[..., Spoken]], ...] = (
    (rf"motor (?P<size>{_Q}) (?P<volts>{_Q})(?: (?P<kind>AC|DC))?(?: (?P<phases>single-phase|three-phase))?"
     rf"(?: locked (?P<locked>{_Q}))?", _motor),
    (rf"coil (?:(?P<inrush>[0-9.]+)/)?(?P<sealed>[0-9.]+) VA (?P<volts>{_Q}) AC", _coil_ac),
    (rf"coil (?P<size>{_Q}) (?P<volts>{_Q}) DC", _coil_dc),
    (rf"drive input (?P<volts>{_Q})(?: (?P<kind>AC|DC))? (?P<amps>{_Q})", _input),
    (rf"lamp (?P<size>{_Q}) (?P<volts>{_Q})(?: (?P<kind>AC|DC))?", _lamp),
    (rf"resistive (?P<size>{_Q}) (?P<volts>{_Q})(?: (?P<kind>AC|DC))?", _plain),
)  # fmt: skip


def _positive(option: str, text: str, kind: str) -> float:
    """A quantity above nothing. [SI]"""
    return _quantity(option, text, kind).si


def _quantity(option: str, text: str, kind: str) -> Amount:
    """A quantity above nothing. Raises RatingError."""
    try:
        found = parse(text, kind)
    except QuantityError as error:
        raise RatingError(option, error.found, error.allowed, error.nearest) from error
    if found.si <= 0.0:
        raise RatingError(option, f'"{text}"', f"a {kind} above nothing")
    return found
