"""What is written beside a part: designation, function, rating, cross-references."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Mapping

from wiring.draw.cells import XREF
from wiring.draw.items import local
from wiring.draw.place import stem
from wiring.model.circuit import Circuit, Part
from wiring.model.value import Value

HOIST = "hoist:"
UNITS = {"ohm": "Ω", "degC": "°C"}
PREFIXES = ((1e3, "k"), (1.0, ""), (1e-3, "m"), (1e-6, "µ"), (1e-9, "n"))


def sign(point: str) -> str:
    """A terminal's name as it is printed at its sign: `core 3`, `plug L`, `handset up`, `X1.2`."""
    shown = bare(point)
    for owner, word in (("core:", "core "), ("plug:", "plug "), ("pendant:", "handset ")):
        shown = shown.replace(owner, word)
    return shown


def bare(name: str) -> str:
    """A part's or point's name without the owner `hoist:`, which is understood on a circuit sheet."""
    return name.removeprefix(HOIST)


def designation(part: Part, style: str) -> str:
    """The designation of the device a part belongs to: `-K1` after IEC practice, `K1` after US practice."""
    cause, _, id = part.by.partition(":")
    name = id if cause == "coil" else part.name
    if part.owner == "pendant" and part.kind in ("contact", "semiconductor"):
        return ""
    if part.owner == "pendant":
        return local(part.name)
    if part.owner == "receiver":
        return part.name.replace(":", " ")
    if "plug" in name:
        return bare(name).replace("plug-", "plug ")
    name = bare(stem(name) if part.kind in ("contact", "semiconductor", "wire") else name)
    return f"-{name}" if style == "iec" else name


def spoken(name: str) -> str:
    """An input's name as words: `button:up.2` becomes `button up, second step`."""
    kind, _, id = name.partition(":")
    base, dot, step = id.partition(".")
    second = ", second step" if dot and step == "2" else ""
    return f"{kind} {base if second else id}{second}".strip()


def contact_lines(part: Part, circuit: Circuit) -> tuple[str, ...]:
    """Function of a contact in words, and where its coil stands."""
    cause, _, id = part.by.partition(":")
    if cause == "coil":
        return (f"{XREF}{id}",)
    if cause == "output":
        return _output_lines(part, circuit)
    if cause == "stop":
        kinds = [stop.kind for stop in circuit.stops if stop.input == part.by]
        kind = kinds[0] if kinds else "stop"
        if kind == "plug":
            return ()
        return (kind,) if id in part.name.replace(":", ".").split(".") or id == kind else (kind, id)
    if cause == "limit":
        kinds = [f"{limit.kind} limit" for limit in circuit.limits if limit.input == part.by]
        return (spoken(part.by), *(k for k in kinds if k != "first limit"))
    if part.label:
        return (part.label,)
    return tuple(spoken(part.by).split(", ")) if part.by else ()


def _output_lines(part: Part, circuit: Circuit) -> tuple[str, ...]:
    found = [output for output in circuit.outputs if output.name == part.by.partition(":")[2]]
    key = found[0].key.replace("key:", "key ") if found and found[0].key else "no key set"
    return (f"{key} {XREF}receiver",)


def amount(value: Value | None, digits: int = 3) -> str:
    """A value in plain units: `24 V`, `16 µF`, `1.5 kW`; "" for None."""
    if value is None:
        return ""
    number, unit = value.si, UNITS.get(value.unit, value.unit)
    if number == 0 or unit in ("", "°C", "1"):
        return f"{number:g} {unit}".strip()
    for factor, prefix in PREFIXES:
        if abs(number) >= factor * 0.9995:
            if prefix == "k" and unit not in ("W", "Ω", "VA"):
                continue
            return f"{float(f'{number / factor:.{digits}g}'):g} {prefix}{unit}"
    return f"{number:.{digits}g} {unit}"


def rating_lines(part: Part, circuit: Circuit, ratings: Mapping[str, str]) -> tuple[str, ...]:
    """Rated figures of a part, as its entry or the job gives them."""
    v = part.values.get
    lines: list[str] = []
    if part.kind == "transformer":
        lines = [f"{amount(v('primary'))} / {amount(v('secondary'))}", amount(v("power"))]
    elif part.kind == "coil":
        lines = [amount(v("voltage"))]
    elif part.kind == "fuse":
        lines = [amount(v("rating"))]
    elif part.kind == "capacitor":
        lines = [amount(v("capacitance")), amount(v("voltage"))]
    elif part.kind == "brake":
        lines = ["brake", amount(v("voltage")), {"half": "half-wave", "full": "full-wave"}.get(part.rect, "")]
    elif part.kind == "motor3":
        lines = _motor_lines(part, circuit)
    elif part.kind == "winding":
        lines = [*_motor_lines(part, circuit)]
    if part.name in ratings:
        lines.append(ratings[part.name])
    return tuple(line for line in lines if line)


def _motor_lines(part: Part, circuit: Circuit) -> list[str]:
    for motor in circuit.motors:
        if part.name in motor.parts:
            v = motor.values.get
            head = (
                ""
                if motor.parts[0] != part.name
                else f"{amount(v('power'))} {amount(v('full_load_current'))}"
            )
            name = "motor" if bare(motor.name) == "motor" else f"motor {bare(motor.name)}"
            moves = f"{motor.positive} / {motor.negative}" if motor.parts[0] == part.name else ""
            return [name if part.name != motor.name else "", *_fold(moves), head.strip()]
    return []


def _fold(moves: str) -> list[str]:
    """`hoist up / hoist down` in one short line: `hoist up/down`."""
    first, slash, second = moves.partition(" / ")
    if not slash:
        return [moves] if moves else []
    a, b = first.split(" "), second.split(" ")
    while len(a) > 1 and len(b) > 1 and a[0] == b[0]:
        head = a.pop(0)
        b.pop(0)
        first = head
        if len(a) == 1 or len(b) == 1 or a[0] != b[0]:
            return [f"{first} {' '.join(a)}/{' '.join(b)}"]
    return [f"{' '.join(a)}/{' '.join(b)}"]


def coil_contacts(part: Part, circuit: Circuit, spare: tuple[Part, ...]) -> tuple[str, ...]:
    """Under a coil: each of its contacts, form and place; poles together; those not used by name."""
    mine = [p for p in circuit.parts if p.by == f"coil:{part.name}" and p not in spare]
    lines: list[str] = []
    poles: dict[tuple[str, str], list[Part]] = {}
    for contact in mine:
        if contact.role == "power":
            poles.setdefault((contact.form, contact.owner), []).append(contact)
        else:
            lines.append(f"{contact.form} {pair(contact)} {XREF}{contact.name}")
    heads = [f"{form} {pairs(group)} {XREF}{group[0].name}" for (form, _), group in poles.items()]
    idle = [p for p in spare if p.by == f"coil:{part.name}"]
    tails = [f"{p.form} {pair(p)} not used" for p in idle]
    return (*heads, *lines, *tails)


def pair(part: Part) -> str:
    """The terminal prints of a contact: `21-22`."""
    return "-".join(local(pin) for pin in part.pins)


def pairs(parts: list[Part]) -> str:
    """Poles in one word: `1-2 3-4 5-6` becomes `1-6` where the prints are numbers in a row."""
    prints = [local(pin) for part in parts for pin in part.pins]
    if len(parts) > 1 and all(re.fullmatch(r"\d+", p) for p in prints):
        numbers = sorted(int(p) for p in prints)
        if numbers == list(range(numbers[0], numbers[-1] + 1)):
            return f"{numbers[0]}..{numbers[-1]}"
    return " ".join(pair(part) for part in parts) if len(parts) < 3 else f"{len(parts)} poles"


FOLD = 15  # characters in a label under a part that lies along the current


def folded(line: str) -> tuple[str, ...]:
    """A label line broken at a space where it would stretch its part; a place stays with its arrow."""
    if len(line) <= FOLD or XREF in line:
        return (line,)
    return tuple(textwrap.wrap(line, FOLD, break_long_words=False))
