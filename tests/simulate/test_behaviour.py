"""The whole behaviour of a conversion in one value."""

from __future__ import annotations

import pytest

from tests.simulate.circuits import contactor_hoist, receiver_hoist
from wiring.simulate import Network, behaviour


def test_behaviour_of_a_faithful_conversion() -> None:
    """Truth of both sides, no difference, events of both, the first settled state is rest, faults not run."""
    shown = behaviour(contactor_hoist(), receiver_hoist())
    assert (shown.before.vectors, shown.after.vectors) == (64, 128)
    assert shown.differences == ()
    assert {event.about for event in shown.events} == {"before", "after"}
    assert shown.settled_before[0].state == shown.settled_after[0].state == frozenset()
    assert shown.faults is None
    assert any("fault" in text for text in shown.not_shown)
    assert shown.seconds > 0.0


def test_compiled_networks_are_taken_too() -> None:
    """A network that is compiled already gives the same events as its circuit."""
    one = behaviour(Network(contactor_hoist()), Network(receiver_hoist()))
    two = behaviour(contactor_hoist(), receiver_hoist())
    assert one.events == two.events


def test_unrecorded_modes_are_named() -> None:
    """An output whose mode is not recorded is simulated as momentary, and the document says so."""
    shown = behaviour(contactor_hoist(), receiver_hoist(mode=None))
    assert any("receiver:UP" in text and "not recorded" in text for text in shown.not_shown)


def test_an_unknown_word_for_faults_is_refused() -> None:
    """Faults are none, single or double."""
    with pytest.raises(ValueError, match="triple"):
        behaviour(contactor_hoist(), receiver_hoist(), faults="triple")
