"""supply.transformer: the control transformer carries receiver and coils, and does not sag."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.calc.transformer import combined_load, sag
from wiring.check.case import Case
from wiring.check.draft import Comparison, Draft, compared
from wiring.check.loads import inrush_va, power_factor, sealed_va
from wiring.check.rule import iec, rule, us
from wiring.check.rules.supply_range import feeding
from wiring.check.states import command, commands, settled_at
from wiring.model.circuit import Part


@rule(
    "supply.transformer",
    "Control transformer large enough",
    danger=1,
    hazard="An added coil sags the control voltage until every contactor chatters.",
    sources=(
        us("NEMA ST 1 selection practice; UL 508A control transformers (second-hand)"),
        iec("IEC 61558 rated power; IEC 60947-4-1 limits of operation"),
    ),
    checks="Receiver and sealed coils that can be in together against the rated power; secondary voltage "
    "while the "
    "largest coil pulls in with the rest sealed, against the lowest a coil needs.",
    needs="The transformer's power and impedance from its plate; burdens of coils and receiver.",
    does_not_cover="Voltage lost in wires (conductor.coil-drop) and low mains.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    for part in case.after.parts:
        if part.kind == "transformer":
            items = [(f"{part.name} power", (part, False)), (f"{part.name} inrush", (part, True))]
            yield from case.each(items, lambda s, item: judge(case, s, *item))


def judge(case: Case, subject: str, transformer: Part, inrush: bool) -> Draft | None:
    """Continuous power or sag of one transformer."""
    coils = [p for p in case.after.parts if p.kind == "coil" and feeding(case, p) is transformer]
    own = [p for p in case.after.parts if p.kind == "supply-input" and feeding(case, p) is transformer]
    if not coils and not own:
        return None
    power = case.of(transformer, "power", f'state [[value]] of = "{transformer.name}.power" from its plate')
    receiver = sum(case.of(p, "power", "read the receiver's consumption on its data sheet") for p in own)
    together = most_together(case, {p.name for p in coils})
    held = [p for p in coils if p.name in together]
    coil_loads = [(sealed_va(case, p), power_factor(case, case.after, p, "sealed")) for p in held]
    sealed, factor = combined_load(*coil_loads, (receiver, 1.0))
    parts = ", ".join(p.name for p in held)
    if not inrush:
        return compared(subject, Comparison(sealed, power, "at-most", "VA"),
                        f"{sealed:.1f} VA: receiver {receiver:g} VA and {parts or 'no coil'} sealed",
                        f"at most {power:g} VA",
                        "use a larger control transformer", "feed the receiver from elsewhere behind the "
                                                            "isolator",
                        key="hoist.type")  # fmt: skip
    if not coils:
        return None
    worst = max(coils, key=lambda p: inrush_va(case, p))
    pf = power_factor(case, case.after, worst, "inrush")
    va, total = combined_load((inrush_va(case, worst), pf), (sealed, factor))
    left = sag(power, case.of(transformer, "impedance"), va, total)
    limit = case.cell("control-transformer", "inrush-floor", "ratio")
    return compared(subject, Comparison(left, limit, "at-least", "1"),
                    f"{left * 100:.1f} % while {worst.name} pulls in ({va:.0f} VA)", "at least "
                        f"{limit * 100:.0f} %",
                    "use a larger control transformer", "use coils of lower burden",
                    key="hoist.type")  # fmt: skip


def most_together(case: Case, coils: set[str]) -> set[str]:
    """The largest set of these coils that is in at once under one command."""
    best: set[str] = set()
    for bare in commands(case.after):
        seen = coils & set(settled_at(case, "after", command(case, "after", bare)).energised)
        if len(seen) > len(best):
            best = seen
    return best
