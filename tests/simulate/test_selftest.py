"""Every hoist type proves its own expected rows; a wrong row is noticed."""

from __future__ import annotations

from dataclasses import replace

import pytest

from wiring.files import load_catalog
from wiring.model.entry import Expected
from wiring.simulate import self_test

CATALOG = load_catalog()


@pytest.mark.parametrize("name", sorted(CATALOG.hoists))
def test_type_does_what_its_rows_say(name: str) -> None:
    """The circuit of a built-in hoist type does what its expected rows say."""
    hoist = CATALOG.hoists[name]
    assert hoist.expected
    assert self_test(hoist) == []


@pytest.mark.parametrize(
    ("row", "words"),
    [
        (Expected(("up",), (), ("hoist down",)), "expected hoist down, found hoist up"),
        (Expected(("up",), (), ("hoist up",), ("K2",)), "expected coils K2, found K1"),
        (Expected(("up",), ("limit:side",), ()), "no such input: limit:side"),
        (Expected(("up",), (), ("hoist up",), result="short"), "expected a source short"),
        (Expected(("up",), (), (), result="stall"), "expected a motor that stalls"),
    ],
)
def test_a_wrong_row_is_told(row: Expected, words: str) -> None:
    """A row that does not come out is told with what was expected and what was found."""
    hoist = replace(CATALOG.hoists["reversing-contactors-24"], expected=(row,))
    (failure,) = self_test(hoist)
    assert words in failure
