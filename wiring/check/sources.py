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
    """The source inside a device that feeds a part; None where the hoist's supply does."""
    return next((s for s in inner_sources(circuit) if between(circuit, s.pins[:2], part)), None)


def feeders(circuit: Circuit, part: Part) -> tuple[Part, ...]:
    """Transformers and rectifiers that a part hangs on, nearest first: each feeds the one before it."""
    found: list[Part] = []
    at: Part | None = part
    while at is not None:
        at = next((p for p in circuit.parts
                   if p.kind in ("transformer", "rectifier") and p not in found and p is not at
                   and between(circuit, p.pins[2:4], at)), None)  # fmt: skip
        found += [at] if at is not None else []
    return tuple(found)


def direct(circuit: Circuit, part: Part) -> bool:
    """True where a part lies on direct voltage although the hoist's supply alternates."""
    if inner_source(circuit, part) is not None:
        return True
    return any(p.kind == "rectifier" and between(circuit, p.pins[2:4], part) for p in circuit.parts)


def between(circuit: Circuit, poles_: tuple[str, ...], part: Part) -> bool:
    """True where a part lies between two points once every contact is closed."""
    net = _all_closed(circuit)
    ends = {net.node(pin) for pin in part.pins[:2]}
    return len(ends) == 2 and {net.node(pin) for pin in poles_} == ends


def _all_closed(circuit: Circuit) -> Net:
    """The circuit with every contact closed, remembered for the last circuits asked about."""
    key = id(circuit)
    if key not in _nets or _nets[key].circuit is not circuit:
        if len(_nets) > 8:
            _nets.clear()
        _nets[key] = Net(circuit, {p.name for p in circuit.parts if p.kind in SWITCHES})
    return _nets[key]


_nets: dict[int, Net] = {}


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
