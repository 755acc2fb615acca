"""contact.break: contacts may open what they carry."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Comparison, Draft, Missing, compared
from wiring.check.duty import Duty, duties
from wiring.check.loads import describe, starting_a, steady_a
from wiring.check.rule import iec, rule, us
from wiring.check.switching import coil_limits, motor_limits
from wiring.files.quantity import show


@rule(
    "contact.break",
    "Contacts may open their current",
    danger=1,
    hazard="A contact that cannot open its load keeps the arc, and the motion.",
    sources=(
        us("NEMA ICS 5, UL 508: break figures; motors at locked rotor"),
        iec("IEC 60947-5-1 table 4; IEC 60947-4-1 (AC-3 opens eight times its current)"),
    ),
    checks="Sealed current of coils against the break figure; of motors the locked-rotor current, because "
    "an inched "
    "motor is opened while it still starts.",
    needs="A pilot code, AC-15, DC-13, AC-3 or hp rating; currents of coils and motors.",
    does_not_cover="Power factors below those the category assumes.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    def judge(subject: str, duty: Duty) -> Draft | None:
        motors = duty.kinds("motor")
        if not duty.kinds("coil", "motor"):
            return None
        each = starting_a if motors else steady_a
        shares = {x.name: each(case, case.after, x) for x in motors or duty.loads}
        amps = sum(shares.values())
        total = show(amps, "A", toward="up")
        parts = " + ".join(f"{name} {show(a, 'A')}" for name, a in shares.items()) + f" = {total}"
        if len(shares) == 1:
            parts = f"{next(iter(shares))} {total}"  # not two figures of one current, rounded both ways
        if motors:
            limits = motor_limits(case, duty.rated, duty.volts)
        else:
            limits = coil_limits(case, duty.rated, duty.volts, duty.ac)
        if limits is None or limits.breaking is None:
            kind = "motor" if motors else "coil"
            raise Missing(f"{duty.rated.key}.{'ac3' if motors else 'pilot'}",
                          f"read what it may break of a {kind} on the data sheet")  # fmt: skip
        return compared(subject, Comparison(amps, limits.breaking, "at-most", "A"),
                        f"opens {total} ({describe(duty.loads)})",
                        f"at most {show(limits.breaking, 'A')} ({limits.text})",
                        "let it drive a relay or contactor", key=duty.rated.key,
                        path=f"{parts}; {limits.text} opens "
                        f"{show(limits.breaking, 'A')}")  # fmt: skip

    return case.each(list(duties(case)), judge)
