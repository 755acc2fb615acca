"""place.ingress: the receiver's protection suits the place."""

from __future__ import annotations

import re
from collections.abc import Iterable

from wiring.check.answers import answered
from wiring.check.case import Case
from wiring.check.draft import Draft, Missing, failed, passed, unknown
from wiring.check.rule import iec, rule, us


@rule(
    "place.ingress",
    "Receiver protected against dust and water of the place",
    danger=3,
    hazard="Dust and water make contacts stick and leak.",
    sources=(
        us("NEC 110.28 enclosure types, taken by the IP code (recalled)", "memory"),
        iec("IEC 60529; IEC 60204-1 11.3 (recalled)", "memory"),
    ),
    checks="The receiver's IP code against the place: dust, outdoors, wash-down.",
    needs="place.environment in words (indoor, dust, outdoor, wet); the receiver type's IP code, or "
    '[[answer]] requirement = "place.ingress" naming the box around it.',
    does_not_cover="Cable glands left open, and condensation.",
)
def check(case: Case) -> Iterable[Draft]:
    def judge(subject: str, _: None) -> Draft:
        environment = case.job.place.environment if case.job.place else None
        if environment is None:
            raise Missing("place.environment", "say it in words: indoor, dust, outdoor, wet")
        solid, liquid = asked_of(case, environment)
        code = case.receiver_type.ingress if case.receiver_type else ""
        box = answered(case, "place.ingress")
        wanted = f"at least IP{solid:.0f}{liquid:.0f} for: {environment}"
        found = _digits(code)
        if found and found[0] >= solid and found[1] >= liquid:
            return passed(subject, f"{code} by the type's entry", wanted, key="place.environment")
        boxed = _digits(box)
        if boxed and boxed[0] >= solid and boxed[1] >= liquid:
            return passed(subject, box, wanted, key="answer")
        if box and boxed:
            return failed(subject, f"{box} for: {environment}", wanted, "put the receiver in a box of that "
                "code",
                          "use a receiver of that code", key="answer")  # fmt: skip
        known = f"{code} by its class" if code else "the receiver's IP code is not known"
        return unknown(subject, f"{known}; the box around it is not stated", wanted,
                       "put it in a box of that code and say so",
                       'answer it: [[answer]] requirement = "place.ingress", "IP54 box"',
                       key="receiver.type")  # fmt: skip

    return case.each([("receiver", None)], judge)


def asked_of(case: Case, environment: str) -> tuple[float, float]:
    """First and second digit that the place asks for."""
    words = environment.lower()
    wet = any(w in words for w in ("outdoor", "wet", "rain", "wash"))
    row = (
        "ingress-outdoor"
        if wet
        else "ingress-dust"
        if "dust" in words or "dirt" in words
        else "ingress-indoor"
    )
    return case.cell("hoist-practice", row, "solid"), case.cell("hoist-practice", row, "liquid")


def _digits(text: str) -> tuple[int, int] | None:
    found = re.search(r"IP\s?([0-6])([0-9])", text)
    return (int(found[1]), int(found[2])) if found else None
