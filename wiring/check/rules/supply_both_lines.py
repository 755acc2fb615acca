"""supply.both-lines: a motor between two live lines is stopped on both."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.rule import iec, rule, us
from wiring.check.states import to_earth
from wiring.files.quantity import show
from wiring.model.circuit import Motor


@rule(
    "supply.both-lines",
    "Motors between two live lines are cut on both",
    danger=2,
    hazard="A one-pole stop leaves the windings on the other line, and an earth fault on the up core runs "
    "the motor.",
    sources=(
        us("NEC 430.74, 430.103; 430.84 allows one pole less, earth faults do not"),
        iec("IEC 60204-1 9.4.3.1, 5.3"),
    ),
    checks="Motors of a supply with no earthed pole at them: at rest, and with each stop pressed, no "
    "winding is live.",
    needs="supply.system; the hoist type.",
    does_not_cover="Three-phase motors behind three-pole contactors that open all lines.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    if (case.job.supply.system or "") != "1ph L-L" and not _two_line(case):
        return ()
    return case.each([(m.name, m) for m in case.after.motors], lambda s, m: judge(case, s, m))


def _two_line(case: Case) -> bool:
    entry = case.hoist_type
    return entry is not None and entry.supply_system == "1ph L-L"


def judge(case: Case, subject: str, motor: Motor) -> Draft:
    """One motor between two lines."""
    wanted = "no winding live at rest or with a stop pressed"
    pins = {pin for p in case.after.parts if p.name in motor.parts for pin in p.pins}
    states = [((), "at rest"), *(((s.input,), f"{s.input} pressed") for s in case.after.stops
                                 if s.kind not in ("isolator", "plug"))]  # fmt: skip
    limit = case.cell("hoist-practice", "touch-dry", "voltage_ac")
    for state, text in states:
        potential = to_earth(case, "after", state)
        volts = max((abs(potential.get(p, 0j)) for p in pins), default=0.0)
        if volts > limit:
            found = f"{text}: its windings stand at {show(volts, 'V', toward='up')} on the other line"
            remedies = ("use a two-pole stop or a contactor that opens both lines",)
            stops = [s for s in case.after.stops if s.kind not in ("isolator", "plug", "radio stop")]
            if stops:
                return failed(subject, found, wanted, *remedies, key="stop")
            return unknown(subject, f"{found}; no stop of the plan to judge", wanted, *remedies, key="stop")
    return passed(subject, "both lines are opened", wanted)
