"""A state given as words, settled: "press key:up, open limit:up, fault K10.up stuck-in"."""

from __future__ import annotations

import difflib

from wiring.model.behaviour import Settled
from wiring.model.circuit import Circuit, Input
from wiring.simulate.faults import single_list
from wiring.simulate.faults_effect import effect
from wiring.simulate.network import Network
from wiring.simulate.settle import settle

PRESSED = ("button", "key", "selector")
SHORT = {"stuck": "stuck-in"}  # a contactor that is stuck is stuck in


class StateWordError(ValueError):
    """A word of the state text that does not name an input or a fault."""


def parse_state(circuit: Circuit, text: str) -> tuple[frozenset[str], tuple[str, ...]]:
    """Inputs operated and faults of a state text. Raises StateWordError naming the nearest input."""
    inputs = {i.name: i for i in circuit.inputs}
    operated: set[str] = set()
    faults: list[str] = []
    for clause in filter(None, (piece.strip() for piece in text.split(","))):
        verb, _, rest = clause.partition(" ")
        rest = rest.strip()
        if verb == "fault" and rest:
            name, _, how = rest.rpartition(" ")
            faults.append(f"{name} {SHORT.get(how, how)}" if name else rest)
        elif verb in ("press", "open") and rest in inputs:
            if verb != _verb(inputs[rest]):
                raise StateWordError(f"found {clause!r}; allowed: {_verb(inputs[rest])} {rest}")
            operated.add(rest)
            if inputs[rest].implies:
                operated.add(inputs[rest].implies)
        else:
            near = difflib.get_close_matches(rest or verb, inputs, 1)
            hint = f"; nearest: {_verb(inputs[near[0]])} {near[0]}" if near else ""
            raise StateWordError(f"found {clause!r}; allowed: press KEY, open INPUT, fault NAME{hint}")
    return frozenset(operated), tuple(faults)


def _verb(item: Input) -> str:
    return "press" if item.kind in PRESSED else "open"


def known_faults(circuit: Circuit, faults: tuple[str, ...]) -> None:
    """Raises StateWordError naming the nearest fault where the circuit has none of that name."""
    for fault in faults:
        try:
            effect(circuit, (fault,))
        except KeyError:
            names = {name for one in single_list(circuit) for name in one.names}
            near = difflib.get_close_matches(fault, names, 1)
            hint = f"; nearest: {near[0]}" if near else ""
            raise StateWordError(f"found fault {fault!r}; no such fault here{hint}") from None


def state_view(circuit: Circuit, text: str) -> Settled:
    """The settled circuit of a state text, reached from rest (START given where it is needed).

    Raises StateWordError for a word that names nothing.
    """
    state, faults = parse_state(circuit, text)
    known_faults(circuit, faults)
    network = Network(circuit)
    known = {i.name for i in circuit.inputs}
    now = settle(network, frozenset(), faults=faults)
    if any(output.needs_start for output in circuit.outputs) or "button:start" in known:
        start = frozenset(known & {"key:start", "button:start"})
        for step in (start, frozenset()):
            now = settle(network, step, now.energised, now.memory, faults)
    if not state:
        return now
    return settle(network, state, now.energised, now.memory, faults)
