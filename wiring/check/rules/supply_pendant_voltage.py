"""supply.pendant-voltage: voltage in the handset and in the control circuit."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Comparison, Draft, compared
from wiring.check.loads import alternating, hertz
from wiring.check.rule import iec, rule, us
from wiring.check.states import command, commands, to_earth
from wiring.files.quantity import show


@rule(
    "supply.pendant-voltage",
    "Voltage at push-buttons and in the control circuit",
    danger=2,
    hazard="A damaged pendant puts its voltage into the hand that holds it.",
    sources=(
        us("29 CFR 1910.179(g)(1)(iii); ASME B30.17 17-1.14.1(c)"),
        iec("IEC 60204-1 9.1.2"),
    ),
    checks="Highest voltage between two cores, or a core and earth, of the handset as found, and of a "
    "handset that stays.",
    needs="The hoist type; supply.voltage.",
    does_not_cover="Voltage inside the hoist's own box.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    yield from case.each([("handset", "before")], lambda s, about: judge(case, s, about), "before")
    if any(p.zone == "handset" for p in case.after.points):
        yield from case.each([("handset", "after")], lambda s, about: judge(case, s, about))


def judge(case: Case, subject: str, about: str) -> Draft:
    """The handset of one circuit."""
    circuit = case.circuit(about)
    points = [p.name for p in circuit.points if p.zone == "handset"]
    states = [frozenset[str](), *(command(case, "before",
        c) for c in commands(case.before))] if about == "before" else [
        frozenset[str]()]  # fmt: skip
    volts = max((spread(case, about, s, points) for s in states), default=0.0)
    ac = alternating(circuit)
    if case.region == "us":
        limit = case.cell("osha-limits", "pendant", "voltage_ac" if ac else "voltage_dc")
    else:
        row = "control-dc" if not ac else "control-ac-60hz" if hertz(circuit) > 55 else "control-ac-50hz"
        limit = case.cell("iec-60204-1-limits", row, "voltage")
    return compared(subject, Comparison(volts, limit, "at-most", "V"), f"{show(volts, 'V', toward='up')} in "
        "the handset",
                    f"at most {show(limit, 'V')} {'AC' if ac else 'DC'}", "remove the pendant",
                    "control at low voltage through contactors", about=about, key="hoist.type")  # fmt: skip


def spread(case: Case, about: str, state: frozenset[str], points: list[str]) -> float:
    """Largest voltage between two of these points, or one and earth. [V]"""
    potential = to_earth(case, about, state)
    seen = [potential[p] for p in points if p in potential] + [0j]
    return max(abs(a - b) for a in seen for b in seen)
