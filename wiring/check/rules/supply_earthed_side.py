"""supply.earthed-side: contacts stand on the unearthed side of the coils."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed
from wiring.check.nets import Net
from wiring.check.rule import iec, rule, us
from wiring.check.rules.conductor_false_neutral import isolating
from wiring.model.circuit import Part


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
    if not case.after.earth:
        return ()
    # only contacts that are closed in every working state join: isolators and plugs
    # and, as the usual exception, the contact of an overload relay
    overload = {p.name for p in case.after.parts if p.kind == "contact" and p.by.startswith("thermal:")}
    net = Net(case.after, isolating(case) | overload)
    earth = net.node(case.after.earth)
    if earth not in net.live:
        return ()
    coils = [p for p in case.after.parts if p.kind == "coil" and from_earthed(case, p)]
    return case.each([(p.name, p) for p in coils], lambda s, p: judge(s, p, net, earth))


def from_earthed(case: Case, coil: Part) -> bool:
    """True where the coil can be fed by an earthed source at all: some way from it reaches earth."""
    closed = {p.name for p in case.after.parts if p.kind in ("contact", "semiconductor")}
    everything = Net(case.after, closed)
    earth = everything.node(case.after.earth)
    return any(everything.node(pin) == earth for pin in coil.pins)


def judge(subject: str, coil: Part, net: Net, earth: str) -> Draft:
    """One coil."""
    wanted = "one end on the earthed pole by wires alone, every contact on the other side"
    if any(net.node(pin) == earth for pin in coil.pins):
        return passed(subject, "its return is the earthed pole, unswitched", wanted)
    return failed(subject, "a contact stands between the coil and the earthed pole", wanted,
                  "move the contact to the live side", key="connection")  # fmt: skip
