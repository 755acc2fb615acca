"""supply.earthed-side: contacts stand on the unearthed side of the coils."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed
from wiring.check.nets import SWITCHES, Net
from wiring.check.rule import iec, rule, us
from wiring.model.circuit import Circuit


@rule(
    "supply.earthed-side",
    "Contacts on the unearthed side",
    danger=2,
    hazard="With the contact on the earthed side one earth fault on the core runs the coil and passes every "
    "stop.",
    sources=(
        us("NEC 430.74"),
        iec("IEC 60204-1 9.4.3.1"),
    ),
    checks="Each coil in an earthed control circuit: one end reaches the earthed pole by wires alone.",
    needs="The bond of the control circuit in the hoist type.",
    does_not_cover="Unearthed control circuits (proof.earth-fault) and motors between two lines "
    "(supply.both-lines).",
)
def check(case: Case) -> Iterable[Draft]:
    new, old = switched_coils(case, case.after), switched_coils(case, case.before)
    yield from case.each(list(new.items()), lambda s, bare: judge(s, bare, old.get(s, True)))
    yield from case.each([(n, n) for n, bare in old.items() if not bare], lambda s, _: found(s), "before")


def switched_coils(case: Case, circuit: Circuit) -> dict[str, bool]:
    """Coils that an earthed source feeds, and whether each has its return on the earthed pole."""
    if not circuit.earth:
        return {}
    # only contacts that are closed in every working state join: isolators and plugs
    # and, as the usual exception, the contact of an overload relay
    fixed = {n for s in circuit.stops if s.kind in ("isolator", "plug") for n in s.parts}
    overload = {p.name for p in circuit.parts if p.kind == "contact" and p.by.startswith("thermal:")}
    net = Net(circuit, fixed | overload)
    earth = net.node(circuit.earth)
    if earth not in net.live:
        return {}
    closed = {p.name for p in circuit.parts if p.kind in SWITCHES}
    everything = Net(circuit, closed)
    reached = everything.node(circuit.earth)
    return {
        p.name: any(net.node(pin) == earth for pin in p.pins)
        for p in circuit.parts
        if p.kind == "coil" and any(everything.node(pin) == reached for pin in p.pins)
    }


_WANTED = "one end on the earthed pole by wires alone, every contact on the other side"


def judge(subject: str, bare: bool, before: bool) -> Draft:
    """One coil as converted. before: whether its return was unswitched, True for an added one."""
    if bare:
        return passed(subject, "its return is the earthed pole, unswitched", _WANTED)
    if not before:
        return passed(subject, "a contact stands between it and the earthed pole, as the pendant's did",
                      _WANTED)  # fmt: skip
    return failed(subject, "a contact stands between the coil and the earthed pole", _WANTED,
                  "move the contact to the live side", key="connection")  # fmt: skip


def found(subject: str) -> Draft:
    """A coil of the hoist that is switched on the earthed side as found."""
    return failed(subject, "a contact stands between the coil and the earthed pole: an earth fault on that "
                           "core runs it", _WANTED,
                  "have the control circuit changed to switch the live side", about="before",
                  key="hoist.type")  # fmt: skip
