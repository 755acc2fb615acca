"""holdrun: plan and verify the conversion of a hoist's pendant to a wireless receiver.

This module is the engine's door. Names are loaded when first used, so that
importing the package costs nothing.
"""

from __future__ import annotations

import importlib
from typing import Any

__version__ = "0.1.0"
__distribution__ = "holdrun"

_HOME = {
    "load_job": "wiring.files",
    "save_job": "wiring.files",
    "plan": "wiring.pipeline",
    "Plan": "wiring.model.plan",
    "Finding": "wiring.model.finding",
    "Verdict": "wiring.model.finding",
    "Problem": "wiring.model.finding",
    "Bench": "wiring.simulate",
    "identify": "wiring.identify",
    "propose": "wiring.pipeline",
    "fit": "wiring.pipeline",
    "remedy": "wiring.pipeline",
    "draw": "wiring.pipeline",
    "write_sheets": "wiring.pipeline",
    "compare": "wiring.pipeline",
}

__all__ = list(_HOME)


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module 'wiring' has no attribute {name!r}")
    return getattr(importlib.import_module(_HOME[name]), name)


def __dir__() -> list[str]:
    return sorted([*globals(), *_HOME])
