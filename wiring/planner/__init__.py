"""Proposes: connections for a receiver, the receiver for a hoist, the change for a failure.

Owns the search over wirings and edits. Must not judge (the plan function it is
given does) and never offers what was not planned; a core whose role is not
known is never used, and no key and no motion is ever given up.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from wiring.planner.fit import fit_receivers as fit_receivers
    from wiring.planner.fit import why_not as why_not
    from wiring.planner.propose import edits_of as edits_of
    from wiring.planner.propose import propose_connections as propose_connections
    from wiring.planner.remedy import remedies as remedies
    from wiring.planner.specify import specification as specification

HOME = {
    "edits_of": "propose",
    "fit_receivers": "fit",
    "propose_connections": "propose",
    "remedies": "remedy",
    "specification": "specify",
    "why_not": "fit",
}

__all__ = sorted(HOME)


def __getattr__(name: str) -> object:
    if name not in HOME:
        raise AttributeError(f"module {__name__} has no attribute {name}")
    found: object = getattr(import_module(f"{__name__}.{HOME[name]}"), name)
    globals()[name] = found
    return found
