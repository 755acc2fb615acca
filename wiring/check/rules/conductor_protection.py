"""conductor.protection: the device before a conductor protects it."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.answers import answered
from wiring.check.case import Case
from wiring.check.draft import Comparison, Draft, Missing, compared, passed
from wiring.check.loads import steady_a
from wiring.check.protecting import protecting
from wiring.check.rule import iec, rule, us
from wiring.check.rules.conductor_ampacity import ampacity
from wiring.check.runs import Run, runs, wanted_size
from wiring.files.quantity import show


@rule(
    "conductor.protection",
    "Overcurrent device protects the conductor",
    danger=2,
    hazard="A thin control wire behind a motor's breaker burns before the breaker trips.",
    sources=(
        us("NEC 240.4(D), 430.72(B), 610.53; motor branch 430.52"),
        iec("IEC 60204-1 7.2"),
    ),
    checks="The device that limits each conductor's current, the smallest of those in series, a primary one "
    "at the transformer's ratio, against the largest its size and use allow: control conductors by the "
    "crane article and the motor-control table, power conductors by the small-conductor rule or the "
    "motor branch.",
    needs="Fuse ratings, supply.protective_device, cable sizes.",
    does_not_cover="Let-through energy of the device (contact.short-circuit).",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    loaded = [r for r in runs(case) if r.loads and not r.earth]
    return case.each([(r.name, r) for r in loaded], lambda s, r: judge(case, s, r))


def judge(case: Case, subject: str, run: Run) -> Draft:
    """One conductor."""
    try:
        found = protecting(case, run.name)
    except Missing as missing:
        text = answered(case, "conductor.protection")
        if not text:
            raise
        of = missing.key.rpartition(" ")[2]
        return passed(subject, f"{of}: {text}", "a limit that the conductor stands", key="answer")
    if found is None:
        raise Missing("supply.protective_device.rating", "read it on the panel label")
    limit, text, path = us_limit(case, run) if case.region == "us" else iec_limit(case, run)
    return compared(subject, Comparison(found.amps, limit, "at-most", "A"),
                    f"{found.text} {show(found.amps, 'A')} before {wanted_size(run)}",
                    f"at most {show(limit, 'A')} ({text})",
                    "put a smaller fuse of its own before it", "use the next larger size",
                    key=f"{run.key}.size", path=path)  # fmt: skip


def us_limit(case: Case, run: Run) -> tuple[float, str, str]:
    """Largest device for a conductor in the United States [A], the rule, and how it comes about."""
    size = wanted_size(run)
    small = case.cell_or_none("nec-240-4-d", size.name, "device")
    found: list[tuple[float, str, str]] = []
    if small is not None:
        found.append((small, "240.4(D)", f"{size}: {show(small, 'A')} by the table"))
    if run.power:
        full = sum(steady_a(case, case.after, x) for x in run.loads if x.kind == "motor")
        ratio = case.cell("hoist-practice", "branch-breaker", "ratio")
        found.append((full * ratio, "430.52", f"{show(full, 'A')} x {ratio:g} = {show(full * ratio, 'A')}"))
    else:
        column = case.cell_or_none("nec-430-72-b", size.name, "column_c")
        if column is not None:
            found.append((column, "430.72(B) column C", f"{size}: {show(column, 'A')} by the table"))
        amps, how = ampacity(case, run)
        ratio = case.cell("nec-610-limits", "control-device", "ratio")
        found.append((amps * ratio, "610.53", f"{how}; x {ratio:g} = {show(amps * ratio, 'A')}"))
    return max(found)


def iec_limit(case: Case, run: Run) -> tuple[float, str, str]:
    """Largest device for a conductor elsewhere [A], the rule, and how it comes about."""
    amps, how = ampacity(case, run)
    return amps, "device not above ampacity, 7.2", how
