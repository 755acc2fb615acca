"""Settle circuits and say what moves: states, events, faults, stops, meter readings.

Owns everything that is computed from a `Circuit` by its electrical behaviour.
Must not judge (that is `check`), must not read files, must not know a catalog
entry beyond the circuit built from it. Loaded name by name: a reading needs no
fault analysis.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from wiring.simulate.behaviour import behaviour as behaviour
    from wiring.simulate.bench import Bench as Bench
    from wiring.simulate.events import events as events
    from wiring.simulate.lint import lint as lint
    from wiring.simulate.network import Network as Network
    from wiring.simulate.readings import core_readings as core_readings
    from wiring.simulate.readings import expected_ohms as expected_ohms
    from wiring.simulate.selftest import self_test as self_test
    from wiring.simulate.settle import futures as futures
    from wiring.simulate.settle import settle as settle
    from wiring.simulate.states import feasible as feasible
    from wiring.simulate.states import truth as truth
    from wiring.simulate.view import state_view as state_view

HOME = {
    "Bench": "bench",
    "Network": "network",
    "behaviour": "behaviour",
    "core_readings": "readings",
    "events": "events",
    "expected_ohms": "readings",
    "feasible": "states",
    "futures": "settle",
    "lint": "lint",
    "self_test": "selftest",
    "settle": "settle",
    "state_view": "view",
    "truth": "states",
}

__all__ = sorted(HOME)


def __getattr__(name: str) -> object:
    if name not in HOME:
        raise AttributeError(f"module {__name__} has no attribute {name}")
    return getattr(import_module(f"{__name__}.{HOME[name]}"), name)
