"""place.temperature: the receiver works at the temperature of the place."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Comparison, Draft, Missing, compared
from wiring.check.rule import iec, rule, us


@rule(
    "place.temperature",
    "Receiver within its temperature range",
    danger=3,
    hazard="Outside its range a receiver ages, resets or loses the link in the middle of a lift.",
    sources=(
        us("receiver's data sheet"),
        iec("receiver's data sheet; IEC 60204-1 4.4.3 (recalled)", "memory"),
    ),
    checks="The warmest ambient stated for a cable of the job against the receiver's limit.",
    needs="cable.ambient where the receiver hangs; [[value]] receiver.temperature_max from its data sheet.",
    does_not_cover="Frost, sun on the box, and heat from the motor beside it.",
)
def check(case: Case) -> Iterable[Draft]:
    def judge(subject: str, _: None) -> Draft:
        warm = [(c.ambient, i) for i, c in enumerate(case.job.cables) if c.ambient is not None]
        if not warm:
            raise Missing("cable.ambient", "state the warmest temperature of the place beside a cable")
        ambient, index = max(warm, key=lambda pair: pair[0].si)
        degrees = case.amount(ambient, f"cable.{index}.ambient", unit="degC")
        limit = case.receiver_value("temperature_max", "read it on the data sheet")
        return compared(subject, Comparison(degrees, limit, "at-most", "degC"), f"ambient {ambient}",
                        f"at most {limit:g} degC", "hang the receiver in a cooler place", "use a receiver "
                            "for the heat",
                        key=f"cable.{index}.ambient")  # fmt: skip

    return case.each([("receiver", None)], judge)
