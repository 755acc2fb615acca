"""Receiver outputs as state machines: modes, link, supply, START, neutral check."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from tests.simulate.circuits import receiver_hoist, second_step
from wiring.model.behaviour import Settled
from wiring.model.circuit import Input
from wiring.simulate import Network, settle


class Hand:
    """A person with the transmitter: one step after the other."""

    def __init__(self, mode: str | None = "momentary", **output: Any) -> None:
        self.network = Network(receiver_hoist(mode, output))
        self.now: Settled = settle(self.network, frozenset())

    def does(self, *state: str) -> tuple[str, ...]:
        """Operate exactly these inputs; what moves then."""
        self.now = settle(self.network, frozenset(state), self.now.energised, self.now.memory)
        return self.now.motions


def test_momentary_follows_its_key() -> None:
    """A momentary output moves the hoist while its key is down, link and supply are there."""
    hand = Hand()
    assert hand.does("key:up") == ("hoist up",)
    assert hand.does() == ()
    assert hand.does("key:down") == ("hoist down",)
    assert hand.does("key:down", "link") == ()


def test_neutral_check_ignores_a_key_held_through_a_loss() -> None:
    """With keys checked at rest a key held while the link returns does nothing until pressed anew."""
    hand = Hand(neutral_check=True)
    hand.does("key:up")
    assert hand.does("key:up", "link") == ()
    assert hand.does("key:up") == ()
    assert hand.does() == ()
    assert hand.does("key:up") == ("hoist up",)


@pytest.mark.parametrize("checked", [False, None])
def test_without_neutral_check_a_held_key_starts_again(checked: bool | None) -> None:
    """Without the check, or where it is not known, a held key starts when link or supply returns."""
    for lost in ("link", "supply"):
        hand = Hand(neutral_check=checked)
        hand.does("key:up")
        assert hand.does("key:up", lost) == ()
        assert hand.does("key:up") == ("hoist up",)


def test_latching_runs_on_after_release_until_the_opposite_key() -> None:
    """A latching output keeps moving with no key down and ends at the opposite key."""
    hand = Hand("latching")
    hand.does("key:up")
    assert hand.does() == ("hoist up",)
    assert hand.does("key:down") == ("hoist down",)


def test_toggle_flips_at_each_press_and_keeps_running_on_link_loss() -> None:
    """A toggle output runs on after release and through a lost link, and ends at the second press."""
    hand = Hand("toggle", on_loss="stays")
    assert hand.does("key:up") == ("hoist up",)
    assert hand.does() == ("hoist up",)
    assert hand.does("link") == ("hoist up",)
    assert hand.does() == ("hoist up",)
    assert hand.does("key:up") == ()
    assert hand.does() == ()


def test_run_to_limit_ends_at_the_limit() -> None:
    """An output that runs to the limit stays on after release and lets go when the limit opens."""
    hand = Hand("run-to-limit")
    hand.does("key:up")
    assert hand.does() == ("hoist up",)
    assert hand.does("limit:up") == ()
    assert hand.does() == ()


def test_outputs_that_close_on_loss() -> None:
    """An output set to close on loss moves the hoist without any key: the loss itself starts it."""
    hand = Hand(on_loss="closes")
    assert hand.does("link") != ()


def test_restoring_outputs_start_by_themselves() -> None:
    """A receiver that restores its outputs moves again when its supply returns, with no key down."""
    hand = Hand(on_return="restores", neutral_check=False)
    hand.does("key:up")
    hand.does("key:up", "supply")
    hand.does("supply")
    assert hand.does() == ("hoist up",)


def test_supply_loss_clears_what_is_latched() -> None:
    """A latched output is off when the supply comes back, unless it restores."""
    hand = Hand("latching", on_return="off")
    hand.does("key:up")
    hand.does()
    assert hand.does("supply") == ()
    assert hand.does() == ()


def test_a_frozen_channel_holds_what_it_had() -> None:
    """A channel frozen while an output was on keeps it on after release; frozen at rest it never starts."""
    hand = Hand(on_loss="stays")
    hand.does("key:up")
    held = hand.network.faulted(("receiver:logic frozen",))
    assert settle(held, frozenset(), hand.now.energised, hand.now.memory).motions == ("hoist up",)
    rest = settle(hand.network, frozenset())
    assert settle(held, frozenset(("key:up",)), rest.energised, rest.memory).motions == ()


def test_start_arms_only_with_all_keys_released() -> None:
    """Outputs that need START stay open until START was pressed alone; a lost link takes it back."""
    made = receiver_hoist("momentary", {"needs_start": True, "neutral_check": False})
    made = replace(made, inputs=(*made.inputs, Input("key:start", "key")))
    hand = Hand()
    hand.network = Network(made)
    hand.now = settle(hand.network, frozenset())
    assert hand.does("key:up") == ()
    assert hand.does("key:up", "key:start") == ()
    hand.does()
    hand.does("key:start")
    assert hand.does() == ()
    assert hand.does("key:up") == ("hoist up",)
    assert hand.does("key:up", "link") == ()
    assert hand.does("key:up") == ()


@pytest.mark.parametrize("mode", ["momentary", "latching", "toggle"])
def test_a_second_step_that_replaces_the_first_opens_its_output(mode: str) -> None:
    """While the second step is pressed the key of the first does not count; let go of, it does again."""
    network = Network(second_step(mode))
    assert settle(network, frozenset(("key:up", "key:up.2"))).motions == ()
    assert settle(network, frozenset(("key:up",))).motions == ("hoist up",)
