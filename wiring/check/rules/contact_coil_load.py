"""contact.coil-load: a contact that switches a coil has a coil rating."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.duty import Duty, duties
from wiring.check.loads import describe, steady_a
from wiring.check.rule import iec, rule, us
from wiring.check.switching import coil_limits
from wiring.check.verdict import holds
from wiring.files.quantity import show


@rule(
    "contact.coil-load",
    "Contacts that switch a coil are rated for coils",
    danger=1,
    hazard="A coil draws an arc that a resistive rating does not know; the contact sticks and the motion "
    "stays.",
    sources=(
        us("NEMA ICS 5, UL 508 pilot duty; the 40 percent limit is engineering judgement"),
        iec("IEC 60947-5-1 AC-15, DC-13; the 40 percent limit is engineering judgement"),
    ),
    checks="Each receiver contact with a coil on it has a pilot code or an AC-15 or DC-13 figure for its "
    "voltage. With "
    "a resistive figure only it fails, unless the coil stays within the engineering share: then it is "
    "unknown.",
    needs="The rating of the output from its data sheet; the coil's burden.",
    does_not_cover="How much (contact.steady, contact.make, contact.break).",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    def judge(subject: str, duty: Duty) -> Draft | None:
        coils = duty.kinds("coil")
        if not coils:
            return None
        wanted = "a pilot code, or an AC-15 or DC-13 figure at this voltage"
        remedies = ("read the coil rating on the data sheet", "let it drive a small relay that has one",
                    "use a receiver with a coil rating")  # fmt: skip
        limits = coil_limits(case, duty.rated, duty.volts, duty.ac)
        load = f"{describe(coils)} at {duty.volts:g} V {'AC' if duty.ac else 'DC'}"
        if limits is not None and duty.rated.typical:
            return unknown(subject, f"{load}; {limits.text} is usual for its class, its own rating is not "
                                    "stated", wanted, *remedies, key=duty.rated.key)  # fmt: skip
        if limits is not None:
            return passed(subject, f"{load}; rated {limits.text}", wanted, key=duty.rated.key)
        resistive = duty.rated.use(case, "resistive") or duty.rated.use(case, "general")
        if resistive is None:
            return unknown(
                subject, f"{load}; the contact's rating is not known", wanted, *remedies, key=duty.rated.key
            )
        amps = sum(steady_a(case, case.after, x) for x in coils)
        share = case.cell("relay-screening", "resistive-coil", "ratio")
        path = (
            f"{share:g} x {show(resistive, 'A')} = {show(share * resistive, 'A')}; coils "
            f"{show(amps, 'A', toward='up')}"
        )
        if holds(amps, share * resistive, "at-most", "A"):
            return unknown(subject, f"{load} on a contact rated resistive only; within {share * 100:.0f} "
                                    "percent of it, "
                           "a judgement and no rating", wanted, *remedies, key=duty.rated.key,
                           path=path)  # fmt: skip
        return failed(subject, f"{load} on a contact rated resistive only", wanted, *remedies,
            key=duty.rated.key,
                      path=path)  # fmt: skip

    return case.each(list(duties(case)), judge)
