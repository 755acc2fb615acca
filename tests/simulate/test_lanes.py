"""The lanes engine against the scalar one: same coils, motions, torque, brakes, shorts."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from tests.simulate.chance import generated
from tests.simulate.circuits import second_step
from wiring.circuit import build_type
from wiring.files import load_catalog
from wiring.model.behaviour import State
from wiring.model.circuit import Circuit
from wiring.simulate.faults import FaultSet, plain_faults
from wiring.simulate.lanes import large_differences, large_truth
from wiring.simulate.lanes_batch import Batch
from wiring.simulate.lanes_board import Board
from wiring.simulate.lanes_power import moves
from wiring.simulate.lanes_settle import Lanes, Settler, cold
from wiring.simulate.network import Network
from wiring.simulate.settle import settle
from wiring.simulate.states import space_of

CATALOG = load_catalog()
WIDTH = 16


def states_of(circuit: Circuit, rng: random.Random) -> list[State]:
    """Rest and fifteen random states in which a second step implies its first."""
    found: list[State] = [frozenset()]
    while len(found) < WIDTH:
        chosen = {i.name for i in rng.sample(circuit.inputs, min(len(circuit.inputs), rng.randint(1, 3)))}
        chosen |= {i.implies for i in circuit.inputs if i.name in chosen and i.implies}
        found.append(frozenset(chosen))
    return found


def settled_lanes(
    circuit: Circuit, sets: list[tuple[str, ...]], states: list[State]
) -> tuple[Batch, Settler, Lanes]:
    """All fault sets in all states, settled from cold in one batch."""
    board = Board(circuit, tuple(sets))
    batch = Batch(board, list(board.settings), WIDTH)
    settler = Settler(batch)
    operated = {
        i.name: batch.spread(sum(1 << k for k, s in enumerate(states) if i.name in s)) for i in circuit.inputs
    }
    return batch, settler, settler.run(operated, cold(batch))


def disagreements(circuit: Circuit, sets: list[tuple[str, ...]], rng: random.Random) -> list[str]:
    """Every lane in which the two engines differ, lanes with a race left out."""
    states = states_of(circuit, rng)
    batch, settler, now = settled_lanes(circuit, sets, states)
    shown = moves(settler, now)
    network = Network(circuit)
    found = []
    for number, names in enumerate(sets):
        for k, state in enumerate(states):
            lane = number * WIDTH + k
            scalar = settle(network, state, faults=names)
            if scalar.race:
                continue
            coils = {c.name for c, n in zip(batch.net.coils, now.coils, strict=True) if n >> lane & 1}
            torque = {
                motor: next((word for word, n in words.items() if n >> lane & 1), "none")
                for motor, words in shown.torque.items()
            }
            brakes = {name for name, n in shown.brakes.items() if n >> lane & 1}
            mine = (coils, torque, brakes, bool(now.shorts >> lane & 1))
            other = (set(scalar.energised), dict(scalar.torque), set(scalar.brakes_open), bool(scalar.shorts))
            if mine != other:
                found.append(f"{names} {sorted(state)}: lanes {mine}, scalar {other}")
    return found


def scalar_names(fault: FaultSet) -> bool:
    """True for faults that the scalar engine knows by the same name."""
    return not any(name.endswith((" detached", " dead", " frozen", " latching")) for name in fault.names)


@pytest.mark.parametrize("type_id", sorted(CATALOG.hoists))
def test_lanes_and_scalar_agree_on_single_faults(type_id: str) -> None:
    """Every catalog type settles alike in both engines, sound and under a spread of its faults."""
    circuit = build_type(CATALOG.hoists[type_id])
    rng = random.Random(type_id)
    faults = [f.names for f in plain_faults(circuit) if scalar_names(f)]
    assert disagreements(circuit, [(), *rng.sample(faults, min(24, len(faults)))], rng) == []


def test_lanes_and_scalar_agree_on_random_circuits() -> None:
    """Randomly made circuits with bridges and suppressors settle alike in both engines."""
    rng = random.Random(7)
    for _ in range(12):
        circuit = generated(rng)
        assert disagreements(circuit, [()], rng) == []


def test_a_wrong_fault_shows_up_as_a_disagreement() -> None:
    """The comparison itself can fail: lanes under a weld differ from the scalar engine without it."""
    circuit = build_type(CATALOG.hoists["reversing-contactors-24"])
    states = [frozenset[str]()] * WIDTH
    _, settler, now = settled_lanes(circuit, [("hoist:K1 stuck-in",)], states)
    assert "hoist up" in moves(settler, now).motion
    assert settle(Network(circuit), frozenset()).motions == ()


@pytest.mark.parametrize("type_id", ["reversing-contactors-24", "drive-pnp-two-channel-stop"])
def test_large_truth_says_what_every_vector_does(type_id: str) -> None:
    """The merged table of all vectors covers each vector once, with the scalar engine's motions and coils."""
    network = Network(build_type(CATALOG.hoists[type_id]))
    table = large_truth(network)
    space = space_of(network)
    vectors = space.vectors()
    assert table.complete and table.vectors == len(vectors)
    for vector in vectors:
        state = network.state_names(vector)
        rows = [r for r in table.rows if set(state).difference(r.any) == {*r.pressed, *r.open}]
        assert len(rows) == 1
        at = space.at(vector)
        if not at.run.race:
            assert rows[0].motions == space.motions(at)
            assert set(rows[0].energised) == set(space.settled(at).energised)


def test_all_vectors_of_the_crane_are_settled() -> None:
    """The two-speed crane's table is complete, not a sample, and agrees on random vectors."""
    network = Network(build_type(CATALOG.hoists["two-speed-crane-115"]))
    table = large_truth(network)
    space = space_of(network)
    assert table.complete and table.vectors == space.count() > 9000
    rng = random.Random(5)
    for vector in rng.sample(space.few(3, 2), 60):
        state = network.state_names(vector)
        rows = [r for r in table.rows if set(state).difference(r.any) == {*r.pressed, *r.open}]
        assert len(rows) == 1
        assert rows[0].motions == space.motions(space.at(vector))


def test_a_circuit_does_not_differ_from_itself_and_does_from_a_broken_one() -> None:
    """Comparing all vectors finds nothing against itself and the lost motion where a wire is gone."""
    circuit = build_type(CATALOG.hoists["reversing-contactors-24"])
    same = {item.name: item.name for item in circuit.inputs}
    network = Network(circuit)
    assert large_differences(network, network, same) == ()
    parts = tuple(part for part in circuit.parts if part.name != "hoist:W33")
    found = large_differences(network, Network(replace(circuit, parts=parts)), same)
    assert found and {(d.before, d.after, d.judgement) for d in found} <= {
        (("hoist down",), (), "other"),
        (("hoist down",), (), "better"),
    }


@pytest.mark.parametrize("mode", ["momentary", "latching", "toggle"])
def test_a_second_step_that_replaces_the_first(mode: str) -> None:
    """The lanes open the first step's output while the second is pressed, as the scalar engine does."""
    circuit = second_step(mode)
    assert disagreements(circuit, [()], random.Random(1)) == []
    states = [frozenset(("key:up", "key:up.2")), frozenset(("key:up",)), *[frozenset[str]()] * (WIDTH - 2)]
    _, _, now = settled_lanes(circuit, [()], states)
    assert now.outputs["receiver:UP"] & 3 == 2
