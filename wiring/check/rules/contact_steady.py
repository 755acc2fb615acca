"""contact.steady: contacts carry the current of their worst settled state."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Comparison, Draft, Missing, compared
from wiring.check.duty import Duty, duties
from wiring.check.loads import describe, steady_a
from wiring.check.rating import Rated
from wiring.check.rule import iec, rule, us
from wiring.check.switching import coil_limits, motor_limits
from wiring.files.quantity import show


@rule(
    "contact.steady",
    "Contacts carry their running current",
    danger=1,
    hazard="A contact that runs too hot loses its spring and sticks.",
    sources=(
        us("NEMA ICS 5, UL 508: thermal continuous current"),
        iec("IEC 60947-1 conventional thermal current; IEC 60947-5-1"),
    ),
    checks="The running current of everything a receiver contact carries in its worst state, against the "
    "carrying "
    "current of its rating; coils against the break figure as well.",
    needs="A resistive, general-use or pilot rating; the currents of coils and motors.",
    does_not_cover="Derating in heat unless the data sheet states it; starting (contact.make).",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    def judge(subject: str, duty: Duty) -> Draft | None:
        if not duty.loads:
            return None
        shares = {x.name: steady_a(case, case.after, x) for x in duty.loads}
        amps = sum(shares.values())
        limit, text = carrying(case, duty)
        parts = describe(duty.loads)
        total = show(amps, "A", toward="up")
        path = " + ".join(f"{name} {show(a, 'A')}" for name, a in shares.items()) + f" = {total}"
        if len(shares) == 1:
            path = f"{next(iter(shares))} {total}"  # not two figures of one current, rounded both ways
        return compared(subject, Comparison(amps, limit, "at-most", "A"),
                        f"{total} for {parts}", f"at most {show(limit, 'A')} ({text})",
                        "spread the loads over two outputs", "let it drive a contactor or relay",
                        key=duty.rated.key, path=path)  # fmt: skip

    return case.each(list(duties(case)), judge)


def carrying(case: Case, duty: Duty) -> tuple[float, str]:
    """What the contact may carry [A] and by which rating."""
    rated: Rated = duty.rated
    found = [(v, f"{n} rating") for n in ("resistive", "general") if (v := rated.use(case, n)) is not None]
    for word in rated.words.get("pilot", "").replace("/", ",").split(","):
        for table in ("pilot-duty-ac", "pilot-duty-dc"):
            thermal = case.cell_or_none(table, word.strip().upper(), "thermal")
            if thermal is not None:
                found.append(
                    (thermal * rated.share(case, "pilot"), f"carrying current of {word.strip().upper()}")
                )
    if len(duty.kinds("coil")) == len(duty.loads):
        limits = coil_limits(case, rated, duty.volts, duty.ac)
        if limits is not None and limits.breaking is not None:
            return limits.breaking, limits.text
    if not found and duty.kinds("motor"):
        motor = motor_limits(case, rated, duty.volts)
        if motor is not None and motor.running is not None:
            found.append((motor.running, motor.text))
    if not found:
        for name in ("ac3", "ac15_120", "ac15_240", "dc13_24"):
            if (v := rated.use(case, name)) is not None:
                found.append((v, name))
    if not found:
        raise Missing(f"{rated.key}.resistive", "read what the contact carries on the data sheet")
    return max(found)
