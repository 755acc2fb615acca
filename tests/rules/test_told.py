"""What the rules say about their cases, and about the base jobs, does not move by itself."""

from __future__ import annotations

import pytest

from tests.rules.told import FOLDER, prepared, told
from wiring.check import RULES


@pytest.mark.parametrize("rule", sorted(RULES))
def test_rule_says_what_it_said(rule: str) -> None:
    """Verdicts, figures and sentences are those of the file; `python -m tests.rules.told` writes it anew."""
    assert told(prepared(rule)) == (FOLDER / f"{rule}.txt").read_text("utf-8")


def test_no_file_is_left_over() -> None:
    """Every text belongs to a rule."""
    assert {file.stem for file in FOLDER.glob("*.txt")} == set(RULES)
