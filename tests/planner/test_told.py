"""What is proposed for a few hoists does not move by itself."""

from __future__ import annotations

import pytest

from tests.planner.told import FOLDER, NAMES, told


@pytest.mark.parametrize("name", NAMES)
def test_the_planner_proposes_what_it_proposed(name: str) -> None:
    """Wants, ways, rows and reasons are those of the file, which `python -m tests.planner.told` writes."""
    assert told(name) == (FOLDER / f"{name}.txt").read_text("utf-8")


def test_no_text_is_left_over() -> None:
    """Every text belongs to a hoist and a receiver, or to a demo."""
    assert {file.stem for file in FOLDER.glob("*.txt")} == set(NAMES)
