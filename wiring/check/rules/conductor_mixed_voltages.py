"""conductor.mixed-voltages: mains and low voltage in one cable have insulation for the higher."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Comparison, Draft, Missing, compared, unknown
from wiring.check.duty import voltage_of
from wiring.check.rule import iec, rule, us
from wiring.check.rules.conductor_rating import of_kind
from wiring.check.runs import Run, runs
from wiring.files.quantity import show

#: Below this ratio two circuits of one cable count as one voltage (230 and 240 V).
_SAME = 1.3


@rule(
    "conductor.mixed-voltages",
    "Different voltages in one cable",
    danger=2,
    hazard="A nick between a mains core and a 24 V core puts the mains on everything the low voltage "
    "touches.",
    sources=(
        us("NEC 725.48, 300.3(C)"),
        iec("IEC 60204-1 13.1.3"),
    ),
    checks="Cables whose conductors carry circuits of different voltages: insulation for the highest, and "
    "every such "
    "conductor numbered.",
    needs="cable.type; connection.number.",
    does_not_cover="Separation inside boxes.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    by_cable: dict[str, list[Run]] = {}
    for run in runs(case):
        if run.loads and not run.earth:
            by_cable.setdefault(run.cable, []).append(run)
    mixed = {c: rs for c, rs in by_cable.items() if spread(case, rs) > _SAME}
    return case.each(mixed.items(), lambda s, rs: judge(case, s, rs))


def volts_of(case: Case, run: Run) -> float:
    return max(voltage_of(case, x) for x in run.loads)


def spread(case: Case, found: list[Run]) -> float:
    """Highest over lowest voltage in a cable."""
    volts = [v for v in (volts_of(case, r) for r in found) if v > 0]
    return max(volts) / min(volts) if volts else 1.0


def judge(case: Case, subject: str, found: list[Run]) -> Draft:
    """One cable with different voltages."""
    high = max(volts_of(case, r) for r in found)
    low = min(volts_of(case, r) for r in found)
    text = f"{show(low, 'V')} and {show(high, 'V')} in one cable"
    kind = found[0].kind
    if kind is None or kind.rated_v is None:
        raise Missing(f"{found[0].key}.type", "name the kind of cable and its insulation voltage")
    bare = [r.name for r in found if not r.part.number]
    if bare:
        return unknown(subject, f"{text}; not numbered: {', '.join(bare)}", "each conductor numbered at "
            "both ends",
                       "number them", key="connection")  # fmt: skip
    rated = case.use(of_kind(kind, "rated_v", kind.rated_v, "V"))
    return compared(subject, Comparison(high, rated, "at-most", "V"), text,
                    f"insulation for at least {show(high, 'V')}; {kind.title} has {rated:.0f} V",
                    "use two cables", "use a cable with more insulation",
                    key=f"{found[0].key}.type")  # fmt: skip
