"""contact.make: contacts may close onto the starting current."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Comparison, Draft, Missing, compared
from wiring.check.duty import Duty, duties, starting
from wiring.check.loads import describe
from wiring.check.rule import iec, rule, us
from wiring.check.switching import coil_limits, motor_limits
from wiring.files.quantity import show


@rule(
    "contact.make",
    "Contacts may close onto the starting current",
    danger=1,
    hazard="A contact welds while it closes, on the peak that an ammeter never shows.",
    sources=(
        us("NEMA ICS 5, UL 508 pilot duty make figures; UL 508 motor test"),
        iec("IEC 60947-5-1 table 4 (AC-15 ten times); IEC 60947-4-1 (AC-3 ten times)"),
    ),
    checks="Coil inrush, locked-rotor current of a motor and running current of the rest together, against "
    "the make "
    "figure of the rating. Below 120 V a pilot code's make current does not rise.",
    needs="A pilot code, AC-15, AC-3, hp or declared make figure; inrush of coils, locked-rotor current of "
    "motors.",
    does_not_cover="The pulse of a charged capacitor where no figure is declared (mode.opposing).",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    def judge(subject: str, duty: Duty) -> Draft | None:
        if not duty.kinds("coil", "motor"):
            return None
        amps = starting(case, duty)
        motors = duty.kinds("motor")
        find = motor_limits(case, duty.rated, duty.volts) if motors else None
        limits = find if motors else coil_limits(case, duty.rated, duty.volts, duty.ac)
        declared = duty.rated.use(case, "make")
        limit = limits.make if limits is not None and limits.make is not None else declared
        if limit is None:
            kind = "motor" if motors else "coil"
            raise Missing(f"{duty.rated.key}.make", f"read the make current for a {kind} on the data sheet")
        text = limits.text if limits is not None else f"declared make {declared:g} A"
        return compared(subject, Comparison(amps, limit, "at-most", "A"),
                        f"closes onto {show(amps, 'A', toward='up')} ({describe(duty.loads)})",
                        f"at most {show(limit, 'A')} ({text})",
                        "let it drive a relay with a higher make figure", "use a coil of lower burden",
                        key=duty.rated.key, path=f"{text}: make {show(limit, 'A')}")  # fmt: skip

    return case.each(list(duties(case)), judge)
