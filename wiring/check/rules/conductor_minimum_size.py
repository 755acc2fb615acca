"""conductor.minimum-size: conductors are not thinner than their use allows."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Comparison, Draft, compared
from wiring.check.rule import iec, rule, us
from wiring.check.runs import Run, runs, steady, wanted_size


@rule(
    "conductor.minimum-size",
    "Conductors not below the smallest size",
    danger=1,
    hazard="A thin core breaks where it moves, and a broken core is a stop that does not work or a hook "
    "that does not.",
    sources=(
        us("NEC 610.14(C)"),
        iec("IEC 60204-1 table 5"),
    ),
    checks="Cross-section of each conductor against the smallest for its use: power or control, in a cord "
    "with several "
    "conductors or alone, electronic circuits.",
    needs="cable.size; what the conductor carries.",
    does_not_cover="Wires inside an enclosure, which their own box standard sizes.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    used = [r for r in runs(case) if r.loads or r.earth]
    return case.each([(r.name, r) for r in used], lambda s, r: judge(case, s, r))


def judge(case: Case, subject: str, run: Run) -> Draft:
    """One conductor."""
    size = wanted_size(run)
    limit, text = smallest(case, run)
    # a size is itself: the area in the table is the same gauge with fewer digits
    area = limit if abs(size.area_m2 - limit) < 1e-4 * limit else size.area_m2
    return compared(subject, Comparison(area, limit, "at-least", "m2"), f"{size}", f"at least {text}",
                    f"use {text} or larger", key=f"{run.key}.size",
                    path=f"{size} is {size.area_m2 * 1e6:.3f} mm2")  # fmt: skip


def smallest(case: Case, run: Run) -> tuple[float, str]:
    """Smallest cross-section for the use of a conductor [m2], and as its table prints it."""
    several = sum(1 for r in runs(case) if r.cable == run.cable)
    if case.region == "us":
        row = us_row(case, run, several)
        printed = case.catalog.tables["nec-610-limits"].rows[row].get("size", "")
        return case.cell("nec-610-limits", row, "area"), str(printed)
    use = "outside-power-moving" if run.power else "outside-control"
    column = "three_or_more" if several >= 3 else "two_core" if several == 2 else "single_flexible"
    area = case.cell("iec-60204-1-5", use, column)
    return area, f"{area * 1e6:g} mm2"


def us_row(case: Case, run: Run, several: int) -> str:
    """Row of the crane article for the use of a conductor."""
    if run.loads and all(x.kind == "input" for x in run.loads):
        return "minimum-electronic"
    if run.power or several < 2:
        return "minimum"
    cord = run.kind is not None and run.kind.kind == "flexible cord"
    most = case.cell("nec-610-limits", "minimum-cord", "current")
    return "minimum-cord" if cord and steady(case, run) <= most else "minimum"
