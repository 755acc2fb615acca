"""The bench: a circuit played step by step."""

from __future__ import annotations

import pytest

from tests.simulate.truthjobs import circuits, two_channel
from wiring.circuit import build_type
from wiring.files import load_catalog
from wiring.simulate.bench import Bench

CATALOG = load_catalog()


def bench(type_id: str) -> Bench:
    return Bench(build_type(CATALOG.hoists[type_id]))


def test_press_moves_and_release_ends_it() -> None:
    """A pressed button moves the hoist, letting go of everything stops it."""
    play = bench("reversing-contactors-24")
    assert play.press("button:up").motions == ("hoist up",)
    assert play.release().motions == ()


def test_a_weld_outlasts_the_release_and_the_isolator_ends_it() -> None:
    """A contactor that welds while lifting lifts on through release and stop; the isolator ends it."""
    play = bench("reversing-contactors-24")
    play.press("button:up")
    play.fault("hoist:K1 stuck-in")
    assert play.release().motions == ("hoist up",)
    assert play.operate("stop:ES").motions == ("hoist up",)
    assert play.operate("stop:Q1").motions == ()


def test_undo_takes_the_last_step_back() -> None:
    """Undo returns the moment before, state and faults included, and stays at the first moment."""
    play = bench("reversing-contactors-24")
    play.press("button:up")
    play.fault("hoist:W35 open")
    assert play.undo().motions == ("hoist up",)
    assert play.faults == ()
    assert play.undo().motions == ()
    assert play.undo().motions == ()
    assert len(play.steps) == 1


def test_second_step_holds_the_first() -> None:
    """Pressing the second step presses the first; letting the first go lets both go."""
    play = bench("two-speed-crane-115")
    play.arm()
    assert play.press("button:up.2").motions == ("hoist up fast",)
    assert play.release("button:up").motions == ()
    assert play.state == frozenset()


def test_dip_drops_the_main_contactor() -> None:
    """After a dip of the mains with a key held nothing moves until START is given again."""
    play = bench("two-speed-crane-115")
    play.arm()
    assert play.press("button:left").motions == ("trolley left",)
    assert play.dip().motions == ()
    play.arm()
    assert play.press("button:left").motions == ("trolley left",)


def test_exclusive_buttons_replace_each_other() -> None:
    """Of a rocker's two sides pressing one brings the other up."""
    circuit = build_type(CATALOG.hoists["reversing-contactors-24"])
    object.__setattr__(circuit, "exclusive", (("button:up", "button:down"),))
    play = Bench(circuit)
    play.press("button:up")
    play.press("button:down")
    assert play.state == frozenset({"button:down"})
    assert play.now.motions == ("hoist down",)


def test_unknown_names_change_nothing() -> None:
    """A name the circuit does not have is refused and the moment stays."""
    play = bench("reversing-contactors-24")
    with pytest.raises(KeyError, match="no input button:sideways"):
        play.press("button:sideways")
    with pytest.raises(ValueError, match="no such fault"):
        play.fault("hoist:K9 stuck-in")
    assert len(play.steps) == 1


def test_repair_takes_faults_away() -> None:
    """A repaired wire carries again."""
    play = bench("reversing-contactors-24")
    play.fault("core:up open")
    assert play.press("button:up").motions == ()
    assert play.repair().motions == ("hoist up",)


def test_jump_starts_anew() -> None:
    """Jumping to a state goes through rest and START, with the faults there from the start."""
    play = bench("two-speed-crane-115")
    assert play.jump({"button:up"}).motions == ("hoist up slow",)
    assert play.jump({"button:up"}, ("core:up open",)).motions == ()


def test_a_channel_that_freezes_keeps_what_it_had() -> None:
    """Logic that freezes with up held lifts on after release and link loss; frozen at rest it stays still."""
    after = circuits(two_channel("momentary"))[1]
    play = Bench(after)
    play.press("key:up")
    play.fault("receiver:board frozen")
    assert play.release().motions == ("hoist up",)
    assert play.cut("link").motions == ("hoist up",)
    assert play.operate("stop:S1").motions == ()
    still = Bench(after)
    still.fault("receiver:board frozen")
    assert still.press("key:up").motions == ()
