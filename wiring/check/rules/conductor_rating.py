"""conductor.rating: insulation of cables suits voltage, heat and use."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.answers import answered
from wiring.check.case import Case
from wiring.check.draft import Comparison, Draft, Missing, compared, failed, passed, unknown
from wiring.check.rule import iec, rule, us
from wiring.files.quantity import show
from wiring.model.entry import CableType
from wiring.model.job import Cable
from wiring.model.value import Value


@rule(
    "conductor.rating",
    "Cables rated for voltage and use",
    danger=2,
    hazard="Thin insulation breaks down between mains and control cores.",
    sources=(
        us("NEC 400.4, 400.7, 610.11(C),(E), 610.13(C)"),
        iec("IEC 60204-1 12.3, 13.4.3"),
    ),
    checks="Insulation voltage of each cable type against the highest voltage in the job, its insulation "
    "against the ambient; cord that hangs or moves is of a kind for it, and its strain relief is asked.",
    needs='cable.type; [[answer]] requirement = "conductor.rating" on strain relief.',
    does_not_cover="Damage, oil and ultraviolet light at the place.",
)
def check(case: Case) -> Iterable[Draft]:
    cables = [(c.id, (f"cable.{i}", c)) for i, c in enumerate(case.job.cables)]
    yield from case.each(cables, lambda s, item: judge(case, s, *item))
    yield from case.each(cables, lambda s, item: heat(case, s, *item))
    if cables:
        text = answered(case, "conductor.rating")
        if text:
            yield passed("strain relief", text, "strain relief at both ends", key="answer")
        else:
            yield unknown("strain relief", "strain relief is not stated", "strain relief at both ends",
                          'answer it: [[answer]] requirement = "conductor.rating"', key="answer")  # fmt: skip
    if case.job.cord.fate in ("kept", "tail-kept") and case.job.cord.type:
        kind = case.catalog.cables.get(case.job.cord.type)
        if (
            kind is not None
            and kind.pendant_use is False
            and case.job.pendant.fate in ("stop-kept", "kept-with-selector")
        ):
            yield failed("cord", f"{kind.title} hangs as a pendant cord", "a cord for pendant use",
                         "use a pendant cord with a support", key="cord.type")  # fmt: skip


def judge(case: Case, subject: str, key: str, cable: Cable) -> Draft:
    """One cable's voltage."""
    kind = case.catalog.cables.get(cable.type) if cable.type else None
    if kind is None:
        raise Missing(f"{key}.type", "name the kind of cable (holdrun catalog cable)")
    if kind.rated_v is None:
        raise Missing(f"the insulation voltage of {kind.id}",
                      "read it on the jacket; enter a cable file of your own with rated_voltage")  # fmt: skip
    volts = highest(case)
    rated = case.use(of_kind(kind, "rated_v", kind.rated_v, "V"))
    return compared(subject, Comparison(volts, rated, "at-most", "V"),
                    f"{show(volts, 'V', toward='up')} on {kind.title}", f"at most {rated:.0f} V",
                    "use a cable with a higher insulation voltage", key=f"{key}.type")  # fmt: skip


def heat(case: Case, subject: str, key: str, cable: Cable) -> Draft | None:
    """One cable's insulation beside the ambient, where both are known; conductor.ampacity asks for both."""
    kind = case.catalog.cables.get(cable.type) if cable.type else None
    if kind is None or kind.insulation_c is None or cable.ambient is None:
        return None
    degrees = case.amount(cable.ambient, f"{key}.ambient", unit="degC")
    limit = case.use(of_kind(kind, "insulation_c", kind.insulation_c, "degC"))
    return compared(f"{subject} temperature", Comparison(degrees, limit, "at-most", "degC"),
                    f"{degrees:g} degC beside {kind.title}", f"at most its {limit:g} degC",
                    "use a cable for the heat", "lay it in a cooler place",
                    key=f"{key}.ambient")  # fmt: skip


def of_kind(kind: CableType, prop: str, number: float, unit: str) -> Value:
    """A figure of a kind of cable, with the spread of a recalled one where its entry is from memory."""
    off = 0.2 if kind.source.basis == "memory" else 0.0
    source = f"cable type {kind.id}: {kind.source.title}"
    ends = (number * (1 - off), number * (1 + off))
    return Value(f"{kind.id}.{prop}", number, unit, kind.source.basis, source, *ends)


def highest(case: Case) -> float:
    """Highest voltage between two conductors of the job. [V]"""
    stated = case.job.supply.voltage
    own = case.amount(stated, "supply.voltage", unit="V") if stated else 0.0
    sources = [p for p in case.after.parts if p.kind == "source" and "voltage" in p.values]
    return max([own, *(case.of(p, "voltage") for p in sources)])
