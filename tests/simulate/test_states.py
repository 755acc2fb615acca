"""Input vectors, truth tables, merged rows, differences between pendant and receiver."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest

from tests.simulate.circuits import capacitor_hoist, contactor_hoist, receiver_hoist
from wiring.model.circuit import Input
from wiring.simulate import Network, feasible, settle, truth
from wiring.simulate import states as room
from wiring.simulate.states import counterparts, differences, merged, races, space_of


def test_second_step_needs_its_first_and_exclusive_buttons_are_pressed_alone() -> None:
    """Feasible vectors: three positions of a two-step button, never both of an exclusive pair."""
    made = contactor_hoist(exclusive=(("button:up", "button:down"),))
    more = (*made.inputs, Input("button:up.2", "button", "button:up"))
    network = Network(replace(made, inputs=more))
    states = list(feasible(network))
    assert states[0] == frozenset()
    assert all("button:up" in s for s in states if "button:up.2" in s)
    assert not any({"button:up", "button:down"} <= s for s in states)
    assert len(states) == len(set(states)) == space_of(network).count() == 4 * 2**4


def test_count_is_the_length_of_the_list() -> None:
    """Counting without listing gives the same number."""
    for made in (capacitor_hoist(), contactor_hoist(), receiver_hoist()):
        space = space_of(Network(made))
        assert space.count() == len(space.vectors()) == 2 ** len(made.inputs)


def test_truth_lists_every_state_once() -> None:
    """A small circuit's table has every vector, each with what a settling by itself gives."""
    network = Network(contactor_hoist())
    table = truth(network)
    assert table.complete
    assert table.vectors == len(table.rows) == 64
    for row in table.rows:
        state = frozenset((*row.pressed, *row.open))
        assert settle(network, state).motions == row.motions
    moving = [row for row in table.rows if row.motions == ("hoist up",)]
    assert all("button:up" in row.pressed and "limit:up" not in row.open for row in moving)


def test_merged_rows_say_the_same_as_all_rows(monkeypatch: pytest.MonkeyPatch) -> None:
    """Above the limit rows with one result are merged, and unfolded they are the full table."""
    full = {(*row.pressed, *row.open): row.motions for row in truth(Network(contactor_hoist())).rows}
    monkeypatch.setattr(room, "LISTED", 10)
    table = truth(Network(contactor_hoist()))
    assert len(table.rows) < 40
    unfolded = {}
    for row in table.rows:
        for chosen in product((False, True), repeat=len(row.any)):
            extra = [name for name, on in zip(row.any, chosen, strict=True) if on]
            unfolded[frozenset((*row.pressed, *row.open, *extra))] = row.motions
    assert unfolded == {frozenset(state): motions for state, motions in full.items()}


def test_merging_covers_each_vector_once() -> None:
    """Splitting input by input loses no vector and mixes no results."""
    space = space_of(Network(contactor_hoist()))
    results = {v: v.bit_count() % 3 for v in space.vectors()}
    seen: dict[int, int] = {}
    for vector, free, result in merged(space, results):
        part = free
        while True:
            assert vector | part not in seen
            seen[vector | part] = result
            if not part:
                break
            part = (part - 1) & free
    assert seen == results


def test_a_sample_says_that_it_is_one(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where neither all vectors nor the lanes engine are at hand the table is marked incomplete."""
    monkeypatch.setattr(room, "FULL", 10)
    monkeypatch.setattr(room, "large_engine", lambda: None)
    table = truth(Network(contactor_hoist()))
    assert not table.complete
    assert table.vectors == 64


def test_a_faithful_conversion_has_no_differences() -> None:
    """Each key does what its button did, limits and overload included."""
    assert differences(Network(contactor_hoist()), Network(receiver_hoist())) == ()


def test_swapped_outputs_are_worse_in_both_directions() -> None:
    """With the outputs swapped every press moves the wrong way."""
    made = receiver_hoist()
    up, down = made.outputs
    swapped = replace(made, outputs=(replace(up, key="key:down"), replace(down, key="key:up")))
    found = differences(Network(contactor_hoist()), Network(swapped))
    alone = {d.pressed: d for d in found if not d.open and len(d.pressed) == 1}
    assert alone[("key:up",)].before == ("hoist up",)
    assert alone[("key:up",)].after == ("hoist down",)
    assert {d.judgement for d in alone.values()} == {"worse"}


def test_keys_stand_for_buttons() -> None:
    """Corresponding inputs: key to button, limit to limit; link and supply to none."""
    before, after = Network(contactor_hoist()), Network(receiver_hoist())
    table = counterparts(before, after)
    assert table[after.input_bit["key:up"]] == before.input_bit["button:up"]
    assert table[after.input_bit["limit:up"]] == before.input_bit["limit:up"]
    assert after.input_bit["link"] not in table


def test_races_are_listed_with_their_outcomes() -> None:
    """Both buttons together: the table of races names both ends."""
    found = {race.pressed: race for race in races(Network(contactor_hoist())) if not race.open}
    assert set(found) == {("button:up", "button:down")}
    assert set(found["button:up", "button:down"].outcomes) == {("hoist up",), ("hoist down",)}


def test_an_exclusive_rocker_is_no_race() -> None:
    """Buttons that cannot be pressed together cannot race."""
    made = contactor_hoist(exclusive=(("button:up", "button:down"),))
    assert races(Network(made)) == ()
