"""Numbers of findings as the tables print them: measured against its limit, small ones in small units."""

from __future__ import annotations

import math

from wiring.files.quantity import rounded, show
from wiring.model.finding import Finding

PLAIN = ("1", "count", None, "")
SMALL = {"F": (1e-6, "nF"), "A": (0.1, "mA")}  # below this much the smaller unit tells more
AGAINST = {"at-most": "up", "at-least": "down"}


def measured(finding: Finding, region: str) -> str:
    """What was found, its last digit rounded against the limit, so that the printed pair decides."""
    return figure(finding.measured, fine(finding), region, AGAINST.get(finding.sense or "", "near"))


def limit(finding: Finding, region: str) -> str:
    """What it was compared with."""
    return figure(finding.limit, fine(finding), region)


def fine(finding: Finding) -> str | None:
    """The unit of a finding; the smaller one where its limit is small."""
    small = finding.limit is not None and abs(finding.limit) < SMALL.get(finding.unit or "", (0.0, ""))[0]
    return SMALL[finding.unit or ""][1] if small else finding.unit


def figure(number: float | None, unit: str | None, region: str = "", toward: str = "near") -> str:
    """A number with the unit people of that region read; "" without a number."""
    if number is None:
        return ""
    if unit in PLAIN:
        places = 2 - (math.floor(math.log10(abs(number))) if number else 0)
        return f"{rounded(number, max(places, 0), toward):g}"
    return show(number, unit or "", region=region, toward=toward)


def margin(finding: Finding) -> str:
    """The margin in percent, "" without one; never a zero with a sign."""
    if finding.margin is None:
        return ""
    text = f"{finding.margin * 100:.0f}"
    return f"{text if text != '-0' else f'{finding.margin * 100:.1f}'.replace('-0.0', '0')} %"


def value_text(text: str) -> str:
    """A value as the table of recalled figures prints it, from its number and SI unit `6e-10 F/m`."""
    number, _, unit = text.partition(" ")
    if unit in PLAIN:
        return number
    if unit.startswith("F") and abs(float(number)) < 1e-6:
        return f"{float(number) * 1e12:g} pF{unit[1:]}"
    return f"{float(number) * 1e6:g} mm2" if unit == "m2" else text
