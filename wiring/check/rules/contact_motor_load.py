"""contact.motor-load: a contact that switches a motor has a motor rating."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from wiring.check.case import Case
from wiring.check.draft import Comparison, Draft, compared, failed, unknown, with_number
from wiring.check.duty import Duty, duties, duty_of
from wiring.check.loads import describe, steady_a
from wiring.check.rating import device_contacts
from wiring.check.rule import iec, rule, us
from wiring.check.switching import motor_limits
from wiring.files.quantity import show


@rule(
    "contact.motor-load",
    "Contacts that switch a motor are rated for motors",
    danger=1,
    hazard="A contact rated for resistive load welds on a motor's starting current, and the motor runs on.",
    sources=(
        us("NEC 430.83(A)(1); UL 508 motor test at six times full load"),
        iec("IEC 60947-4-1 utilisation category AC-3"),
    ),
    checks="Each contact of receiver and added devices that carries a motor or its winding: its motor "
    "rating against "
    "the motor's full-load current. A resistive figure says nothing about motors and fails.",
    needs="The rating of the output or device (hp or AC-3) and the motor's full-load current.",
    does_not_cover="Contactors of the hoist itself, which the conversion does not change.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    return case.each(list(motor_duties(case)), lambda subject, duty: judge(case, subject, duty))


def motor_duties(case: Case) -> Iterator[tuple[str, Duty]]:
    """Contacts of receiver and devices that carry a motor; one finding per device unit."""
    seen: set[str] = set()
    for subject, duty in duties(case):
        if duty.kinds("motor"):
            yield subject, duty
    for name, part, rated in device_contacts(case):
        unit = name.rpartition(":")[0] or name
        duty = duty_of(case, part, rated)
        if unit not in seen and duty.kinds("motor") and part.by.startswith("coil:"):
            seen.add(unit)
            yield unit, duty


def judge(case: Case, subject: str, duty: Duty) -> Draft:
    """One contact with a motor on it."""
    amps = sum(steady_a(case, case.after, x) for x in duty.kinds("motor"))
    limits = motor_limits(case, duty.rated, duty.volts)
    load = f"{describe(duty.kinds('motor'))}, {show(amps, 'A', toward='up')} at {duty.volts:g} V"
    wanted = f"a motor rating (hp or AC-3) of at least {show(amps, 'A', toward='up')}"
    remedies = ("let the output drive a contactor pair that is rated for the motor",
                "use a receiver with a motor rating from its data sheet")  # fmt: skip
    if limits is None or limits.running is None:
        if duty.rated.has("resistive", "general"):
            found = f"{load}, on a contact rated resistive only"
            return with_number(failed(subject, found, wanted, *remedies, key=duty.rated.key), amps, "A")
        if duty.rated.has("pilot", "ac15_120", "ac15_240"):
            found = f"{load}, on a contact rated for coils only"
            return with_number(failed(subject, found, wanted, *remedies, key=duty.rated.key), amps, "A")
        return unknown(subject, f"{load}; the contact's rating is not known", wanted,
                       "read the rating on the data sheet", *remedies, key=duty.rated.key)  # fmt: skip
    return compared(subject, Comparison(amps, limits.running, "at-most", "A"), f"{load}; rated "
        f"{limits.text}", wanted,
                    *remedies, key=duty.rated.key,
                    path=f"{limits.text} stands for {show(limits.running, 'A')}")  # fmt: skip
