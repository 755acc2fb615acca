"""Builds circuits: the type alone, the hoist as found, the hoist as converted; and compares them.

Owns every full name (`hoist:X1.3`, `K10.up:A1`) and nothing else: it reads no
file, solves nothing and judges nothing. All functions are pure.
"""

from wiring.circuit.compare import Change, changes
from wiring.circuit.convert import build_after
from wiring.circuit.found import build_before, build_type
from wiring.circuit.names import device_name, hoist_name, owner_of, pendant_name, receiver_name

__all__ = [
    "Change",
    "build_after",
    "build_before",
    "build_type",
    "changes",
    "device_name",
    "hoist_name",
    "owner_of",
    "pendant_name",
    "receiver_name",
]
