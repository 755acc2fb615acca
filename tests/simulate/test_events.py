"""Events: what goes on, starts or ends when something is let go, lost, pressed, reached or comes back."""

from __future__ import annotations

from typing import Any

import pytest

from tests.simulate.circuits import capacitor_hoist, contactor_hoist, receiver_hoist
from wiring.model.behaviour import Event
from wiring.model.circuit import Circuit, Limit, Stop
from wiring.simulate import Network, events

LIMITS = (Limit("limit:up", "first", "hoist up"), Limit("limit:down", "first", "hoist down"))
STOPS = (Stop("stop:ES", "pendant stop", 3, ("ES",)),)


def run(made: Circuit, name: str, *pressed: str, subject: str = "") -> list[Event]:
    """Events of one name from the state with exactly these inputs pressed and nothing open."""
    return [
        e
        for e in events(Network(made))
        if e.event == name and set(e.pressed) == set(pressed) and not e.open and subject in e.subject
    ]


def pendant(**more: Any) -> Circuit:
    """The contactor hoist with limits and stop named."""
    return contactor_hoist(limits=LIMITS, stops=STOPS, **more)


@pytest.mark.parametrize("name", ["release", "stop pressed", "thermal trip", "limit reached"])
def test_a_sound_pendant_ends_its_motion(name: str) -> None:
    """Release, stop, overload and limit each end the motion of a healthy contactor hoist."""
    found = run(pendant(), name, "button:up")
    assert found
    assert {e.verdict for e in found} == {"pass"}
    assert all(not e.motions for e in found)


@pytest.mark.parametrize(("name", "subject"), [("stop reset held", "stop:ES"), ("supply back held", "mains")])
def test_a_pendant_without_main_contactor_starts_again(name: str, subject: str) -> None:
    """With the button held, a reset stop or a returning supply starts the hoist: it fails, as found."""
    (event,) = run(pendant(), name, "button:up", subject=subject)
    assert (event.verdict, event.motions, event.about) == ("fail", ("hoist up",), "before")
    assert "hoist up" in event.why


def test_reset_by_hand_is_not_a_start_by_itself() -> None:
    """A thermal device that resets by itself restarts a held hoist; one reset by hand does not."""
    (automatic,) = run(pendant(auto_reset=("thermal:OL",)), "thermal reset held", "button:up")
    (manual,) = run(pendant(), "thermal reset held", "button:up")
    assert (automatic.verdict, manual.verdict) == ("fail", "pass")
    assert automatic.motions == manual.motions == ("hoist up",)


def test_at_the_limit_only_the_way_back_is_open() -> None:
    """At its limit the same key does nothing and the opposite key moves away from it."""
    (same,) = run(pendant(), "limit same key again", "button:up")
    (other,) = run(pendant(), "limit opposite key", "button:up")
    assert (same.verdict, same.motions) == ("pass", ())
    assert (other.verdict, other.motions) == ("pass", ("hoist down",))


def test_a_limit_in_one_winding_only_is_not_an_end() -> None:
    """A limit behind which the motor keeps current without torque fails: it may turn on."""
    made = capacitor_hoist(limits=LIMITS)
    parts = [p for p in made.parts if p.name != "LSU"]
    lsu = next(p for p in made.parts if p.name == "LSU")
    from dataclasses import replace

    # the limit opens the capacitor's lead to winding B instead of the line
    parts = [replace(p, pins=("A", "C")) if p.name == "C1" else p for p in parts]
    parts += [
        replace(lsu, pins=("C", "B")),
        replace(lsu, name="LINK", kind="wire", pins=("UPH", "A"), by="", form=""),
    ]
    found = run(replace(made, parts=tuple(parts)), "limit reached", "button:up")
    assert [e.verdict for e in found] == ["fail"]
    assert "without torque" in found[0].why


@pytest.mark.parametrize(
    "name", ["release", "link lost", "supply lost", "link back held", "supply back held"]
)
def test_a_sound_receiver_ends_and_does_not_restart(name: str) -> None:
    """With keys checked at rest nothing moves after release, loss or return."""
    found = run(receiver_hoist(), name, "key:up")
    assert found
    assert {e.verdict for e in found} == {"pass"}


@pytest.mark.parametrize(("checked", "verdict"), [(False, "fail"), (None, "unknown"), (True, "pass")])
def test_a_key_held_through_a_loss_hangs_on_the_neutral_check(checked: bool | None, verdict: str) -> None:
    """Known not to check: fail; not recorded: unknown; checked: pass. Motion is shown in the first two."""
    made = receiver_hoist(output={"neutral_check": checked})
    for name in ("link back held", "link back held twice", "supply back held after a dip"):
        (event,) = run(made, name, "key:up")
        assert event.verdict == verdict
        assert bool(event.motions) == (verdict != "pass")


def test_toggle_fails_release_and_loss() -> None:
    """A toggle output that stays on a lost link keeps moving after release and after the loss."""
    made = receiver_hoist("toggle", {"on_loss": "stays"})
    for name in ("release", "link lost"):
        (event,) = run(made, name, "key:up")
        assert (event.verdict, event.motions) == ("fail", ("hoist up",))


def test_both_keys_are_held_apart_by_the_interlock() -> None:
    """A second, opposite key does not move the other way while the interlock holds."""
    (event,) = run(receiver_hoist(), "second key", "key:up")
    assert (event.verdict, event.motions) == ("pass", ("hoist up",))


def test_reversing_a_capacitor_motor_discharges_its_capacitor() -> None:
    """Both buttons of a directly switched capacitor motor short its charged capacitor."""
    (event,) = run(capacitor_hoist(), "second key", "button:up")
    assert event.verdict == "fail"
    assert "C1" in event.why


def test_a_welded_contactor_fails_every_stop() -> None:
    """With the up contactor welded, release, stop and limit all fail and say what goes on."""
    network = Network(pendant(), ("K1 stuck-in",))
    bad = {e.event for e in events(network) if e.verdict == "fail" and set(e.pressed) == {"button:up"}}
    assert {"release", "stop pressed", "limit reached", "thermal trip"} <= bad


def test_an_event_says_where_it_started() -> None:
    """An event carries the motions before it, the input that changed, and the state."""
    (event,) = run(receiver_hoist(), "link lost", "key:up")
    assert event.motions_before == ("hoist up",)
    assert event.subject == "link"
    assert event.about == "after"
