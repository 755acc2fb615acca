"""A state given as words: what is understood, what is refused, where it leads."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.simulate.circuits import contactor_hoist, receiver_hoist
from wiring.model.circuit import Input
from wiring.simulate import StateWordError, state_view
from wiring.simulate.view import parse_state


def test_words_of_a_state() -> None:
    """Keys are pressed, limits and losses opened, faults named; a second step brings its first."""
    made = contactor_hoist()
    made = replace(made, inputs=(*made.inputs, Input("button:up.2", "button", "button:up")))
    assert parse_state(made, "") == (frozenset(), ())
    assert parse_state(made, "press button:up.2, open limit:up ,fault K1 stuck") == (
        frozenset({"button:up", "button:up.2", "limit:up"}), ("K1 stuck-in",),
    )  # fmt: skip
    assert parse_state(made, "fault XB open, fault K1 stuck-in")[1] == ("XB open", "K1 stuck-in")


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("press limit:up", "allowed: open limit:up"),
        ("open button:up", "allowed: press button:up"),
        ("press button:upp", "nearest: press button:up"),
        ("hold button:up", "allowed: press KEY"),
        ("fault", "allowed: press KEY"),
        ("fault K1 stuck-inn", "nearest: K1 stuck-in"),
        ("fault K9 open", "no such fault here"),
    ],
)
def test_words_that_name_nothing_are_refused(text: str, told: str) -> None:
    """The wrong verb, an unknown input and an unknown fault are refused with the nearest that exists."""
    with pytest.raises(StateWordError, match=told):
        state_view(contactor_hoist(), text)


def test_where_a_state_leads() -> None:
    """A command moves, a limit ends it, a weld goes on; from rest with its faults in it."""
    moves = {
        "press button:up": ("hoist up",),
        "press button:up, open limit:up": (),
        "press button:down, open limit:up": ("hoist down",),
        "": (),
        "press button:up, fault XB open, fault F4 open": (),
    }
    assert {text: state_view(contactor_hoist(), text).motions for text in moves} == moves
    assert state_view(contactor_hoist(), "fault K1.1 stuck-closed").motions == ()


def test_a_receiver_that_asks_for_start_is_started() -> None:
    """Where an output closes only after START, it is given before the state; with a key held it is not."""
    made = receiver_hoist()
    asks = replace(
        made,
        inputs=(*made.inputs, Input("key:start", "key")),
        outputs=(made.outputs[0], replace(made.outputs[1], needs_start=True)),
    )
    assert state_view(asks, "press key:down").motions == ("hoist down",)
    assert state_view(asks, "press key:up").motions == ("hoist up",)
    assert state_view(asks, "press key:down, open link").motions == ()
