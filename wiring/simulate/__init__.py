"""Settle circuits and say what moves: states, events, faults, stops, meter readings.

Owns everything that is computed from a `Circuit` by its electrical behaviour.
Must not judge (that is `check`), must not read files, must not know a catalog
entry beyond the circuit built from it. The fault analysis is loaded when asked for.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from wiring.simulate.behaviour import behaviour, in_two_steps
from wiring.simulate.entry_lint import lint
from wiring.simulate.events import events
from wiring.simulate.network import Network
from wiring.simulate.readings import core_readings, expected_ohms
from wiring.simulate.selftest import self_test
from wiring.simulate.settle import futures, settle
from wiring.simulate.states import feasible, truth
from wiring.simulate.view import StateWordError, state_view

if TYPE_CHECKING:
    from wiring.simulate.bench import Bench

__all__ = [
    "Bench",
    "Network",
    "StateWordError",
    "behaviour",
    "core_readings",
    "events",
    "expected_ohms",
    "feasible",
    "futures",
    "in_two_steps",
    "lint",
    "self_test",
    "settle",
    "state_view",
    "truth",
]


def __getattr__(name: str) -> object:
    if name == "Bench":
        from wiring.simulate.bench import Bench

        return Bench
    raise AttributeError(f"module {__name__} has no attribute {name}")
