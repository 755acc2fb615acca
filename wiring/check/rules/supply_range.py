"""supply.range: the receiver's supply stays in range at the worst of the mains and during inrush."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.calc.transformer import combined_load, sag
from wiring.check.asked import bench
from wiring.check.case import Case
from wiring.check.draft import Comparison, Draft, Missing, compared, failed, passed, unknown
from wiring.check.loads import inrush_va, power_factor
from wiring.check.rule import iec, rule, us
from wiring.check.sources import feeders
from wiring.check.states import settled_at
from wiring.check.verdict import holds
from wiring.files.quantity import show
from wiring.model.circuit import Part


@rule(
    "supply.range",
    "Receiver supply in range at low and high mains",
    danger=1,
    hazard="A receiver that resets on a dip drops the hook's command and comes back by itself.",
    sources=(us("receiver's data sheet"), iec("receiver's data sheet; IEC 60204-1 4.3 (recalled)")),
    checks="Voltage at the receiver's terminals at nominal, at low and high supply, and while the largest "
    "coil pulls in "
    "on the same transformer or the winch starts on the same battery.",
    needs="supply.tolerance; the receiver's range; the transformer's power and impedance.",
    does_not_cover="Interruptions of some milliseconds.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    inputs = [p for p in case.after.parts if p.kind == "supply-input"]
    for part in inputs:
        items = [(f"{part.name} low", (part, True)), (f"{part.name} high", (part, False))]
        yield from case.each(items, lambda s, item: judge(case, s, *item))


def judge(case: Case, subject: str, part: Part, low: bool) -> Draft:
    """One end of the supply's band."""
    nominal = abs(settled_at(case, "after", ()).volts.get(part.name, 0j))
    if nominal == 0.0:
        raise Missing("connection", "land both ends of the receiver's supply")
    tolerance = case.amount(
        case.job.supply.tolerance, "supply.tolerance", "ask the utility, or measure at the worst hour"
    )
    if not low:
        high = nominal * (1.0 + tolerance)
        limit = case.of(part, "maximum", "read the supply range on the data sheet")
        return compared(subject, Comparison(high, limit, "at-most", "V"),
                        f"{show(high, 'V', toward='up')} at high supply", f"at most {show(limit, 'V')}",
                        "use a receiver for the voltage", "feed it through a supply unit",
                        key="supply.tolerance",
                        path=f"{show(nominal, 'V')} x {1 + tolerance:g}")  # fmt: skip
    left, why = under_inrush(case, part)
    volts = nominal * (1.0 - tolerance) * left
    limit = case.of(part, "minimum", "read the supply range on the data sheet")
    if "winch" in why and not holds(volts, limit, "at-least", "V"):
        return dipping(case, subject, volts, limit)
    return compared(subject, Comparison(volts, limit, "at-least", "V"),
                    f"{show(volts, 'V', toward='down')} at low supply{why}", f"at least {show(limit, 'V')}",
                    "use a larger control transformer", "feed the receiver from a supply of its own",
                    key="supply.tolerance",
                    path=f"{show(nominal, 'V')} x {1 - tolerance:g} x {left:.3f}")  # fmt: skip


def dipping(case: Case, subject: str, volts: float, limit: float) -> Draft:
    """A receiver that goes out while the winch starts: what counts is how it comes back."""
    found = f"about {show(volts, 'V', toward='down')} while the winch starts: it goes out and comes back"
    wanted = f"at least {show(limit, 'V')}, or no start by itself when it comes back"
    rows = bench(case, "supply-return-held")
    if any(r.result == "closes" for r in rows):
        return failed(subject, f"{found}; on the bench it starts again with the key held", wanted,
                      "feed the receiver from a supply that holds up", key="bench")  # fmt: skip
    if rows:
        return passed(subject, f"{found}; on the bench a key held then is ignored", wanted, key="bench")
    return unknown(subject, found, wanted, "bench-test it: supply-return-held",
                   "feed the receiver from a supply that holds up", key="bench")  # fmt: skip


def under_inrush(case: Case, part: Part) -> tuple[float, str]:
    """Share of the supply left while something starts [1], and what."""
    transformer = feeding(case, part)
    if transformer is not None:
        power = case.of(
            transformer, "power", f'state [[value]] of = "{transformer.name}.power" from its plate'
        )
        impedance = case.of(transformer, "impedance")
        coils = [p for p in case.after.parts if p.kind == "coil" and feeding(case, p) is transformer]
        if not coils:
            return 1.0, ""
        worst = max(coils, key=lambda p: inrush_va(case, p))
        pf = power_factor(case, case.after, worst, "inrush")
        own = case.of_or_none(part, "power") or 0.0
        va, factor = combined_load((inrush_va(case, worst), pf), (own, 1.0))
        return sag(power, impedance, va, factor), f" while {worst.name} pulls in"
    if all(
        p.values["frequency"].si == 0
        for p in case.after.parts
        if p.kind == "source" and "frequency" in p.values
    ):
        return case.cell("hoist-practice", "winch-dip", "ratio"), " while the winch starts"
    return 1.0, ""


def feeding(case: Case, part: Part) -> Part | None:
    """The transformer whose secondary a part hangs on; None where the supply or a rectifier feeds it."""
    nearest = next(iter(feeders(case.after, part)), None)
    return nearest if nearest is not None and nearest.kind == "transformer" else None
