"""contact.dc: contacts in direct-current circuits are rated for direct current."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.duty import Duty, duties
from wiring.check.rule import iec, rule, us


@rule(
    "contact.dc",
    "Direct-current circuits need a direct-current rating",
    danger=1,
    hazard="A contact that clears an AC arc at each zero burns on in a DC circuit; a triac never opens.",
    sources=(
        us("NEMA ICS 5 codes N to R, UL 508"),
        iec("IEC 60947-5-1 DC-13"),
    ),
    checks="Receiver contacts in direct-current circuits: a DC-13 figure or a DC pilot code for coils, a DC "
    "voltage "
    "rating for others; solid-state outputs for AC fail.",
    needs="dc13_24, voltage_dc or a DC pilot code of the rating.",
    does_not_cover="Suppression of the coil (contact.suppression).",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    direct = [(s, d) for s, d in duties(case) if d.loads and not d.ac]
    return case.each(direct, judge)


def judge(subject: str, duty: Duty) -> Draft:
    """One contact in a direct-current circuit."""
    wanted = "a DC-13 figure, a DC pilot code or a DC voltage rating"
    rated, key = duty.rated, duty.rated.key
    remedies = ("read the DC rating on the data sheet", "let it drive a relay rated for DC")
    codes = [w.strip().upper()[:1] for w in rated.words.get("pilot", "").split(",")]
    if duty.contact.kind == "semiconductor" and duty.contact.role == "triac":
        return failed(subject, f"a triac at {duty.volts:g} V DC never turns off", wanted, *remedies, key=key)
    inductive = duty.kinds("coil", "motor", "brake")
    if rated.has("dc13_24") or any(c in "NPQR" for c in codes if c):
        return typically(duty, passed(subject, f"{duty.volts:g} V DC, rated for direct-current coils", wanted,
                                      key=key), remedies)  # fmt: skip
    if rated.has("voltage_dc") and not inductive:
        return typically(duty, passed(subject, f"{duty.volts:g} V DC, rated for that", wanted, key=key),
                         remedies)  # fmt: skip
    if rated.has("voltage_dc"):
        return unknown(
            subject, f"{duty.volts:g} V DC rated, but nothing is said about coils", wanted, *remedies, key=key
        )
    # a resistive figure alone says nothing of the kind of current; beside an AC rating it is one of AC
    if rated.has("ac15_120", "ac15_240", "voltage_ac", "pilot", "motor_120", "motor_240", "ac3"):
        return failed(
            subject, f"{duty.volts:g} V DC on a contact rated for AC only", wanted, *remedies, key=key
        )
    if rated.has("resistive", "general"):
        found = f"{duty.volts:g} V DC on a contact with an ampere figure that names no voltage"
        return unknown(subject, found, wanted, *remedies, key=key)
    return unknown(
        subject, f"{duty.volts:g} V DC; the contact's rating is not known", wanted, *remedies, key=key
    )


def typically(duty: Duty, draft: Draft, remedies: tuple[str, ...]) -> Draft:
    """The answer, or unknown where only the class of the contact gives it."""
    if not duty.rated.typical:
        return draft
    return unknown(draft.subject, f"{draft.found} as is usual for its class; its own rating is not stated",
                   draft.wanted, *remedies, key=duty.rated.key)  # fmt: skip
