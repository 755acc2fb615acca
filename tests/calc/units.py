"""Unit words of the case files and their SI factors."""

from __future__ import annotations

from wiring.calc.conductor import CIRCULAR_MIL_M2

FT = 0.3048
KFT = 304.8

FACTORS: dict[str, float] = {
    "mm": 1e-3,
    "mm2": 1e-6,
    "cmil": CIRCULAR_MIL_M2,
    "ohm": 1.0,
    "ohm/kft": 1 / KFT,
    "ohm/km": 1e-3,
    "ratio": 1.0,
    "factor": 1.0,
    "1/C": 1.0,
    "V": 1.0,
    "A": 1.0,
    "VA": 1.0,
    "m": 1.0,
    "ft": FT,
    "s": 1.0,
    "ms": 1e-3,
    "percent": 0.01,
    "uF": 1e-6,
}
