"""conductor.longest-run: how long the control run may be, by drop and by capacitance."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.calc.capacitance import longest_run_capacitance
from wiring.calc.coil import coil_impedance, longest_run_exact
from wiring.check.case import Case
from wiring.check.draft import Comparison, Draft, compared
from wiring.check.loads import alternating, coil_volts, inrush_va, power_factor
from wiring.check.rule import both, rule
from wiring.check.rules.conductor_capacitance import across_contacts, largest
from wiring.check.rules.conductor_coil_drop import along, fed_with, one_way
from wiring.check.runs import ohm_per_m, wanted_size
from wiring.files.quantity import show
from wiring.model.circuit import Part


@rule(
    "conductor.longest-run",
    "Longest control run",
    danger=1,
    hazard="A run that is lengthened later drops the coil's voltage or holds it in.",
    sources=(
        both("drop and capacitance of the run, as conductor.coil-drop and conductor.capacitance", "derived"),
    ),
    checks="The two longest one-way lengths for each coil, by voltage drop and by capacitance, and the "
    "length there is.",
    needs="As conductor.coil-drop and conductor.capacitance.",
    does_not_cover="Several coils that pull in at once.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    coils = [p for p in case.after.parts if p.kind == "coil" and along(case, p)]
    return case.each([(p.name, p) for p in coils], lambda s, p: judge(case, s, p))


def judge(case: Case, subject: str, coil: Part) -> Draft:
    """One coil."""
    way = along(case, coil)
    thin = min(way, key=lambda r: wanted_size(r).area_m2)
    metres = one_way(way)
    volts, inrush = coil_volts(case, coil), inrush_va(case, coil)
    ac = alternating(case.after, coil)
    pf = power_factor(case, case.after, coil, "inrush")
    pick = case.of_or_none(coil, "pick_up") or case.cell("coil-limits", "pick-up", "ac" if ac else "dc")
    low = 1.0 - case.amount(case.job.supply.tolerance, "supply.tolerance", "ask the utility", "1")
    nominal, sagged, _ = fed_with(case, coil, inrush, pf)
    share = pick * volts / (nominal * low * sagged)
    by_drop = longest_run_exact(coil_impedance(inrush, pf, volts), ohm_per_m(case, thin), share)
    limit, by = by_drop, "drop"
    path = f"by drop {show(by_drop, 'm', case.region)}"
    if ac:
        farad = case.cell("cable-capacitance", "three-wire", "c")
        by_charge = longest_run_capacitance(largest(case, coil), farad, across_contacts(case))
        path += f", by capacitance {show(by_charge, 'm', case.region)}"
        if by_charge < limit:
            limit, by = by_charge, "capacitance"
    return compared(subject, Comparison(metres, limit, "at-most", "m"),
                    f"{show(metres, 'm', case.region, toward='up')} of {wanted_size(thin)}",
                    f"at most {show(limit, 'm', case.region)} (by {by})", "use the next larger size",
                    "move the contactor nearer", key=f"{thin.key}.length", path=path)  # fmt: skip
