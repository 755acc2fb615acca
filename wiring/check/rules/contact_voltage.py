"""contact.voltage: contacts are rated for the voltage and kind of current they switch."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from wiring.check.case import Case
from wiring.check.draft import Comparison, Draft, Missing, compared
from wiring.check.duty import Duty, duties, duty_of
from wiring.check.rating import device_contacts
from wiring.check.rule import iec, rule, us
from wiring.check.switching import voltage_ceiling


@rule(
    "contact.voltage",
    "Contacts rated for the voltage",
    danger=2,
    hazard="Above its rated voltage a contact does not clear the arc and burns.",
    sources=(us("NEMA ICS 5, UL 508: code voltage"), iec("IEC 60947-5-1 rated operational voltage")),
    checks="The voltage of the circuit each receiver contact switches, against the voltage it is rated for. "
    "The poles of an added device are named only where its data sheet states less.",
    needs="voltage_ac or voltage_dc of the rating, or a pilot code; the coil's or motor's voltage.",
    does_not_cover="Twice line voltage at an open contact of a capacitor motor; surges.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    def judge(subject: str, duty: Duty) -> Draft | None:
        if not duty.loads:
            return None
        ceiling = voltage_ceiling(case, duty.rated, duty.ac)
        kind = "AC" if duty.ac else "DC"
        if ceiling is None:
            raise Missing(f"{duty.rated.key}.voltage_{kind.lower()}", "read it on the data sheet")
        limit, text = ceiling
        return compared(subject, Comparison(duty.volts, limit, "at-most", "V"),
                        f"{duty.volts:g} V {kind} on a contact rated {text}", f"at most {limit:g} V {kind}",
                        "let it drive a relay on a lower voltage", "use a receiver rated for the voltage",
                        key=duty.rated.key)  # fmt: skip

    return case.each([*duties(case), *overstressed(case)], judge)


def overstressed(case: Case) -> Iterator[tuple[str, Duty]]:
    """Units of added devices whose stated rating is below the voltage that their poles switch."""
    seen: set[str] = set()
    for name, part, rated in device_contacts(case):
        unit = name.rpartition(":")[0] or name
        if unit in seen or rated.typical or not rated.has("voltage_ac", "voltage_dc"):
            continue
        duty = duty_of(case, part, rated)
        ceiling = voltage_ceiling(case, rated, duty.ac)
        if duty.loads and ceiling is not None and duty.volts > ceiling[0]:
            seen.add(unit)
            yield unit, duty
