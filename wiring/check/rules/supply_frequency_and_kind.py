"""supply.frequency-and-kind: coils and receiver match the supply's kind, voltage and frequency."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Comparison, Draft, compared, failed, passed, unknown
from wiring.check.loads import alternating, hertz
from wiring.check.rule import both, rule
from wiring.check.states import command, commands, settled_at
from wiring.model.circuit import Part
from wiring.model.entry import HoistType


@rule(
    "supply.frequency-and-kind",
    "Kind, voltage and frequency match",
    danger=1,
    hazard="A coil of the wrong kind or voltage burns or never closes.",
    sources=(both("plates and data sheets; IEC 60947-4-1 limits of operation", "read"),),
    checks="The supply's voltage against the hoist's; receiver supply AC or DC as its circuit; each added "
    "coil's frequency and voltage against its circuit.",
    needs="supply.voltage; receiver type; coil data; supply.frequency.",
    does_not_cover="Coils of the hoist itself; the frequency of a coil that states none.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    ids = {d.id for d in case.job.devices}
    inputs = [p for p in case.after.parts if p.kind == "supply-input"]
    coils = [p for p in case.after.parts if p.kind == "coil" and p.owner.partition(".")[0] in ids]
    yield from case.each([("hoist supply", case.hoist_type)], lambda s, entry: hoist(case, s, entry))
    yield from case.each([(p.name, p) for p in inputs], lambda s, p: receiver(case, s, p))
    yield from case.each([(p.name, p) for p in coils], lambda s, p: coil(case, s, p))


def hoist(case: Case, subject: str, entry: HoistType | None) -> Draft | None:
    """The supply's voltage against the one the hoist is made for."""
    if entry is None:
        return None
    stated, how = case.job.supply.voltage, "read it on the panel, or have it measured"
    volts = case.amount(stated, "supply.voltage", how, unit="V")
    plate = case.use(entry.voltage)
    row = "battery-of-type" if entry.supply_system == "dc" else "supply-of-type"
    most = case.cell("hoist-practice", row, "ratio")
    return compared(subject, Comparison(abs(volts - plate) / plate, most, "at-most", "1"),
                    f"{volts:g} V on a hoist for {plate:g} V", f"within {most:.0%} of {plate:g} V",
                    "have the supply measured", "a hoist for another voltage is a type of its own: holdrun "
                    "new-type", key="supply.voltage")  # fmt: skip


def receiver(case: Case, subject: str, part: Part) -> Draft:
    """The receiver's supply."""
    kind = case.receiver_type.supply_kind if case.receiver_type else "either"
    have = "AC" if alternating(case.after, part) else "DC"
    wanted = f"a {kind} supply" if kind != "either" else "AC or DC"
    if kind in ("either", have):
        return passed(subject, f"{have} at its terminals", wanted)
    return failed(subject, f"{have} at its terminals", wanted, "feed it through a supply unit",
                  "use a receiver for that supply", key="receiver.type")  # fmt: skip


def coil(case: Case, subject: str, part: Part) -> Draft:
    """One added coil."""
    rated = case.of(part, "voltage", "read it on the coil")
    states = [command(case, "after", c) for c in commands(case.after)]
    volts = max((abs(settled_at(case, "after", s).volts.get(part.name, 0j)) for s in states), default=0.0)
    wanted = f"about {rated:g} V"
    ac = alternating(case.after, part)
    kind = "ac" if ac else "dc"
    low, high = case.cell("coil-limits", "pick-up", kind), case.cell("coil-limits", "continuous", kind)
    if volts == 0.0:
        return unknown(subject, "no key brings it any voltage", wanted, "land it", key="connection")
    # the nominal circuit, solved with ideal contacts: a real mismatch is a factor, not a few percent
    if not low * rated <= volts <= high * rated:
        return failed(
            subject,
            f"{volts:.0f} V on a {rated:g} V coil",
            wanted,
            "use a coil for the voltage",
            key="device",
        )
    own = case.of_or_none(part, "frequency")
    supply = hertz(case.after) if ac else 0.0
    if not ac and own is None and "sealed" in part.values:
        return failed(subject, "an AC coil on direct current: nothing but its winding limits the current",
                      "a coil for direct current", "use a coil for direct current", key="device")  # fmt: skip
    if own is not None and abs(own - supply) > 1.0:
        return failed(subject, f"{own:.0f} Hz coil on {supply:.0f} Hz", f"{supply:.0f} Hz",
                      "use a coil for the frequency, or one marked 50/60 Hz", key="device")  # fmt: skip
    return passed(subject, f"{volts:.0f} V on a {rated:g} V coil", wanted)
