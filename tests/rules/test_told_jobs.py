"""What the rules say about whole jobs does not move by itself."""

from __future__ import annotations

import pytest

from tests.rules.told_jobs import FOLDER, JOBS, told


@pytest.mark.parametrize("name", JOBS)
def test_rules_say_what_they_said(name: str) -> None:
    """Every finding about a job is that of the file; `python -m tests.rules.told` writes it anew."""
    assert told(name) == (FOLDER / f"{name}.txt").read_text("utf-8")


def test_no_file_is_left_over() -> None:
    """Every text belongs to a job."""
    assert {file.stem for file in FOLDER.glob("*.txt")} == set(JOBS)
