"""conductor.ampacity: conductors carry their load after ambient and grouping."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.calc.ampacity import cord_ampacity, derated
from wiring.calc.conductor import gauge_area, gauge_number
from wiring.calc.lookup import band_row
from wiring.check.case import Case
from wiring.check.draft import Comparison, Draft, Missing, compared
from wiring.check.loads import describe
from wiring.check.rule import iec, rule, us
from wiring.check.runs import Run, carrying, runs, steady, wanted_size
from wiring.files.quantity import show
from wiring.model.value import WireSize

#: Ambient a table is printed for where the job states none would be a default that clears: it is asked for.
_HOW = "state the warmest temperature beside the cable"


@rule(
    "conductor.ampacity",
    "Conductors carry their load",
    danger=2,
    hazard="An overloaded conductor burns its insulation, and what it touches.",
    sources=(
        us("NEC 400.5(A)(1),(3); 310.16, 310.15(B)(1), 310.15(C)(1); 402.5; 610.14; 110.14(C)"),
        iec("IEC 60204-1 table 6, annex D"),
    ),
    checks="Running current of each conductor against its ampacity after ambient and number of conductors "
    "that carry. "
    "Flexible cord, building and machine wire and fixture wire each by their own table.",
    needs="cable.type, size, ambient; currents of coils and motors.",
    does_not_cover="Drums and reels, and the short-time table for crane motors, which allows more.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    loaded = [r for r in runs(case) if r.loads and not r.earth]
    return case.each([(r.name, r) for r in loaded], lambda s, r: judge(case, s, r))


def judge(case: Case, subject: str, run: Run) -> Draft:
    """One conductor."""
    amps = steady(case, run)
    limit, path = ampacity(case, run)
    return compared(subject, Comparison(amps, limit, "at-most", "A"),
                    f"{show(amps, 'A', toward='up')} on {wanted_size(run)} ({describe(run.loads)})",
                    f"at most {show(limit, 'A')}", "use the next larger size", key=f"{run.key}.size",
                    path=path)  # fmt: skip


def ampacity(case: Case, run: Run) -> tuple[float, str]:
    """Ampacity of a conductor after its factors [A], and how it is made up."""
    if run.kind is None:
        raise Missing(f"{run.key}.type", "name the kind of cable (holdrun catalog cable)")
    if run.ambient is None and run.cable != "cord":
        raise Missing(f"{run.key}.ambient", _HOW)
    return us_ampacity(case, run) if case.region == "us" else iec_ampacity(case, run)


def us_ampacity(case: Case, run: Run) -> tuple[float, str]:
    size, kind, count = wanted_size(run), run.kind, carrying(case, run)
    assert kind is not None
    insulation = kind.insulation_c or 60.0
    column = "c60" if insulation < 75 else "c75" if insulation < 90 else "c90"
    ambient, warm = 1.0, "30 degC base"
    if run.ambient is not None:
        row = band_row(case.catalog.tables["nec-310-15-b1"], run.ambient)
        ambient = case.cell("nec-310-15-b1", row or "above", column)
        warm = f"ambient {run.ambient:.0f} degC"
    counted = "nec-400-5-a3" if kind.kind == "flexible cord" else "nec-310-15-c1"
    share = case.cell(counted, band_row(case.catalog.tables[counted], count) or "from-41", "factor")
    if kind.kind == "flexible cord":
        three, two = (
            case.cell("nec-400-5-a1", size.name, "column_a"),
            case.cell("nec-400-5-a1", size.name, "column_b"),
        )
        limit = cord_ampacity(three, two, count, share, ambient)
        base = two if count <= 2 else three
    elif kind.kind == "fixture wire":
        base = case.cell("nec-402-5", size.name, "ampacity")
        limit = derated(base, [share, ambient])
    else:
        base = case.cell("nec-310-16", size.name, column)
        limit = derated(base, [share, ambient])
    path = f"{size}: {base:g} A x {share:g} ({count} carrying) x {ambient:g} ({warm}) = {show(limit, 'A')}"
    ends = terminal_limit(case, size) if kind.kind not in ("flexible cord", "fixture wire") else None
    if ends is not None and ends < limit:
        return ends, f"{path}; its terminals {show(ends, 'A')} (110.14(C))"
    return limit, path


def terminal_limit(case: Case, size: WireSize) -> float | None:
    """What the terminals at its ends let a building wire carry: the 60 degC column up to 1 AWG, the
    75 degC column above [A]; None where the table prints none."""
    small = size.area_m2 <= gauge_area(gauge_number("1")) * 1.01
    return case.cell_or_none("nec-310-16", size.name, "c60" if small else "c75")


def iec_ampacity(case: Case, run: Run) -> tuple[float, str]:
    size, kind, count = wanted_size(run), run.kind, carrying(case, run)
    assert kind is not None
    # without a stated way of laying the multicore cable in conduit, the lowest column, is taken
    small = size.area_m2 < 0.74e-6
    row = f"pair-{size.name}" if small else size.name
    base = case.cell("iec-60204-1-6", row, "b2")
    ambient, warm = 1.0, "40 degC base"
    if run.ambient is not None:
        table = case.catalog.tables["iec-60204-1-d1"]
        ambient = case.cell("iec-60204-1-d1", band_row(table, run.ambient, "ambient") or "above", "factor")
        warm = f"ambient {run.ambient:.0f} degC"
    share = 1.0
    if count > 3:
        table = case.catalog.tables["iec-60204-1-d3"]
        share = case.cell(
            "iec-60204-1-d3", band_row(table, count, "loaded", "cores-") or "cores-61", "factor"
        )
    limit = derated(base, [share, ambient])
    return (
        limit,
        f"{size}: {base:g} A (B2) x {share:g} ({count} carrying) x {ambient:g} ({warm}) = {show(limit, 'A')}",
    )
