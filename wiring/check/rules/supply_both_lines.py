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
    checks="Motors of a supply with no earthed pole at them: a stop that is no isolator takes every winding "
    "off both "
    "lines.",
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
    wanted = "a stop in reach that takes every winding off both lines"
    pins = {pin for p in case.after.parts if p.name in motor.parts for pin in p.pins}
    limit = case.cell("hoist-practice", "touch-dry", "voltage_ac")
    remedies = ("use a two-pole stop", "use a contactor that opens both lines")
    stops = [s for s in case.after.stops if s.kind not in ("isolator", "plug")]
    if not stops:
        return unknown(
            subject, "no stop of the plan to judge, but for the isolator", wanted, *remedies, key="stop"
        )
    left = {s.input: level(case, (s.input,), pins) for s in stops}
    dead = [name for name, volts in left.items() if volts <= limit]
    if dead:
        return passed(subject, f"{', '.join(dead)} takes the windings off both lines", wanted)
    name, volts = min(left.items(), key=lambda pair: pair[1])
    return failed(subject, f"{name} pressed: its windings stand at {show(volts, 'V', toward='up')} on the "
                           "other line",
                  wanted, *remedies, key="stop")  # fmt: skip


def level(case: Case, state: tuple[str, ...], pins: set[str]) -> float:
    """Highest voltage to earth of the windings' ends in a state. [V]"""
    potential = to_earth(case, "after", state)
    return max((abs(potential.get(p, 0j)) for p in pins), default=0.0)
