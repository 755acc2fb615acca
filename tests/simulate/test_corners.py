"""Corners of the simulation's own tools: floors and scores, words, orders, what is refused."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.simulate.circuits import (
    MOTOR3,
    circuit,
    coil,
    contactor_hoist,
    part,
    receiver_hoist,
    winch,
)
from wiring.model.circuit import Circuit, Input, Stop
from wiring.simulate import Bench, Network, feasible, settle
from wiring.simulate.diagnosis import Diagnostician, apart, words
from wiring.simulate.events import events
from wiring.simulate.fault_run import alone, result, single_faults
from wiring.simulate.faults import COMMAND, CONDUCTOR, POWER, FaultSet, bond_first
from wiring.simulate.faults_sights import NO_STOP, SHORT, STOP_DEFEATED, UNCOMMANDED, Seen
from wiring.simulate.readings import shown
from wiring.simulate.score import BETTER, SAME, WORSE, below_floor, compared, floor, pendant
from wiring.simulate.sneak import partial
from wiring.simulate.states import space_of
from wiring.simulate.story import story


def seen(score: int | None, hazard: str = NO_STOP, motion: str = "hoist up", subject: str = "") -> Seen:
    return Seen(hazard, motion, frozenset(), "released", score, (), subject)


def one(name: str, *found: Seen, kind: str = POWER) -> tuple[FaultSet, tuple[Seen, ...]]:
    return FaultSet((name,), kind), found


# -- scores and floors ---------------------------------------------------------------------------


def test_the_floor_is_met_by_its_own_rank() -> None:
    """A stop near the hook is enough for what lifts and one anywhere for the rest, less is not."""
    lifting, pulling = contactor_hoist(), winch()
    assert (floor(lifting, "hoist down"), floor(pulling, "winch in"), floor(lifting, "")) == (2, 1, 1)
    assert not below_floor(lifting, (seen(2),)) and below_floor(lifting, (seen(1),))
    assert not below_floor(pulling, (seen(1, motion="winch in"),))
    assert below_floor(pulling, (seen(0, motion="winch in"),))
    assert not below_floor(lifting, (seen(None, SHORT, ""),)) and not below_floor(lifting, ())


def test_the_only_stop_of_a_winch_may_fail_while_the_key_ends_it() -> None:
    """A failed stop of a winch is below the floor only where letting go does not end it either;
    of a hoist it always is."""
    failed = seen(0, STOP_DEFEATED, "winch in", "stop:S")
    assert not below_floor(winch(), (failed,))
    assert not below_floor(winch(), (failed, seen(1, NO_STOP, "winch out")))
    for held in (NO_STOP, UNCOMMANDED):
        assert below_floor(winch(), (failed, seen(1, held, "winch in")))
    assert below_floor(contactor_hoist(), (seen(0, STOP_DEFEATED),))


def test_a_pair_is_worse_than_the_worse_of_its_halves() -> None:
    """Of two halves known from the pendant the lower score counts for each hazard."""
    reference = pendant([one("a open", seen(3)), one("b open", seen(1))])
    pair = FaultSet(("a open", "b open"), POWER)
    judged = {score: compared(pair, (seen(score),), reference).judgement for score in (0, 1, 2)}
    assert judged == {0: WORSE, 1: SAME, 2: BETTER}
    assert compared(pair, (seen(1),), reference).compared_with == "a open + b open"
    assert compared(pair, (), reference).judgement == BETTER


def test_a_new_part_is_held_to_the_best_of_its_class() -> None:
    """A part the pendant did not have is held to the best score of its class, to the best of all where
    the class is new, and behind a hidden fault to the worst."""
    command = one("c open", seen(2), kind=COMMAND)
    reference = pendant([one("a open", seen(1)), one("b open", seen(3)), command])
    new = FaultSet(("n open",), POWER)
    assert [compared(new, (seen(s),), reference).judgement for s in (2, 3)] == [WORSE, SAME]
    assert compared(new, (seen(2),), reference).compared_with == f"class: {POWER}"
    other = FaultSet(("n open",), CONDUCTOR)
    assert [compared(other, (seen(s),), reference).judgement for s in (2, 3)] == [WORSE, SAME]
    assert "none of its own" in compared(other, (seen(2),), reference).compared_with
    hidden = FaultSet(("n open", "m open"), POWER, hidden=True)
    assert [compared(hidden, (seen(s),), reference).judgement for s in (0, 1, 2)] == [WORSE, SAME, BETTER]


def test_a_short_that_a_fuse_ends_is_alike_whatever_shorted() -> None:
    """A short of a new kind of part is held to any short of the pendant; another hazard is new."""
    short = seen(None, SHORT, "")
    reference = pendant([one("a short", short, kind=CONDUCTOR), one("b open", seen(3))])
    assert compared(FaultSet(("n short",), POWER), (short,), reference).judgement == SAME
    live = seen(None, "live box", "")
    assert compared(FaultSet(("n short",), POWER), (live,), reference).judgement == WORSE


def test_the_story_is_of_the_hazard_furthest_below_its_floor() -> None:
    """Lifting that a far stop ends is told before travel that the same stop ends."""
    travel = replace(MOTOR3, name="other", positive="trolley left", negative="trolley right", duty="travel")
    made = replace(contactor_hoist(), motors=(MOTOR3, travel))
    found = (seen(1, UNCOMMANDED, "trolley left"), seen(1, UNCOMMANDED, "hoist up"))
    fault = FaultSet(("K1 stuck-in",), POWER)
    for order in (found, found[::-1]):
        told = alone(made, fault, order)
        assert told.below_floor and any("hoist up without command" in text for text in told.story)
        assert result(made, fault, order, pendant([])).story == told.story
    assert alone(made, fault, ()).story == () and not alone(made, fault, ()).below_floor
    assert alone(made, fault, (seen(None, SHORT, ""),)).story


def test_a_story_names_the_stops_tried_in_vain() -> None:
    """Stops above the one that ends it are named as failing, best first, then the one that does."""
    stops = tuple(Stop(f"stop:S{r}", "wired emergency stop", r, ()) for r in (1, 2, 3))
    made = replace(contactor_hoist(), stops=stops)
    hazard = replace(seen(1), stops=("stop:S1",))
    assert story(made, ("K1 stuck-in",), hazard)[-3:] == (
        "stop:S3 does not end it", "stop:S2 does not end it", "stop:S1 ends it",
    )  # fmt: skip
    assert story(made, ("K1 stuck-in",), replace(seen(0), stops=()))[-1] == "no stop of the circuit ends it"
    link = replace(seen(1, subject="link"), stops=("stop:S1",))
    assert any(text.startswith("link lost: still hoist up") for text in story(made, ("K1 stuck-in",), link))
    assert any(text.startswith("release: still hoist up") for text in story(made, ("K1 stuck-in",), hazard))


def test_progress_counts_both_circuits() -> None:
    """Every fault of both circuits is counted once, up to all of them."""
    calls: list[tuple[int, int]] = []
    found = single_faults(winch(), winch(about="after"), lambda done, total: calls.append((done, total)))
    assert [done for done, _ in calls] == list(range(1, len(calls) + 1))
    assert calls[-1] == (2 * found.count, 2 * found.count)
    assert found.worse + found.same + found.better + found.none == found.count == len(found.before)


def test_the_bond_of_a_control_supply_is_silent_until_something_touches_earth() -> None:
    """The wire that earths the secondary, or a box, may break unseen; one to the neutral does not count."""
    assert bond_first(contactor_hoist()) == ("XB open",)
    assert bond_first(replace(contactor_hoist(), earth="")) == ()
    boxed = replace(contactor_hoist(), parts=(*contactor_hoist().parts, part("PEW", "wire", "PE box.PE")))
    assert bond_first(boxed) == ("XB open", "PEW open")


# -- states and orders ---------------------------------------------------------------------------


def test_a_second_step_may_be_listed_before_its_first() -> None:
    """A second step is never without its first, in whatever order the two are listed."""
    made = contactor_hoist()
    second = Input("button:up.2", "button", "button:up")
    for inputs in ((second, *made.inputs), (*made.inputs, second)):
        network = Network(replace(made, inputs=inputs))
        states = list(feasible(network))
        assert len(states) == len(set(states)) == space_of(network).count() == 3 * 2**5
        assert all("button:up" in s for s in states if "button:up.2" in s)
        assert any("button:up.2" in s for s in states)


def test_the_sample_of_states_keeps_its_limits() -> None:
    """A sample has no more keys and other inputs operated than asked for, and all of those few."""
    space = space_of(Network(contactor_hoist()))
    names = [space.network.state_names(v) for v in space.few(keys=1, others=1, total=2)]
    assert len(names) == len(set(names)) == 1 + 2 + 4 + 2 * 4
    assert all(len([n for n in s if n.startswith("button:")]) <= 1 and len(s) <= 2 for s in names)


def test_a_relay_that_cuts_itself_off_never_rests() -> None:
    """A coil behind its own opening contact may be in or out, and is said to race; at rest it is out."""
    made = circuit(
        [
            part("V1", "source", "L PE", voltage=24, frequency=50),
            part("S", "contact", "L a", "button:up"),
            part("K.nc", "contact", "a b", "coil:K", "NC"),
            coil("K", "b PE"),
        ],
        "button:up",
    )
    network = Network(made)
    held, rest = settle(network, frozenset(("button:up",))), settle(network, frozenset())
    assert (held.race, held.may_hold) == (True, ("K",))
    assert (rest.race, rest.may_hold, rest.energised) == (False, (), ())
    assert all(event.verdict == "pass" for event in events(network)), "nothing moves that could be a hazard"


def test_two_coils_that_race_are_told() -> None:
    """Two relays that each cut the other off come to two ends, and the order decides."""
    made = circuit(
        [
            part("V1", "source", "L PE", voltage=24, frequency=50),
            part("S", "contact", "L a", "button:up"),
            part("B.nc", "contact", "a x", "coil:B", "NC"),
            coil("A", "x PE"),
            part("A.nc", "contact", "a y", "coil:A", "NC"),
            coil("B", "y PE"),
        ],
        "button:up",
    )
    assert settle(Network(made), frozenset(("button:up",))).race
    assert not settle(Network(made), frozenset()).race


# -- voltages -------------------------------------------------------------------------------------


def divider(ohms: float) -> Circuit:
    """A 24 V coil of 72 ohm behind a resistor, on direct current."""
    return circuit(
        [
            part("V1", "source", "L PE", voltage=24, frequency=0),
            part("R", "load", "L a", resistance=ohms),
            part("K", "coil", "a PE", voltage=24, resistance=72),
        ],
        "button:up",
    )


@pytest.mark.parametrize(("share", "told"), [(0.019, False), (0.021, True), (0.84, True), (0.86, False)])
def test_a_partial_voltage_is_told_between_leakage_and_pick_up(share: float, told: bool) -> None:
    """From 2 % of its rated voltage up to where it pulls in a coil has a voltage it should not have."""
    found = partial(Network(divider(72 * (1 / share - 1))))
    assert [s.subject for s in found] == (["K"] if told else [])
    for s in found:
        assert s.fraction == pytest.approx(share) and s.volts == pytest.approx(24 * share)
        assert s.path == ("K", "R")


def test_a_magnet_motor_turns_by_the_sign_of_its_voltage() -> None:
    """In is positive, out negative, and both contactors at once leave nothing across the motor."""
    network = Network(winch())
    states = (("button:in",), ("button:out",), ("button:in", "button:out"), ())
    torque = [settle(network, frozenset(s)).torque["winch"] for s in states]
    assert torque == ["positive", "negative", "none", "none"]


def test_welded_joints_have_the_resistance_of_their_kind_of_current() -> None:
    """A weld of a 12 V battery winch is of the heavy kind, one on the mains or of 400 V DC is not."""
    heavy, mains = Network(winch()).joint_ohms, Network(contactor_hoist()).joint_ohms
    high = circuit([part("V1", "source", "L PE", voltage=400, frequency=0),
                    part("R", "load", "L PE", resistance=100)], "button:up")  # fmt: skip
    low = circuit([part("V1", "source", "L PE", voltage=12, frequency=50),
                   part("R", "load", "L PE", resistance=100)], "button:up")  # fmt: skip
    assert heavy != mains and Network(high).joint_ohms == Network(low).joint_ohms == mains


# -- words and hands ------------------------------------------------------------------------------


def test_a_reading_is_shown_as_a_meter_does() -> None:
    """Below a kiloohm in ohms with one decimal, from there in kiloohms with two, words as they are."""
    assert [shown(r) for r in (0.04, 999.9, 1000.0, 5625.0, "OL")] == [
        "0.0 ohm", "999.9 ohm", "1.00 kohm", "5.62 kohm", "OL",
    ]  # fmt: skip


def test_what_was_seen_in_words() -> None:
    """Volts with one decimal, times with two, motions by name, no end as such."""
    assert words(23.96) == "24.0 V" and words(0.456, timed=True) == "0.46 s"
    assert words(("hoist up",)) == "hoist up" and words(()) == "nothing moves"
    assert words(float("inf"), timed=True) == "goes on"


def test_an_observation_at_its_tolerance_still_fits() -> None:
    """An observation is off by its distance in tolerances: three parts in a hundred and the last digits."""
    assert apart(103.6, 100.0, 0.492) == pytest.approx(1.0, abs=1e-3)
    assert apart(100.0, 103.6, 0.492) == pytest.approx(1.0, abs=1e-3)
    assert apart((), (), 0.6) == 0.0 and apart((), ("hoist up",), 0.6) == float("inf")
    assert apart(float("inf"), 1.0, 0.1) == float("inf") and apart(float("inf"), float("inf"), 0.1) == 0.0


def test_probes_stay_where_a_hand_can_reach() -> None:
    """Points are looked at on receiver and added devices only; the keys are held alone and together."""
    made = receiver_hoist()
    doctor = Diagnostician(made)
    zones = {p.name: p.zone for p in made.points}
    assert all(zones[p.about] in ("receiver", "device") for p in doctor.probes.values() if p.kind == "point")
    assert {"hold-up", "hold-down", "both-up-down", "both-down-up"} <= set(doctor.probes)
    steps = doctor.probes["both-up-down"].states
    assert steps == (frozenset({"key:up"}), frozenset({"key:up", "key:down"}))


def test_a_jump_to_an_unknown_input_is_refused() -> None:
    """A jump to a state with an input that is not there leaves the bench where it was."""
    bench = Bench(contactor_hoist())
    bench.press("button:up")
    before = bench.steps
    with pytest.raises(KeyError):
        bench.jump(("button:up", "button:sideways"))
    assert bench.steps == before


def test_an_exclusive_button_leaves_the_others_down() -> None:
    """Pressing down lets up come up, and nothing else that is held."""
    made = replace(contactor_hoist(), exclusive=(frozenset({"button:up", "button:down"}),))
    bench = Bench(made)
    bench.operate("limit:up")
    bench.press("button:up")
    bench.press("button:down")
    assert bench.state == frozenset({"button:down", "limit:up"})
