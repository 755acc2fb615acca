"""conductor.coil-drop: coils still pick up at the end of their wires."""

from __future__ import annotations

import math
from collections.abc import Iterable

from wiring.calc.coil import coil_impedance, coil_share
from wiring.calc.drop import Stretch, path_drop
from wiring.calc.transformer import sag
from wiring.check.case import Case
from wiring.check.draft import Comparison, Draft, Missing, compared
from wiring.check.loads import alternating, coil_volts, inrush_va, power_factor, source_volts, steady_a
from wiring.check.nets import behind
from wiring.check.protecting import closed_with
from wiring.check.rule import iec, rule, us
from wiring.check.runs import Run, ohm_per_m, runs, wanted_length, wanted_size
from wiring.check.sources import feeders
from wiring.files.quantity import show
from wiring.model.circuit import Part


@rule(
    "conductor.coil-drop",
    "Coils pick up at the end of their wires",
    danger=1,
    hazard="A coil that hardly closes chatters, and a chattering contactor welds.",
    sources=(
        us("contactor limits of operation as makers declare them; NEC chapter 9 table 8"),
        iec("IEC 60947-4-1 limits of operation; IEC 60204-1 12.5"),
    ),
    checks="Voltage at each coil while it pulls in: lowest supply, transformer sag, warm conductors of the "
    "whole path "
    "with every load on a shared one, against the pick-up limit. The coil as a fixed impedance decides; the "
    "figure with "
    "a fixed current is shown where it differs.",
    needs="supply.tolerance, cable sizes and lengths, inrush of the coil, the transformer's power and "
    "impedance.",
    does_not_cover="Wires inside boxes, contact resistance.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    coils = [p for p in case.after.parts if p.kind == "coil" and along(case, p)]
    return case.each([(p.name, p) for p in coils], lambda s, p: judge(case, s, p))


def along(case: Case, coil: Part) -> list[Run]:
    """Conductors on the way to a coil and back, in the state that feeds it most."""
    key = ("along", coil.name)
    if key not in case.facts.cache:
        closed = closed_with(case, coil)
        case.facts.cache[key] = [
            r for r in runs(case)
            if not r.earth and any(p.name == coil.name for p in behind(case.after, closed, r.name))
        ]  # fmt: skip
    found: list[Run] = case.facts.cache[key]
    return found


def one_way(way: Iterable[Run]) -> float:
    """Length of a way there, every cable on it once. [m]"""
    return math.fsum({r.cable: wanted_length(r) for r in way}.values())


def beside(case: Case, coil: Part, run: Run) -> float:
    """Current of everything else on a conductor while a coil pulls in; a motor starts after its coil. [A]"""
    others = [x for x in run.loads if x.name != coil.name and x.kind in ("coil", "receiver", "lamp", "input")]
    return sum(steady_a(case, case.after, x) for x in others)


def judge(case: Case, subject: str, coil: Part) -> Draft:
    """One coil."""
    volts = coil_volts(case, coil)
    ac = alternating(case.after, coil)
    inrush = inrush_va(case, coil)
    pf = power_factor(case, case.after, coil, "inrush")
    low = 1.0 - case.amount(
        case.job.supply.tolerance, "supply.tolerance", "ask the utility, or measure at the worst hour", "1"
    )
    nominal, sagged, source = fed_with(case, coil, inrush, pf)
    way = along(case, coil)
    ohms = [ohm_per_m(case, r) * wanted_length(r) for r in way]
    shared = [beside(case, coil, r) for r in way]
    own = inrush / volts
    start = nominal * low * sagged
    others = path_drop(Stretch(1.0, ohm, amps) for ohm, amps in zip(ohms, shared, strict=True))
    line = math.fsum(ohms)
    physical = (start - others) * coil_share(coil_impedance(inrush, pf, volts), complex(line))
    fixed = start - others - own * line
    pick = case.of_or_none(coil, "pick_up") or case.cell("coil-limits", "pick-up", "ac" if ac else "dc")
    share = physical / volts
    differs = (
        f"; with a fixed current {fixed / volts * 100:.0f} %" if abs(fixed - physical) > 0.01 * volts else ""
    )
    lengths = " + ".join(f"{wanted_size(r)} {show(wanted_length(r), 'm', case.region)}" for r in way)
    path = (f"{lengths}: {line:.3f} ohm; {show(own, 'A')} inrush -> {show(start - physical, 'V')}; "
            f"{show(physical, 'V', toward='down')} of {volts:g} V = {share * 100:.0f} %")  # fmt: skip
    return compared(subject, Comparison(share, pick, "at-least", "1"),
                    f"{share * 100:.1f} % of its rated voltage while it pulls in ({source}){differs}",
                    f"at least {pick * 100:.0f} %", "use the next larger size", "move the contactor nearer",
                    "use a higher control voltage or a coil of lower burden", key=way[0].key,
                    path=path)  # fmt: skip


def fed_with(case: Case, coil: Part, inrush: float, pf: float) -> tuple[float, float, str]:
    """Nominal voltage of the coil's circuit [V], the share left under inrush [1], the source in words."""
    transformer = next((p for p in feeders(case.after, coil) if p.kind == "transformer"), None)
    if transformer is None:
        volts = source_volts(case, case.after)
        return volts, 1.0, f"supply {volts:.0f} V"
    power = case.of_or_none(transformer, "power")
    impedance = case.of_or_none(transformer, "impedance")
    if power is None or impedance is None:
        raise Missing(
            f"{transformer.name}.power", f'state [[value]] of = "{transformer.name}.power" from its plate'
        )
    left = sag(power, impedance, inrush, pf)
    return (
        case.of(transformer, "secondary"),
        left,
        f"{transformer.name} {power:g} VA, {left * 100:.0f} % under inrush",
    )
