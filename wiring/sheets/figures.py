"""Numbers of findings as the tables print them: measured against its limit, small ones in small units."""

from __future__ import annotations

from wiring.files.quantity import rounded, show
from wiring.model.finding import Finding

PLAIN = ("1", "count", None, "")
AGAINST = {"at-most": "up", "at-least": "down"}


def measured(finding: Finding, region: str) -> str:
    """What was found, its last digit rounded against the limit, so that the printed pair decides."""
    return figure(finding.measured, finding.unit, region, AGAINST.get(finding.sense or "", "near"))


def limit(finding: Finding, region: str) -> str:
    """What it was compared with."""
    return figure(finding.limit, finding.unit, region)


def figure(number: float | None, unit: str | None, region: str = "", toward: str = "near") -> str:
    """A number with the unit people of that region read; "" without a number."""
    if number is None:
        return ""
    if unit in PLAIN:
        return f"{rounded(number, 3, toward):g}"
    return show(number, "nF" if unit == "F" else unit or "", region=region, toward=toward)


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
