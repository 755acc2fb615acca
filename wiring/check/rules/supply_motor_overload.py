"""supply.motor-overload: motors keep or get overload protection set to their plate."""

from __future__ import annotations

import re
from collections.abc import Iterable

from wiring.check.answers import answered
from wiring.check.case import Case
from wiring.check.draft import Comparison, Draft, compared, failed, passed, unknown
from wiring.check.rule import iec, rule, us
from wiring.check.states import command, commands, settled_at
from wiring.check.verdict import holds
from wiring.files.quantity import show
from wiring.model.circuit import Motor

#: A current in the words of an answer.
_CURRENT = re.compile(r"([0-9]+(?:\.[0-9]+)?) ?A\b")


@rule(
    "supply.motor-overload",
    "Motors keep their overload protection",
    danger=1,
    hazard="A motor that stalls on an overload burns and takes its brake with it.",
    sources=(
        us("NEC 430.32, 610.43 (a hoist up to 7.5 hp under manual control may do without)"),
        iec("IEC 60204-1 7.3"),
    ),
    checks="Each motor: a thermal device that ends its motions, before and after; one that the pendant's "
    "circuit had "
    "still acts. An added overload relay is set to the plate.",
    needs="Thermal devices of the type or an overload relay; [[answer]] requirement = "
    '"supply.motor-overload" with its '
    "setting; the motor's power.",
    does_not_cover="Thermistors in the winding that nobody connected.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    motors = [m for m in case.after.motors if m.kind not in ("dc-permanent-magnet", "series", "drive")]
    return case.each([(m.name, m) for m in motors], lambda s, m: judge(case, s, m))


def judge(case: Case, subject: str, motor: Motor) -> Draft:
    """One motor."""
    wanted = "a thermal device that ends its motions, set to the plate"
    was, now = ending(case, "before", motor), ending(case, "after", motor)
    lost = [t for t in was if t not in now]
    if lost:
        return failed(subject, f"{', '.join(lost)} ended it before and does not now", wanted,
                      "keep its contact in the path", key="connection")  # fmt: skip
    added = [t for t in now if t.removeprefix("thermal:") in {d.id for d in case.job.devices}]
    if added:
        setting = answered(case, "supply.motor-overload")
        if not setting:
            return unknown(subject, f"{added[0]} ends it; its setting is not stated", wanted, "set it to "
                "the plate",
                           'then answer it: [[answer]] requirement = "supply.motor-overload"',
                           key="answer")  # fmt: skip
        return set_to(case, subject, motor, f"{added[0]} set to {setting}", setting, wanted)
    if now:
        return passed(subject, f"{', '.join(now)} ends it, as before", wanted)
    if case.region == "us":
        power = case.of(motor, "power", f'state [[value]] of = "{motor.name}.power" from the plate')
        most = case.cell("nec-610-limits", "no-overload", "power")
        if power <= most:
            return passed(
                subject,
                f"none; {power / 745.7:.1f} hp under manual control may do without (610.43(D))",
                wanted,
            )
    return failed(
        subject, "no thermal device ends it", wanted, "add an overload relay set to the plate", key="device"
    )


def set_to(case: Case, subject: str, motor: Motor, found: str, setting: str, wanted: str) -> Draft:
    """A stated setting against the plate; words without a current stand as the user's."""
    printed = _CURRENT.search(setting)
    if printed is None:
        return passed(subject, found, wanted, key="answer")
    amps = float(printed[1])
    plate = case.of(motor, "full_load_current", "read the motor's current on its plate")
    most = plate
    if case.region == "us":
        most = plate * case.cell("nec-430-limits", "overload-115", "ratio")
        more = plate * case.cell("nec-430-limits", "overload-125", "ratio")
        if holds(amps, more, "at-most", "A") and not holds(amps, most, "at-most", "A"):
            only = f"above {show(most, 'A')} only for a service factor of 1.15 or a rise of 40 K"
            return unknown(subject, f"{found}; {only}", wanted, f"set it to {show(most, 'A')} or less",
                           "read the service factor on the plate", key="answer")  # fmt: skip
    return compared(subject, Comparison(amps, most, "at-most", "A"), found,
                    f"at most {show(most, 'A')}, plate {show(plate, 'A')}", "set it to the plate",
                    key="answer")  # fmt: skip


def ending(case: Case, about: str, motor: Motor) -> list[str]:
    """Thermal inputs that end every motion of the motor."""
    circuit = case.circuit(about)
    own = [c for c, m in commands(circuit).items() if set(m) & {motor.positive, motor.negative}]
    states = [command(case, about, c) for c in own]
    states = [s for s in states if settled_at(case, about, s).motions]
    thermals = [i.name for i in circuit.inputs if i.kind == "thermal"]
    return [
        t for t in thermals if states and not any(settled_at(case, about, s | {t}).motions for s in states)
    ]
