"""Boundary and margin: the printed pair decides."""

from __future__ import annotations

import pytest

from tests.check.made import made
from wiring.check.rule import us
from wiring.check.verdict import holds, margin_of


@pytest.mark.parametrize(
    ("measured", "limit", "sense", "unit", "expected"),
    [
        (5.0, 5.0, "at-most", "A", True),
        (5.0001, 5.0, "at-most", "A", False),
        (0.1 + 0.2, 0.3, "at-most", "A", True),
        (20.4, 20.4, "at-least", "V", True),
        (20.39, 20.4, "at-least", "V", False),
        (4.994, 5.0, "at-most", "A", True),
        (float("nan"), 5.0, "at-most", "A", False),
        (1.5e-6, 1.5e-6, "at-least", "m2", True),
        (1.4e-6, 1.5e-6, "at-least", "m2", False),
    ],
)
def test_printed_pair_decides(measured: float, limit: float, sense: str, unit: str, expected: bool) -> None:
    """The measured value is rounded against the limit to the printed decimals; equal passes."""
    assert holds(measured, limit, sense, unit) is expected


def test_margin_is_the_share_of_the_limit() -> None:
    """Margin is room over limit, and none where the limit is 0 or no number."""
    assert margin_of(6.0, 5.0, "at-most") == pytest.approx(-0.2)
    assert margin_of(6.0, 5.0, "at-least") == pytest.approx(0.2)
    assert margin_of(6.0, 0.0, "at-most") is None
    assert margin_of(6.0, None, "at-most") is None
    assert margin_of(6.0, float("inf"), "at-most") is None


def test_rule_without_source_does_not_load() -> None:
    """A rule needs a source with words in it."""
    with pytest.raises(ValueError, match="source"):
        made(lambda case: (), wants="job", sources=())
    with pytest.raises(ValueError, match="source"):
        made(lambda case: (), wants="job", sources=(us(" "),))
