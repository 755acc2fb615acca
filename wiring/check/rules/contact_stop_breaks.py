"""contact.stop-breaks: each stop can break what it must."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Comparison, Draft, Missing, compared
from wiring.check.duty import Duty, duty_of, steady
from wiring.check.loads import describe, starting_a
from wiring.check.rating import device_rating
from wiring.check.rule import iec, rule, us
from wiring.check.switching import coil_limits, motor_limits
from wiring.files.quantity import show
from wiring.model.circuit import Stop


@rule(
    "contact.stop-breaks",
    "Stops can break the current",
    danger=1,
    hazard="An emergency stop for coils in the motor line welds the first time it is needed.",
    sources=(
        us("NEC 430.83, 430.109; UL 508"),
        iec("IEC 60947-4-1, 60947-5-1; IEC 60204-1 10.7"),
    ),
    checks="Each contact of stops and selectors that the conversion adds: in the motor line it breaks the "
    "locked-rotor "
    "current, in a coil circuit the coils.",
    needs="The rating of the stop's device; currents of motors and coils.",
    does_not_cover="Isolators and plugs (supply.isolator); stops of the hoist that stay as they are.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    ids = {d.id for d in case.job.devices}
    found = []
    for stop in case.after.stops:
        if stop.kind in ("isolator", "plug", "radio stop"):
            continue
        worst: Duty | None = None
        for name in stop.parts:
            part = case.after.part(name)
            device = part.owner.partition(".")[0]
            if device in ids:
                duty = duty_of(case, part, device_rating(case, device))
                if duty.loads and (worst is None or len(duty.kinds("motor")) > len(worst.kinds("motor"))):
                    worst = duty
        if worst is not None:
            found.append((stop.input, (stop, worst)))
    return case.each(found, lambda s, item: judge(case, s, *item))


def judge(case: Case, subject: str, stop: Stop, duty: Duty) -> Draft:
    """One stop at its heaviest contact."""
    motors = duty.kinds("motor")
    if motors:
        amps = sum(starting_a(case, case.after, x) for x in motors)
        limits = motor_limits(case, duty.rated, duty.volts)
        prop, how = "ac3", "locked rotor"
    else:
        amps = steady(case, duty)
        limits = coil_limits(case, duty.rated, duty.volts, duty.ac)
        prop, how = "pilot", "coils"
    if limits is None or limits.breaking is None:
        raise Missing(f"{duty.rated.key}.{prop}", "read what it may break on the data sheet")
    return compared(subject, Comparison(amps, limits.breaking, "at-most", "A"),
                    f"{stop.kind} breaks {show(amps, 'A', toward='up')} ({how}: {describe(duty.loads)})",
                    f"at most {show(limits.breaking, 'A')} ({limits.text})",
                    "let it open a main contactor's coil instead", "use a stop rated for the motor",
                    key=duty.rated.key)  # fmt: skip
