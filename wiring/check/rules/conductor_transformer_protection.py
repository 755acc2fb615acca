"""conductor.transformer-protection: control transformers are fused on both sides as they must."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.calc.transformer import device_limit, rated_current
from wiring.check.case import Case
from wiring.check.draft import Comparison, Draft, Missing, compared, failed, passed
from wiring.check.nets import Net
from wiring.check.protecting import closed_with
from wiring.check.rule import iec, rule, us
from wiring.files.quantity import show
from wiring.model.circuit import Part


@rule(
    "conductor.transformer-protection",
    "Control transformer protected",
    danger=2,
    hazard="A transformer whose secondary is shorted burns in its box.",
    sources=(
        us("NEC 450.3(B), 430.72(C)"),
        iec("IEC 60204-1 7.2.7 (recalled)", "memory"),
    ),
    checks="The device in each line of the primary, the smallest of those in series, and the one in the "
    "secondary of each control transformer, against its rated currents.",
    needs="The transformer's power and voltages; ratings of the fuses on its two sides, or "
    "supply.protective_device.",
    does_not_cover="Whether the primary device lets the magnetising inrush through.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    found = []
    for part in case.after.parts:
        if part.kind == "transformer" and not supply_unit(case, part):
            found += [(f"{part.name} primary", (part, 0)), (f"{part.name} secondary", (part, 2))]
    return case.each(found, lambda s, item: judge(case, s, *item))


def supply_unit(case: Case, part: Part) -> bool:
    """True for the transformer of a supply unit: its secondary feeds the unit's own rectifier alone."""
    return any(p.kind == "rectifier" and p.owner == part.owner and set(p.pins[:2]) == set(part.pins[2:4])
               for p in case.after.parts)  # fmt: skip


def judge(case: Case, subject: str, part: Part, side: int) -> Draft:
    """One side of one transformer."""
    power = case.of(part, "power", f'state [[value]] of = "{part.name}.power" from its plate')
    volts = case.of(part, "primary" if side == 0 else "secondary")
    fuse = fuse_at(case, part) if side == 2 else None
    if fuse is None and side == 2:
        small = case.region == "us" and power < case.cell(
            "nec-430-limits", "transformer-in-controller", "apparent"
        )
        wanted = "a fuse in the unearthed secondary conductor"
        if small:
            return passed(subject, f"{power:g} VA inside the controller may do without", wanted)
        return failed(
            subject, "no fuse in the secondary", wanted, "add a fuse in the unearthed pole", key="device"
        )
    rating, name = before(case, part) if fuse is None else (case.of(fuse, "rating"), fuse.name)
    if case.region == "iec":
        # the standard leaves the figure to the maker: a device on the pole is what can be seen here
        return passed(subject, f"{name} {show(rating, 'A')}; rated "
                      f"{show(rated_current(power, volts), 'A')}", "a device by the transformer's data "
                                                                   "sheet")  # fmt: skip
    ratio, text = share(case, rated_current(power, volts), side)
    limit = device_limit(power, volts, ratio)
    return compared(subject, Comparison(rating, limit, "at-most", "A"),
                    f"{name} {show(rating, 'A')}",
                    f"at most {show(limit, 'A')} ({text})",
                    "fit a smaller fuse", key="device",
                    path=f"{power:g} VA / {volts:g} V = {show(rated_current(power, volts), 'A')} x "
                    f"{ratio:g}")  # fmt: skip


def share(case: Case, rated: float, side: int) -> tuple[float, str]:
    """Device over rated current that the code allows, and the clause."""
    if side == 0:
        below = case.cell("nec-430-limits", "transformer-small-primary", "current")
        if rated < below:
            return case.cell("nec-430-limits", "transformer-small-primary", "ratio"), "430.72(C)(4)"
        return case.cell("nec-450-3-b", "both-primary", "ratio"), "450.3(B)"
    row = (
        "both-secondary-9"
        if rated >= case.cell("nec-450-3-b", "both-secondary-9", "current_low")
        else "both-secondary"
    )
    return case.cell("nec-450-3-b", row, "ratio"), "450.3(B)"


def before(case: Case, part: Part) -> tuple[float, str]:
    """The device that limits the primary's current and its rating [A]: of the fuses in series in one line
    the smallest, of the two lines the larger. Raises Missing where no rating is known."""
    closed = closed_with(case, part)
    fuses = [p for p in case.after.parts if p.kind == "fuse"]
    cut = [(f, Net(case.after, closed, (f.name,))) for f in fuses]
    whole = Net(case.after, closed)
    # a return, and the other end of a winding, may do without; each line that is live needs one
    live = {whole.node(p.pins[0]) for p in case.after.parts if p.kind == "source"}
    lines = []
    for pin in part.pins[:2]:
        fuses = [f for f, net in cut if net.node(pin) not in net.live]
        if fuses or whole.node(pin) in live:
            lines.append(least(case, fuses) if fuses else (upstream(case), "supply device"))
    return max(lines, key=lambda line: line[0]) if lines else (upstream(case), "supply device")


def least(case: Case, fuses: list[Part]) -> tuple[float, str]:
    """The smallest of some fuses in series whose rating is known [A]. Raises Missing."""
    known = [f for f in fuses if "rating" in f.values] or fuses[:1]
    return min((case.of(f, "rating"), f.name) for f in known)


def fuse_at(case: Case, part: Part) -> Part | None:
    """A fuse joined to the secondary by wires alone."""
    fuses = [p for p in case.after.parts if p.kind == "fuse"]
    net = Net(case.after, (), {p.name for p in fuses})
    nodes = {net.node(pin) for pin in part.pins[2:4]}
    return next((p for p in fuses if any(net.node(pin) in nodes for pin in p.pins)), None)


def upstream(case: Case) -> float:
    """Rating of the device the supply comes from. [A]"""
    device = case.job.supply.protective_device
    if device is None or device.rating is None:
        raise Missing("supply.protective_device.rating", "read it on the panel label")
    return case.amount(device.rating, "supply.protective_device.rating", unit="A")
