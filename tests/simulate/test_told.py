"""What the simulation shows of a few conversions does not move by itself."""

from __future__ import annotations

import pytest

from tests.simulate import told_tests
from tests.simulate.told import FOLDER, PAIRS, told


@pytest.mark.parametrize("name", PAIRS)
def test_simulation_shows_what_it_showed(name: str) -> None:
    """Events, faults and readings are those of the file, which `python -m tests.simulate.told` writes."""
    assert told(name) == (FOLDER / f"{name}.txt").read_text("utf-8")


@pytest.mark.parametrize("name", told_tests.NAMES)
def test_commissioning_says_what_it_said(name: str) -> None:
    """Tests, bands and answers are those of the file, which `python -m tests.simulate.told` writes."""
    assert told_tests.told(name) == (told_tests.FOLDER / f"{name}.txt").read_text("utf-8")


def test_no_file_is_left_over() -> None:
    """Every text belongs to a pair or to a job."""
    assert {file.stem for file in FOLDER.glob("*.txt")} == set(PAIRS)
    assert {file.stem for file in told_tests.FOLDER.glob("*.txt")} == set(told_tests.NAMES)
