"""A circuit with something wrong in it: what a fault set leaves of parts, outputs and freedom.

The words of a fault and what they mean stand in `faults_effect`; here its plain
sets become a changed circuit that compiles like any other.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import TYPE_CHECKING

from wiring.model.circuit import Circuit, Output, Part

if TYPE_CHECKING:
    from wiring.simulate.faults_effect import Effect

#: Parts that are in or out by their voltage; a dead one stays, so that its contacts keep their cause.
DECIDING = frozenset(("coil", "supply-input", "drive-input"))


@dataclass(frozen=True, slots=True)
class Forced:
    """What a fault holds. coils: name to in (True) or out; outputs: closed whatever is commanded, while fed;
    frozen: outputs that keep what they had; inputs: operated for good; dead_inputs: without
    effect; joined: points that became one; jammed: interlocks gone; opened: loads through
    which nothing passes."""

    coils: Mapping[str, bool] = field(default_factory=lambda: MappingProxyType({}))
    outputs: frozenset[str] = frozenset()
    frozen: frozenset[str] = frozenset()
    inputs: frozenset[str] = frozenset()
    dead_inputs: frozenset[str] = frozenset()
    joined: tuple[tuple[str, str], ...] = ()
    jammed: frozenset[frozenset[str]] = frozenset()
    opened: frozenset[str] = frozenset()


def broken(circuit: Circuit, faults: tuple[str, ...]) -> tuple[Circuit, Forced]:
    """The circuit with the faults in it and what they hold. Raises KeyError for an unknown fault."""
    if not faults:
        return circuit, Forced()
    from wiring.simulate.faults_effect import effect

    what = effect(circuit, faults)
    parts, joined = _parts(circuit, what)
    outputs = tuple(_output(output, what) for output in circuit.outputs)
    coils = dict.fromkeys(what.coils_out, False) | dict.fromkeys(what.coils_in, True)
    deciding = {part.name for part in circuit.parts if part.kind in DECIDING}
    coils |= dict.fromkeys(what.dead & deciding, False)
    forced = Forced(
        coils=MappingProxyType(coils),
        outputs=what.on,
        frozen=frozenset(output.name for output in outputs if output.channel in what.frozen),
        inputs=what.stuck,
        dead_inputs=what.dead_keys,
        joined=(*sorted(what.joins), *joined),
        jammed=frozenset(frozenset(pair) for pair in what.jammed),
        opened=what.dead & deciding,
    )
    return replace(circuit, parts=parts, outputs=outputs), forced


def _parts(circuit: Circuit, what: Effect) -> tuple[tuple[Part, ...], list[tuple[str, str]]]:
    """Parts that are left, and the pins that broken ones join."""
    kept: list[Part] = []
    joined: list[tuple[str, str]] = []
    detached = {part.name for part in circuit.parts if part.by in what.detached}
    for part in circuit.parts:
        if part.name in what.closed or (part.name in detached and part.form == "NC"):
            joined.append((part.pins[0], part.pins[1]))
        elif part.name in what.opened or part.name in detached:
            continue
        elif part.name not in what.dead or part.kind in DECIDING:
            kept.append(part)
    for one, two in what.swaps:
        at = {part.name: i for i, part in enumerate(kept)}
        a, b = kept[at[one]], kept[at[two]]
        kept[at[one]] = replace(a, pins=(b.pins[0], a.pins[1]))
        kept[at[two]] = replace(b, pins=(a.pins[0], b.pins[1]))
    return tuple(kept), joined


def _output(output: Output, what: Effect) -> Output:
    """The output with the wrong mode, the loss timer that never ends, the memory that restores."""
    if output.name in what.latching:
        output = replace(output, mode="latching")
    if what.loss_stuck:
        output = replace(output, on_loss="stays")
    if what.restores:
        output = replace(output, on_return="restores")
    return output
