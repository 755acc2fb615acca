"""Corners in which two readings of one formula part company."""

from __future__ import annotations

import math

import pytest

from tests.calc.tables import table
from wiring.calc import capacitance, lookup, markings, motor, transformer


def test_one_bad_mark_is_enough() -> None:
    """One mark that is not two digits is enough to refuse, wherever it stands among good ones."""
    for wrong in ("1A-12", "11-1B", "11-2", "11-12-1A", "11-12-4"):
        with pytest.raises(ValueError, match="no marks"):
            markings.contact_function(wrong)


def test_exact_resonance_has_no_bound() -> None:
    """Where line capacitance and a lossless coil cancel exactly the voltage has no bound."""
    for frequency in (50.0, 60.0):
        tuned = 1.0 / (2.0 * math.pi * frequency)  # one ohm against one ohm
        assert capacitance.residual_share(1.0, 1.0, frequency, tuned) == math.inf


def test_tolerance_is_of_the_larger_figure() -> None:
    """Two outputs are the same within a share of the larger, from whichever side they are compared."""
    powers = table("nec-430-248")
    power = 0.75 * motor.HORSEPOWER_W
    assert lookup.same_row(powers, "power", power / 0.9001, 0.1) == "3/4"
    assert lookup.same_row(powers, "power", power / 0.8999, 0.1) is None


def test_winding_between_resistance_and_reactance() -> None:
    """A winding of 6 parts resistance and 8 parts reactance sags by both parts of its impedance."""
    load, inner = complex(1.0, 0.0), 0.1 * complex(0.6, 0.8)
    assert transformer.sag(100, 0.1, 100, 1.0, 0.6) == pytest.approx(abs(load / (load + inner)), rel=1e-12)
