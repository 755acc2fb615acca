"""Settle circuits and say what moves: states, events, faults, stops, meter readings.

Owns everything that is computed from a `Circuit` by its electrical behaviour.
Must not judge (that is `check`), must not read files, must not know a catalog
entry beyond the circuit built from it.
"""

from wiring.simulate.network import Network
from wiring.simulate.settle import futures, settle

__all__ = ["Network", "futures", "settle"]
