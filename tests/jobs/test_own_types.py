"""Three hoists known only from an owner's words: types beside the jobs work like built-in ones."""

from __future__ import annotations

from pathlib import Path

import pytest

from wiring.circuit import build_after, build_before
from wiring.files import load_catalog, load_job
from wiring.model.behaviour import Settled
from wiring.simulate.network import Network
from wiring.simulate.settle import settle

FOLDER = Path(__file__).parent / "own-types"
JOBS = ("pillar-crane", "curtain-winch", "two-motor-gantry")


class Converted:
    """A converted hoist after START: `press` settles it with keys and buttons held."""

    def __init__(self, name: str) -> None:
        path = FOLDER / f"{name}.toml"
        job, catalog = load_job(path), load_catalog(path)
        self.before, self.after = build_before(job, catalog), build_after(job, catalog)
        self.network = Network(self.after)
        start = settle(self.network, frozenset({"key:start"}))
        self.rest = settle(self.network, frozenset(), start.energised, start.memory)

    def press(self, *operated: str) -> Settled:
        return settle(self.network, frozenset(operated), self.rest.energised, self.rest.memory)


@pytest.fixture(scope="module", params=JOBS)
def converted(request: pytest.FixtureRequest) -> Converted:
    """Each of the three jobs."""
    return Converted(request.param)


def test_each_key_moves_what_its_button_moved(converted: Converted) -> None:
    """Every motion key of the transmitter makes the motion of the button it replaces, and rest makes none."""
    pedal = ("button:foot",) if any(i.name == "button:foot" for i in converted.after.inputs) else ()
    assert converted.rest.motions == ()
    assert converted.after.expected
    for key, motion in converted.after.expected.items():
        assert converted.before.expected[key.replace("key:", "button:")] == motion
        assert converted.press(key, *pedal).motions == motion


def test_nothing_moves_without_link_or_supply(converted: Converted) -> None:
    """With the link or the receiver's supply lost no key moves anything."""
    pedal = ("button:foot",) if any(i.name == "button:foot" for i in converted.after.inputs) else ()
    for key in converted.after.expected:
        assert converted.press(key, "link", *pedal).motions == ()
        assert converted.press(key, "supply", *pedal).motions == ()
        assert converted.press(key, "key:stop", *pedal).motions == ()


def test_the_pedal_stays_in_the_path() -> None:
    """The converted pillar crane moves only while the pedal is held down, and stops at the mushroom."""
    crane = Converted("pillar-crane")
    assert crane.press("key:up").motions == ()
    assert crane.press("key:up", "button:foot").motions == ("hoist up",)
    assert crane.press("key:up", "button:foot", "stop:S0").motions == ()
    assert crane.press("key:down", "button:foot", "limit:top").motions == ()


def test_the_slack_rope_feeler_still_works_one_way() -> None:
    """The converted curtain winch lets out no more rope when it is slack, and still winds in."""
    winch = Converted("curtain-winch")
    assert winch.press("key:out", "limit:slack").motions == ()
    assert winch.press("key:in", "limit:slack").motions == ("winch in",)


def test_both_motors_of_the_gantry_run_together() -> None:
    """The converted gantry hoists and travels at once, and its limits end one motion each."""
    gantry = Converted("two-motor-gantry")
    assert gantry.press("key:up", "key:left").motions == ("hoist up", "trolley left")
    assert gantry.press("key:up", "key:left", "limit:left").motions == ("hoist up",)
    assert gantry.press("key:up", "key:left", "limit:up").motions == ("trolley left",)
