"""The proof as text: every line says which state and which input it is about."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.sheets.conftest import planned
from wiring.model.behaviour import Race
from wiring.sheets.proof_text import event_lines, race_lines, truth_lines


@pytest.mark.parametrize("name", ["malt-first-try", "malt-second-plan"])
def test_no_two_lines_of_the_events_say_the_same(name: str) -> None:
    """An event names the stop, thermal device or supply that came back, and what is open meanwhile."""
    shown = planned(name).behaviour
    assert shown is not None
    lines = event_lines(shown)
    assert len(lines) == len(set(lines)) > 20
    assert "  fail: stop reset held (stop:ES), button:up: hoist up starts by itself" in lines
    assert any("(thermal:TP), button:down, open limit:up: hoist down" in line for line in lines)


def test_inputs_that_do_not_matter_are_named_as_such() -> None:
    """A merged row of the truth table says which inputs may be either way."""
    shown = planned("malt-second-plan").behaviour
    assert shown is not None
    assert "  key:down (limit:up either way) -> hoist down" in truth_lines(shown.after, "As converted")


def test_a_race_tells_its_outcomes_once() -> None:
    """Races of one state and outcome are one line with what may move."""
    shown = planned("malt-second-plan").behaviour
    assert shown is not None
    race = Race("after", ("key:up", "key:down"), ("limit:up",), (("hoist down",), ()))
    assert race_lines(replace(shown, races=(race, race))) == [
        "Race as converted: key:up, key:down, open limit:up: the order of the coils\n"
        "  decides: hoist down or still"
    ]
