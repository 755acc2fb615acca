"""Moments under faults in lanes against the scalar engine: held, released, link and supply lost and back."""

from __future__ import annotations

import random

import pytest

from tests.simulate.truthjobs import (
    circuits,
    crane_conversion,
    joined_returns,
    stop_in_motion_common,
    two_channel,
)
from wiring.model.behaviour import Settled, State
from wiring.model.circuit import Circuit
from wiring.simulate.fault_run import Inspector
from wiring.simulate.faults import FaultSet, plain_faults
from wiring.simulate.faults_runs import START, Runner
from wiring.simulate.network import Network
from wiring.simulate.settle import settle

#: Faults whose scalar twin is told apart by more than its name: what a channel held before it
#: froze, an interlock that keeps a stuck contactor out.
OTHERWISE = (" frozen", " stuck-in", " dead", " detached")
MOMENTS = (
    "pressed", "held", "released", "let_go", "cold", "held+link", "held+link off", "held+supply",
    "held+supply off", "held+stop:Q1", "held+stop:Q1 off",
)  # fmt: skip

CASES = {
    "momentary": two_channel("momentary"),
    "toggle": two_channel("toggle"),
    "latching": two_channel("latching"),
    "stop pair": stop_in_motion_common(),
    "joined": joined_returns(),
    "crane": crane_conversion(),
}


class Scalar:
    """The scalar engine taken through the same moments."""

    def __init__(self, circuit: Circuit) -> None:
        self.network = Network(circuit)
        self.keys = {i.name for i in circuit.inputs if i.kind in ("key", "button")}
        start = frozenset(name for name in START if name in self.network.input_bit)
        self.rest = self.go(None, frozenset())
        if start:
            self.rest = self.go(self.go(self.rest, start), frozenset())

    def go(self, before: Settled | None, state: State, faults: tuple[str, ...] = ()) -> Settled:
        if before is None:
            return settle(self.network, state, faults=faults)
        return settle(self.network, state, before.energised, before.memory, faults)

    def moments(self, name: str, state: State, faults: tuple[str, ...]) -> list[Settled]:
        """Every settled moment on the way to the one that is meant, which is the last."""
        if name == "cold":
            return [self.go(None, state, faults)]
        if name in ("pressed", "let_go"):
            way = [self.go(self.rest, frozenset(), faults)]
            way.append(self.go(way[-1], state, faults))
            return [*way, self.go(way[-1], state - self.keys, faults)] if name == "let_go" else way
        way = [self.go(None, frozenset()), self.go(self.rest, state)]
        way.append(self.go(way[-1], state, faults))
        if name == "released":
            way.append(self.go(way[-1], state - self.keys, faults))
        elif "+" in name:
            extra = name.partition("+")[2]
            way.append(self.go(way[-1], state | {extra.removesuffix(" off")}, faults))
            if extra.endswith(" off"):
                way.append(self.go(way[-1], frozenset(), faults))
        return way


@pytest.mark.parametrize("case", CASES)
def test_moments_agree_with_the_scalar_engine(case: str) -> None:
    """Converted circuits come to the same coils, torque and brakes in both engines, moment by moment."""
    rng = random.Random(case)
    circuit = circuits(CASES[case])[1]
    scalar = Scalar(circuit)
    known = [f for f in plain_faults(circuit) if not f.names[0].endswith(OTHERWISE)]
    sets = (FaultSet((), "none"), *rng.sample(known, 12))
    inspector = Inspector(scalar.network, sets)
    runner = Runner(inspector.board, list(inspector.board.settings), inspector.plane, inspector.sound)
    states = inspector.plane.states
    compared = 0
    for moment in MOMENTS:
        shot = runner.shot(moment)
        for k in rng.sample(range(len(states)), min(5, len(states))):
            for number, fault in enumerate(sets):
                way = scalar.moments(moment, states[k], fault.names)
                if any(one.race for one in way):
                    continue
                lane = number * inspector.plane.width + k
                names = zip(runner.batch.net.coils, shot.lanes.coils, strict=True)
                coils = {coil.name for coil, lanes in names if lanes >> lane & 1}
                torque = {
                    motor: next((word for word, lanes in words.items() if lanes >> lane & 1), "none")
                    for motor, words in shot.moves.torque.items()
                }
                where = f"{moment} {fault.names} {sorted(states[k])}"
                assert coils == set(way[-1].energised), where
                assert torque == dict(way[-1].torque), where
                compared += 1
    assert compared > 300
