"""identity.type: the hoist in front of you is the one in the file."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.asked import is_sheet
from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.readings import Fit, Seen, meter_of, possible, seen, separating
from wiring.check.rule import both, rule
from wiring.model.entry import HoistType


@rule(
    "identity.type",
    "The hoist is the type that the file names",
    danger=1,
    hazard="Every proof here holds for the circuit in the file; on another hoist it proves nothing.",
    sources=(both("trade practice of dead testing: windings, coils and contacts by ohms", "practice"),),
    checks="The readings fit the chosen type and no other type of the catalog with the same supply; or the "
    "maker's "
    "diagram or a trace is recorded with its source. A reading that the type cannot show fails.",
    needs="[[reading]] rows on both sides of the cord; or hoist.type_by = diagram | traced with "
    "hoist.type_source.",
    does_not_cover="Hoists that no entry of the catalog describes.",
    wants="before",
)
def check(case: Case) -> Iterable[Draft]:
    return case.each([("hoist", None)], lambda s, _: judge(case, s))


def judge(case: Case, subject: str) -> Draft:
    """The chosen type against readings and rivals."""
    hoist, facts = case.hoist_type, case.job.hoist
    wanted = "readings that fit this type and no other, or the maker's diagram"
    key = "hoist.type"
    assert hoist is not None  # the runner asks this rule only where the type is known
    rows = seen(case.job)
    fit = Fit(case, meter_of(case, hoist))
    named = {f"core:{c.id}": c.role for c in case.job.cores if c.role}
    bad = fit.contradicts(named)
    solutions = fit.solutions() if rows else []
    if rows and not solutions:
        told = tell(bad) if bad is not None else "no way to give the cores their roles fits all readings"
        return failed(subject, f"the readings contradict the type: {told}", wanted,
                      "take that reading again; then look for another type (holdrun identify)",
                      key=key)  # fmt: skip
    documented = facts.type_by in ("diagram", "traced") and (
        is_sheet(facts.type_source) or bool(facts.type_source)
    )
    if documented:
        fits = f"; {len(rows)} readings fit" if rows else ""
        return passed(subject, f"by {facts.type_by}: {facts.type_source}{fits}", wanted, key=key)
    if not rows:
        known = f"by {facts.type_by}" if facts.type_by else "by nothing"
        return unknown(subject, f"known {known}; no readings are recorded", wanted,
                       "take readings: holdrun identify asks for the next best one", key=key)  # fmt: skip
    rivals = rival_types(case, hoist)
    if rivals:
        best = separating(case, [(fit.meter, solutions[0]), *((f.meter, s) for f, s in rivals)])
        names = ", ".join(f.meter.hoist.title for f, _ in rivals[:3])
        how = f"take {best}" if best else "compare plates and recognition marks"
        return unknown(subject, f"{len(rows)} readings fit, but also: {names}", wanted, how, key=key)
    if not both_sides(rows):
        return unknown(subject, f"{len(rows)} readings fit, on one side of the cord only", wanted,
                       "read the other side too", key="reading")  # fmt: skip
    return passed(subject, f"{len(rows)} readings fit this type and no other of the catalog", wanted, key=key)


def rival_types(case: Case, own: HoistType) -> list[tuple[Fit, dict[str, str]]]:
    """Other types of the catalog that the same readings fit, with one way of fitting each."""
    found = []
    for id, hoist in case.catalog.hoists.items():
        if id == own.id or not possible(case.job, hoist):
            continue
        fit = Fit(case, meter_of(case, hoist))
        ways = fit.solutions()
        if ways:
            found.append((fit, ways[0]))
    return found


def both_sides(rows: Iterable[Seen]) -> bool:
    return {r.side for r in rows} >= {"hoist", "handset"}


def tell(row: Seen) -> str:
    """A reading in words."""
    value = row.value if isinstance(row.value, str) else f"{row.value:.3g} ohm"
    return f"{row.a} to {row.b}, {row.side} side: {value}"
