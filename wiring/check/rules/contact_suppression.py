"""contact.suppression: coils that the receiver switches have the right suppressor."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.duty import duty_of
from wiring.check.loads import alternating
from wiring.check.nets import Net
from wiring.check.rating import receiver_contacts
from wiring.check.rule import iec, rule, us
from wiring.model.circuit import Part


@rule(
    "contact.suppression",
    "Coils switched by the receiver are suppressed",
    danger=3,
    hazard="The surge of a coil ages the receiver's contact and resets its electronics.",
    sources=(
        us("NFPA 79 on suppression (recalled); relay makers' notes"),
        iec("IEC 60204-1 4.4.2; contactor system manual on suppressors"),
    ),
    checks="Each coil that a receiver contact switches directly has a suppressor across it: RC or varistor "
    "on AC, diode, "
    "diode with zener or varistor on DC. A plain diode on an AC coil is a short.",
    needs="The suppressor as a device across the coil.",
    does_not_cover="Its effect on the stop time, which mode.stop-travel takes.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    coils: dict[str, Part] = {}
    for _, part, rated in receiver_contacts(case):
        for load in duty_of(case, part, rated).kinds("coil"):
            coils[load.name] = load.part
    return case.each(coils.items(), lambda s, p: judge(case, s, p))


def across(case: Case, coil: Part) -> list[Part]:
    """Suppressors that wires alone join across a coil."""
    net = Net(case.after, ())
    ends = {net.node(pin) for pin in coil.pins}
    units = [p for p in case.after.parts if p.kind == "suppressor" and p.rect != "bleeder"]
    return [p for p in units if {net.node(pin) for pin in p.pins} == ends]


def judge(case: Case, subject: str, coil: Part) -> Draft:
    """One coil."""
    fitted = across(case, coil)
    ac = alternating(case.after, coil)
    right = ("rc", "varistor") if ac else ("diode", "diode-zener", "varistor", "rc")
    wanted = f"one of: {', '.join(right)}"
    if not fitted:
        return unknown(subject, "no suppressor across it", wanted, "put an RC unit or a varistor across the "
                                                                   "coil"
                       if ac else "put a diode with a zener across the coil", key="device")  # fmt: skip
    kind = fitted[0].rect
    if kind not in right:
        return failed(subject, f"{fitted[0].name} is a {kind} on an {'AC' if ac else 'DC'} coil", wanted,
                      "change it", key="device")  # fmt: skip
    return passed(subject, f"{fitted[0].name}: {kind}", wanted)
