"""Comparisons of the engine with the naive solver and with ngspice.

Agreed: every coil decision and the torque class of every motor in every state that is
compared, and every load voltage within 0.1 % of nominal in real-wire mode. Left out and
counted: states with a source short (classified, not solved), with a race (the order
decides), and loads within `NEAR` of a threshold where ideal and real wires may differ.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field

from tests.simulate import naive, spice
from tests.simulate.damage import Damaged
from wiring.model.behaviour import Settled
from wiring.model.circuit import Circuit
from wiring.simulate import Network, settle

#: Voltages agree within this part of nominal.
WITHIN = 1e-3


@dataclass
class Tally:
    """What was compared and what came out differently, each in one line."""

    counts: Counter[str] = field(default_factory=Counter)
    wrong: list[str] = field(default_factory=list)
    worst: float = 0.0

    def note(self, ok: bool, what: str, text: str) -> None:
        """Count one comparison, keep its text where it failed."""
        self.counts[what] += 1
        if not ok:
            self.wrong.append(f"{what}: {text}")


def plain(circuit: Circuit) -> bool:
    """Circuits the oracles take: a rectifier joins AC and DC and is not linear."""
    return not any(p.kind == "rectifier" for p in circuit.parts)


def outputs_of(network: Network, now: Settled) -> frozenset[str]:
    """Outputs whose contacts are closed in a settled state."""
    closed = set(now.closed)
    return frozenset(
        part.by.removeprefix("output:")
        for part in network.circuit.parts
        if part.by.startswith("output:") and (part.name in closed) == (part.form == "NO")
    )


def against_naive(
    network: Network, now: Settled, start: Iterable[str], tally: Tally, faulty: Damaged | None = None
) -> None:
    """Settle the same state from the same coils with the naive solver. now: in real-wire mode."""
    circuit = faulty.circuit if faulty else network.circuit
    if now.shorts or now.blown or now.race:
        tally.counts["left out: race" if now.race else "left out: short"] += 1
        return
    if now.may_hold:
        tally.counts["left out: may hold"] += 1
        return
    outputs = outputs_of(network, now)
    result = naive.settle(circuit, now.state, frozenset(start), outputs, faulty.held if faulty else None)
    where = f"{sorted(now.state)} from {sorted(start)} {network.faults}"
    tally.note(
        result.steady and result.energised == set(now.energised), "naive decisions",
        f"{where}: {sorted(result.energised)} not {sorted(now.energised)}",
    )  # fmt: skip
    ours = {name: torque for name, torque in now.torque.items() if name in result.torque}
    tally.note(dict(result.torque) == ours, "naive torque", f"{where}: {result.torque} not {ours}")


def ideal_like_real(network: Network, ideal: Settled, real: Settled, tally: Tally) -> None:
    """Ideal and real wires decide alike, except where a control transformer sags under the inrush
    of several coils or a battery under a stalled motor, or where wires lie across a winding and their
    resistance leaves it a trickle: named limits of the ideal mode, counted apart."""
    if ideal.shorts or real.shorts or ideal.blown:
        tally.counts["left out: short"] += 1
        return
    same = ideal.energised == real.energised and ideal.torque == real.torque
    sags = not network.hertz[0] or any(part.kind == "transformer" for part in network.circuit.parts)
    if not same and (sags or ideal.marginal or real.marginal or ideal.race or real.race):
        tally.counts["limit: transformer or battery sags, or near a threshold"] += 1
    elif not same and ideal.energised == real.energised and _bridged(network, ideal, real):
        tally.counts["limit: wires lie across a winding"] += 1
    else:
        tally.note(same, "ideal as real", f"{sorted(ideal.state)} {network.faults}: {ideal.energised}")


#: Of the current in a motor's other winding, what wires across one may leave it.
TRICKLE = 0.02


def _bridged(network: Network, ideal: Settled, real: Settled) -> bool:
    """True where every motor that turns otherwise has a winding without current between ideal wires, and
    with a trickle between real ones."""
    motors = [m for m in network.circuit.motors if ideal.torque.get(m.name) != real.torque.get(m.name)]
    for motor in motors:
        amps = {name: abs(real.amps[name]) for name in motor.parts}
        most = TRICKLE * max(amps.values())
        small = [name for name in motor.parts if abs(ideal.amps[name]) == 0.0 and amps[name] < most]
        if not small:
            return False
    return bool(motors)


def volts_against_naive(network: Network, now: Settled, tally: Tally, faulty: Damaged | None = None) -> None:
    """Real-wire voltages of one settled pattern against the dense solve of the same pattern."""
    if now.shorts or now.blown:
        return
    circuit = faulty.circuit if faulty else network.circuit
    closed = frozenset(now.closed) | {p.name for p in circuit.parts if p.by == "nothing"}
    energised = frozenset(now.energised)
    ours = _real(network, now)
    theirs = naive.loads_of(circuit, closed, energised)
    for name in faulty.held if faulty else ():
        theirs.pop(name, None)  # a dead coil takes no current: its voltage may be a ghost
    _volts(circuit, ours, theirs, f"naive {sorted(now.state)}", "naive voltages", tally)


def _real(network: Network, now: Settled) -> dict[str, complex]:
    """Voltages of the settled pattern in real-wire mode."""
    from wiring.simulate.real import real_solution

    closed = set(now.closed)
    mask = sum(
        1 << i for i, s in enumerate(network.switches) if s.part.name in closed or s.part.kind == "fuse"
    )
    coils = sum(network.coil_bit[name] for name in now.energised)
    return dict(real_solution(network, mask, coils).volts())


def _volts(
    circuit: Circuit,
    ours: dict[str, complex],
    theirs: dict[str, complex],
    where: str,
    what: str,
    tally: Tally,
) -> None:
    nominal = naive.nominal(circuit)
    for name, volts in theirs.items():
        if name in ours:
            apart = abs(ours[name] - volts) / nominal
            tally.worst = max(tally.worst, apart)
            tally.note(apart <= WITHIN, what, f"{where} {name}: {ours[name]:.4f} not {volts:.4f}")


def against_spice(
    network: Network, states: Iterable[Settled], tally: Tally, faulty: Damaged | None = None
) -> None:
    """Every distinct pattern of these settled states in ngspice: decisions, torque, voltages."""
    circuit = faulty.circuit if faulty else network.circuit
    bars = {p.name for p in circuit.parts if p.by == "nothing"}
    held = faulty.held if faulty else {}
    distinct: dict[spice.Pattern, Settled] = {}
    for now in states:
        if now.shorts or now.blown:
            tally.counts["left out: short"] += 1
        else:
            distinct.setdefault((frozenset(now.closed) | bars, frozenset(now.energised)), now)
    for (pattern, now), loads in zip(distinct.items(), spice.solve(circuit, list(distinct)), strict=True):
        where = f"spice {sorted(now.state)}"
        for name in held:
            loads.pop(name, None)
        _volts(circuit, _real(network, now), loads, where, "spice voltages", tally)
        for part in circuit.parts:
            if part.kind in naive.DECIDING and part.name not in (*now.marginal, *held) and not now.race:
                _decision(circuit, part.name, now, loads, tally, where)
        for motor in circuit.motors:
            found = naive.torque(circuit, motor, loads, pattern[1])
            tally.note(found == now.torque[motor.name], "spice torque", f"{where} {motor.name}: {found}")


def _decision(
    circuit: Circuit, name: str, now: Settled, loads: dict[str, complex], tally: Tally, where: str
) -> None:
    pick, drop = naive.thresholds(circuit, circuit.part(name))
    volts, held = abs(loads[name]), set(now.energised)
    blocked = any(name in pair and set(pair) - {name} <= held for pair in circuit.interlocks)
    if name in held:
        ok = volts >= drop
    else:
        ok = volts < pick or blocked or "supply" in now.state
    tally.note(ok, "spice decisions", f"{where} {name}: {volts:.2f} V")


def distinct(states: Iterable[Settled]) -> list[Settled]:
    """One settled state of each pattern that the voltages depend on."""
    return list({(frozenset(s.closed), frozenset(s.energised)): s for s in states}.values())


def power_patterns(network: Network, states: Iterable[Settled]) -> list[Settled]:
    """One settled state of each distinct pattern of the power part: contactor coils and torques."""
    return list({(frozenset(s.energised), tuple(sorted(s.torque.items()))): s for s in states}.values())


def settled_states(network: Network, states: Iterable[frozenset[str]], mode: str = "ideal") -> list[Settled]:
    """States settled from rest, START given where there is one."""
    rest = settle(network, frozenset(), mode=mode)
    start = frozenset(network.input_bit) & {"key:start", "button:start"}
    if start:
        for step in (start, frozenset[str]()):
            rest = settle(network, step, rest.energised, rest.memory, mode=mode)
    return [settle(network, state, rest.energised, rest.memory, mode=mode) for state in states]
