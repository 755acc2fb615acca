"""contact.jogging: contactors of a hoist are inched."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Comparison, Draft, Missing, compared
from wiring.check.duty import Duty
from wiring.check.loads import describe, steady_a
from wiring.check.rule import iec, rule, us
from wiring.check.rules.contact_motor_load import motor_duties
from wiring.files.quantity import show


@rule(
    "contact.jogging",
    "Contactors are rated for inching",
    danger=1,
    hazard="Inching opens the starting current again and again; a contactor for steady running welds.",
    sources=(
        us("NEMA ICS 2 jogging duty (recalled); IEC 60947-4-1 AC-4"),
        iec("IEC 60947-4-1 AC-4"),
    ),
    checks="Motor current on each contactor that the conversion adds, and on receiver contacts that carry a "
    "motor, "
    "against its AC-4 figure.",
    needs="rating.ac4; the motor's full-load current.",
    does_not_cover="Contactors of the hoist itself; mixed AC-3 and AC-4 life.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    main = {d.id for d in case.job.devices if "main-contactor" in d.type}
    # a main contactor closes once and opens on stop: it is not inched
    found = [(s, d) for s, d in motor_duties(case) if s.partition(".")[0] not in main]
    return case.each(found, lambda s, d: judge(case, s, d))


def judge(case: Case, subject: str, duty: Duty) -> Draft:
    """One contactor."""
    amps = sum(steady_a(case, case.after, x) for x in duty.kinds("motor"))
    limit = duty.rated.use(case, "ac4")
    if limit is None:
        raise Missing(f"{duty.rated.key}.ac4", "read the AC-4 figure on the data sheet")
    return compared(subject, Comparison(amps, limit, "at-most", "A"),
                    f"{describe(duty.kinds('motor'))}, {show(amps, 'A', toward='up')}",
                    f"at most {show(limit, 'A')} in AC-4", "use the next larger contactor",
                    key=duty.rated.key)  # fmt: skip
