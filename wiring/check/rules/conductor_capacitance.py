"""conductor.capacitance: the cable's capacitance cannot hold a coil."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.calc.capacitance import capacitance_limit
from wiring.check.case import Case
from wiring.check.draft import Comparison, Draft, Missing, compared
from wiring.check.loads import alternating, coil_volts, sealed_va
from wiring.check.nets import Net
from wiring.check.rule import both, rule
from wiring.check.rules.conductor_coil_drop import along, one_way
from wiring.check.runs import Run
from wiring.files.quantity import show
from wiring.model.circuit import Part


@rule(
    "conductor.capacitance",
    "Cable capacitance cannot hold a coil",
    danger=1,
    hazard="A long run holds a small coil in after its contact opened: the motion goes on.",
    sources=(
        both(
            "contactor maker's technical paper; application note of 2007; IEC 60947-4-1 must-drop limit",
            "derived",
        ),
    ),
    checks="Capacitance of the run of each alternating-current coil that a receiver switches, and of "
    "suppressors across "
    "the contact, against the most at which the coil still lets go.",
    needs="cable lengths; the coil's sealed burden and voltage; the supply's frequency and tolerance.",
    does_not_cover="Shielded cables and water in the conduit, which raise it; coils near resonance.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    coils = [
        p for p in case.after.parts if p.kind == "coil" and along(case, p) and alternating(case.after, p)
    ]
    return case.each([(p.name, p) for p in coils], lambda s, p: judge(case, s, p))


def judge(case: Case, subject: str, coil: Part) -> Draft:
    """One coil."""
    way = along(case, coil)
    metres = one_way(way)
    per_metre = case.cell("cable-capacitance", "three-wire", "c")
    farad = metres * per_metre + across_contacts(case)
    limit = largest(case, coil)
    path = (
        f"{show(metres, 'm', case.region)} x {per_metre * 1e12:.0f} pF/m = {show(farad, 'nF', toward='up')}"
    )
    return compared(subject, Comparison(farad, limit, "at-most", "F", "nF"),
        f"{show(farad, 'nF', toward='up')} "
        "along its run",
                    f"at most {show(limit, 'nF')}", "put the contactor near the receiver",
                    "put a bleeder across the coil", key=_key(way), path=path)  # fmt: skip


def largest(case: Case, coil: Part) -> float:
    """Most capacitance at which the coil still lets go. [F]"""
    hertz = frequency(case)
    drop = case.of_or_none(coil, "drop_out") or case.cell("coil-limits", "must-drop", "ac")
    tolerance = case.job.supply.tolerance
    over = 1.0 + (case.amount(tolerance, "supply.tolerance", unit="1") if tolerance else 0.1)
    return capacitance_limit(sealed_va(case, coil), coil_volts(case, coil), hertz, drop, over)


def frequency(case: Case) -> float:
    """Frequency of the supply. [Hz]"""
    for part in case.after.parts:
        if part.kind == "source" and "frequency" in part.values:
            return case.of(part, "frequency")
    raise Missing("supply.frequency", "read it on a plate")


def across_contacts(case: Case) -> float:
    """Capacitance of suppressors that bridge a contact; one across the coil itself does no such harm. [F]"""
    net = Net(case.after, ())
    contacts = {
        frozenset(net.node(pin) for pin in p.pins[:2])
        for p in case.after.parts
        if p.kind in ("contact", "semiconductor")
    }
    bridging = [
        p for p in case.after.parts
        if p.kind == "suppressor" and frozenset(net.node(pin) for pin in p.pins) in contacts
    ]  # fmt: skip
    return sum(case.of_or_none(p, "capacitance") or 0.0 for p in bridging)


def _key(way: list[Run]) -> str:
    return f"{way[0].key}.length" if way else "cable"
