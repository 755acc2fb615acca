"""What is tried in part only says so, and what fits is tried whole."""

from __future__ import annotations

import random
from importlib import import_module

import pytest

from tests.simulate.circuits import circuit, coil, contactor_hoist, part, receiver_hoist
from tests.simulate.truthjobs import circuits, crane_conversion
from wiring.simulate import Network, behaviour
from wiring.simulate.fault_run import Inspector, notes
from wiring.simulate.faults_runs import base_states, every_state
from wiring.simulate.lanes_region import flood, neighbours, region
from wiring.simulate.settle import engine, futures
from wiring.simulate.states import differences, every_difference, space_of


def three_ways(idle: int) -> Network:
    """Three contactors that lock each other out on one button, and some that do nothing."""
    parts = [part("V1", "source", "L PE", voltage=24, frequency=50), part("S", "contact", "L s", "button:s")]
    for own, one, other in (("A", "B", "C"), ("B", "A", "C"), ("C", "A", "B")):
        parts += [
            part(f"{own}.1", "contact", f"s {own}1", f"coil:{one}", "NC"),
            part(f"{own}.2", "contact", f"{own}1 {own}2", f"coil:{other}", "NC"),
            coil(own, f"{own}2 PE"),
        ]
    parts += [coil(f"N{i}", f"n{i} PE") for i in range(idle)]
    return Network(circuit(parts, "button:s"))


def test_every_order_is_explored_with_many_coils_too() -> None:
    """Of three contactors that lock each other out any may win, also the one neither first nor last."""
    network = three_ways(6)
    ends = {one.energised for one in futures(network, frozenset(("button:s",)))}
    assert ends == {("A",), ("B",), ("C",)}
    assert engine(network).cut_short == 0


def test_orders_that_were_left_out_are_counted(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the exploration is cut short two opposite orders are followed, and the behaviour says so."""
    monkeypatch.setattr(import_module("wiring.simulate.settle"), "EXPLORE", 1)
    network = three_ways(0)
    ends = {one.energised for one in futures(network, frozenset(("button:s",)))}
    assert ends == {("A",), ("C",)}
    assert engine(network).cut_short == 1
    shown = behaviour(network, network)
    assert any("not every order of coil changes" in line for line in shown.not_shown)


def test_a_small_hoist_is_tried_in_every_state_of_its_keys() -> None:
    """Both keys and neither, each with no or one limit open: all are base states, and the notes say all."""
    network = Network(contactor_hoist())
    states = base_states(network)
    met = [i.name for i in network.inputs if i.kind in ("limit", "thermal")]
    assert every_state(network)
    assert len(states) == len(set(states)) == 4 * (1 + len(met))
    assert f"all {len(states)} states" in notes(Inspector(network, ()), "two keys")[0]


def test_a_crane_is_tried_in_a_choice_of_states() -> None:
    """With many keys at most two are held, and the notes name the number of states and the cap."""
    before, _ = circuits(crane_conversion())
    network = Network(before)
    inspector = Inspector(network, ())
    assert not every_state(network)
    said = notes(inspector, "two keys")[0]
    assert f"a choice of {len(inspector.plane.states)} states: at most two keys" in said


def test_a_large_circuit_is_compared_whole_and_the_rest_is_named() -> None:
    """The crane's 73 728 states are compared one and all; events, races and sneak paths say of how many."""
    before, after = circuits(crane_conversion())
    old, new = Network(before), Network(after)
    assert every_difference(new) and differences(old, new) == ()
    shown = behaviour(old, new)
    said = " ".join(shown.not_shown)
    count, few = space_of(new).count(), space_of(new).few
    assert f"as converted: events ran from {len(few(total=2))} of {count} states" in said
    assert f"as converted: races and sneak paths were looked for in {len(few())} of {count} states" in said
    assert "differences outside" not in said


def test_a_comparison_by_sample_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the states are too many to compare all, the number that were is named."""
    states = import_module("wiring.simulate.states")
    monkeypatch.setattr(states, "FULL", 16)
    monkeypatch.setattr(states, "COMPARED", 32)
    new = Network(receiver_hoist())
    shown = behaviour(Network(contactor_hoist()), new)
    space = space_of(new)
    assert f"differences outside {len(space.few())} of {space.count()} states" in shown.not_shown


@pytest.mark.parametrize("seed", range(30))
def test_spreading_outwards_is_reaching(seed: int) -> None:
    """On random graphs with rings and parallel edges a flood finds what a search in each lane finds."""
    rng = random.Random(seed)
    nodes, lanes = 9, 16
    edges = [(i, *rng.sample(range(nodes), 2)) for i in range(rng.randrange(3, 16))]
    cond = [rng.getrandbits(lanes) | rng.getrandbits(lanes) for _ in edges]
    part_of = region(0, neighbours(edges), set())
    start = rng.getrandbits(lanes)
    reach = flood(part_of, cond, 0, start, nodes)
    for lane in range(lanes):
        seen = {0} if start >> lane & 1 else set()
        for _ in range(nodes):
            for i, u, v in edges:
                if cond[i] >> lane & 1 and (u in seen or v in seen):
                    seen |= {u, v}
        assert {n for n in range(nodes) if reach[n] >> lane & 1} == seen
