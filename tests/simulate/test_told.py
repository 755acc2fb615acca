"""What the simulation shows of a few conversions does not move by itself."""

from __future__ import annotations

import pytest

from tests.simulate.told import FOLDER, PAIRS, told


@pytest.mark.parametrize("name", PAIRS)
def test_simulation_shows_what_it_showed(name: str) -> None:
    """Events, faults and readings are those of the file, which `python -m tests.simulate.told` writes."""
    assert told(name) == (FOLDER / f"{name}.txt").read_text("utf-8")


def test_no_file_is_left_over() -> None:
    """Every text belongs to a pair."""
    assert {file.stem for file in FOLDER.glob("*.txt")} == set(PAIRS)
