"""Thirty unknown cords asked to the end: the campaign in small."""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest

from tests.campaign.identify import run


@cache
def figures() -> dict[str, Any]:
    """The campaign's figures for 30 cords."""
    return run(30, 1)


def test_without_wrong_readings_every_cord_is_told() -> None:
    """Every type and role is found, by groups and by pairs, and never a wrong one."""
    found = figures()["without wrong readings"]
    assert found["sessions"] == 60 and found["unique"] >= 0.98 and found["right"] == 1.0


@pytest.mark.parametrize("kind", ["one wrong in each ten", "each wrong with 0.1"])
def test_wrong_readings_never_make_a_wrong_answer_certain(kind: str) -> None:
    """With one reading in ten wrong most cords are told with certainty, and none wrongly."""
    found = figures()[kind]
    assert found["wrong readings"] >= 30
    assert found["certain"] >= 0.85 and found["certain and wrong"] == 0


@pytest.mark.parametrize(("kind", "most"), [("group", 1.2), ("pair", 2.4)])
def test_few_readings_before_the_confirming_ones(kind: str, most: float) -> None:
    """Over all cords of four cores and more, the readings stay near the least that could do."""
    rows = {cores: row for cores, row in figures()[kind].items() if int(cores) >= 4}
    sessions = sum(row["sessions"] for row in rows.values())
    assert sum(row["of the bound"] * row["sessions"] for row in rows.values()) / sessions <= most


def test_few_confirming_readings_by_groups() -> None:
    """By tied groups, the confirming readings are no more than two and one for each four cores, on the
    average of cords of four cores and more, within half a reading."""
    rows = {cores: row for cores, row in figures()["group"].items() if int(cores) >= 4}
    sessions = sum(row["sessions"] for row in rows.values())
    taken = sum(row["confirming"] * row["sessions"] for row in rows.values())
    allowed = sum((2 + int(cores) / 4) * row["sessions"] for cores, row in rows.items())
    assert taken / sessions <= allowed / sessions + 0.5
