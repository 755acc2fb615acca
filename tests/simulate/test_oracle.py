"""Three oracles: the naive dense solver, ngspice, and plain reachability."""

from __future__ import annotations

import random
from dataclasses import replace

import networkx as nx
import pytest

from tests.campaign import oracle as campaign
from tests.simulate import spice
from tests.simulate.chance import generated
from tests.simulate.dense import Dense
from tests.simulate.oracle import (
    Tally,
    against_naive,
    against_spice,
    distinct,
    ideal_like_real,
    power_patterns,
    settled_states,
    volts_against_naive,
)
from wiring.model.circuit import Circuit
from wiring.simulate import Network
from wiring.simulate.contract import contract
from wiring.simulate.states import LISTED, space_of

CIRCUITS = campaign.catalog_circuits()
NAMES = [f"{i}-{c.about}-{len(c.inputs)}" for i, c in enumerate(CIRCUITS)]


def states_of(network: Network, most: int, seed: int = 1) -> list[frozenset[str]]:
    """All states of a small circuit, or a seeded choice."""
    vectors = space_of(network).vectors()
    if len(vectors) > most:
        vectors = random.Random(seed).sample(vectors, most)
    return [network.state_names(v) for v in vectors]


def agreed(tally: Tally) -> None:
    """Nothing came out differently, and something was compared."""
    assert tally.wrong == []
    assert sum(tally.counts.values()) > 0


@pytest.mark.parametrize("made", CIRCUITS, ids=NAMES)
def test_naive_solver_agrees(made: Circuit) -> None:
    """The naive solver decides every coil and motor alike and finds the same voltages."""
    network, tally = Network(made), Tally()
    states = states_of(network, 12)
    rest = settled_states(network, [frozenset()], "real")[0]
    reals = settled_states(network, states, "real")
    for real, ideal in zip(reals, settled_states(network, states), strict=True):
        against_naive(network, real, rest.energised, tally)
        volts_against_naive(network, real, tally)
        ideal_like_real(network, ideal, real, tally)
    agreed(tally)


@pytest.mark.spice
@pytest.mark.parametrize("made", CIRCUITS, ids=NAMES)
def test_ngspice_agrees(made: Circuit) -> None:
    """ngspice confirms decisions, motion classes and voltages: every settled state of a small type;
    of a large one every pattern of the power part among 1,000 seeded states, and 60 of those."""
    spice.require()
    network, tally = Network(made), Tally()
    if space_of(network).count() <= LISTED:
        chosen = settled_states(network, states_of(network, LISTED))
    else:
        many = settled_states(network, states_of(network, 1000))
        chosen = [*power_patterns(network, many), *many[:60]]
    against_spice(network, distinct(chosen), tally)
    agreed(tally)


def test_random_samples_agree() -> None:
    """A seeded share of the long comparison: generated and catalog circuits, up to three faults."""
    result = campaign.run(150, 20, spice=False)
    assert result["examples"] == []
    assert result["disagreements"] == 0


@pytest.mark.spice
def test_random_samples_agree_with_ngspice() -> None:
    """A seeded share of the long comparison with ngspice in it."""
    spice.require()
    result = campaign.run(60, 21, whole_catalog=False)
    assert result["examples"] == []


def test_groups_are_what_a_graph_search_reaches() -> None:
    """Points joined by closed contacts and wires are one group: the same sets as plain reachability."""
    rng = random.Random(5)
    for _ in range(25):
        made = generated(rng)
        network = Network(made)
        mask = rng.getrandbits(len(network.switches)) | network.fuses
        cut = contract(network, mask)
        if cut.shorts:
            continue
        graph = nx.Graph()
        graph.add_nodes_from(network.point_names)
        graph.add_edges_from(p.pins for p in made.parts if p.kind == "wire")
        graph.add_edges_from(s.part.pins for i, s in enumerate(network.switches) if mask >> i & 1)
        for island in nx.connected_components(graph):
            nodes = {network.node(point) for point in island}
            assert (
                len(
                    {
                        (cut.group[n], round(abs(cut.offset[0][n] - cut.offset[0][min(nodes)]), 6))
                        for n in nodes
                    }
                )
                == 1
            )


def test_the_comparison_notices_a_wrong_voltage() -> None:
    """A disagreement is counted: the oracle can fail."""
    network, tally = Network(CIRCUITS[0]), Tally()
    real = settled_states(network, states_of(network, 4), "real")[-1]
    turned = {
        name: "positive" if torque != "positive" else "negative" for name, torque in real.torque.items()
    }
    against_naive(network, replace(real, torque=turned), (), tally)
    assert tally.wrong


@pytest.mark.parametrize("merged", [True, False])
def test_the_yardstick_of_speed_decides_alike(merged: bool) -> None:
    """The compiled naive solver that the engine's speed is measured against gives the same coils."""
    made = next(c for c in CIRCUITS if len(c.parts) > 100)
    network, yardstick = Network(made), Dense(made, merged)
    states = [s for s in settled_states(network, states_of(network, 15)) if not (s.race or s.shorts)]
    rest = settled_states(network, [frozenset()])[0]
    for settled in states:
        found, solved = yardstick.settle(settled.state, rest.energised)
        assert found == set(settled.energised)
        assert solved > 0
