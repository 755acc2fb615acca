"""Sources inside devices: the direct voltage that a drive gives out, beside the supply of the hoist."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.nets import SWITCHES, Net, poles
from wiring.model.circuit import Circuit, Part


def inner_sources(circuit: Circuit) -> tuple[Part, ...]:
    """Direct-current sources of a circuit whose supply alternates; empty where all are of one kind."""
    known = [p for p in circuit.parts if p.kind == "source" and "frequency" in p.values]
    direct = tuple(p for p in known if p.values["frequency"].si == 0)
    return direct if len(direct) < len(known) else ()


def inner_source(circuit: Circuit, part: Part) -> Part | None:
    """The source inside a device that feeds a part; None where the hoist's supply does.

    A source feeds what lies between its two poles once every contact is closed.
    """
    found = inner_sources(circuit)
    if not found:
        return None
    net = Net(circuit, {p.name for p in circuit.parts if p.kind in SWITCHES})
    ends = {net.node(pin) for pin in part.pins[:2]}
    fits = [s for s in found if len(ends) == 2 and {net.node(pin) for pin in s.pins} == ends]
    return fits[0] if fits else None


def inner_source_of(circuit: Circuit, parts: Iterable[Part]) -> Part | None:
    """The source inside a device that feeds any of some parts."""
    return next((s for part in parts if (s := inner_source(circuit, part)) is not None), None)


def standing(circuit: Circuit, fixed: set[str]) -> set[str]:
    """Contacts that coils hold closed as long as there is a supply: the coil lies on two poles.

    fixed: contacts that are closed whenever anything works, isolators for one.
    """
    net = Net(circuit, fixed)
    live = {net.node(p) for p in poles(circuit)}
    held = set()
    for part in circuit.parts:
        if part.kind == "coil":
            ends = {net.node(pin) for pin in part.pins[:2]}
            if len(ends) == 2 and ends <= live:
                held.add(f"coil:{part.name}")
    return {p.name for p in circuit.parts if p.kind == "contact" and p.form == "NO" and p.by in held}
