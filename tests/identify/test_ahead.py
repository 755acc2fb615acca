"""The shortest run of confirming readings."""

from __future__ import annotations

import numpy as np

from wiring.identify.ahead import first_of, followed


def test_the_reading_that_begins_the_shorter_run_comes_first() -> None:
    """What gives most at once loses against the reading after which one more is enough."""
    told = np.array([[1, 1, 1, 1, 0, 0], [1, 1, 0, 0, 1, 0], [0, 0, 1, 1, 0, 1]], np.float64)
    lacking, trouble = np.ones(6), np.ones(3)
    assert followed(told, lacking, trouble, 99.0) == 3.0
    assert first_of(told, lacking, trouble) in (1, 2)


def test_nothing_to_give_is_no_reading() -> None:
    """Readings that tell no rival apart are not proposed."""
    assert first_of(np.zeros((2, 3)), np.ones(3), np.ones(2)) is None


def test_a_reading_may_be_taken_again() -> None:
    """Where one reading alone tells a rival apart, the run takes it as often as is lacking."""
    assert followed(np.ones((1, 1)), np.array([3.0]), np.ones(1), 99.0) == 3.0
