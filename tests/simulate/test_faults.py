"""The fault list, what a name does, hidden first faults, judgement, stories, pairs."""

from __future__ import annotations

import pytest

from tests.simulate.truthjobs import CATALOG, circuits, stop_in_motion_common, two_channel
from wiring.circuit import build_type
from wiring.simulate.fault_run import Inspector, single_faults
from wiring.simulate.faults import (
    COMMAND,
    CONDUCTOR,
    LOGIC,
    POWER,
    STOP,
    FaultSet,
    hidden_first,
    plain_faults,
    single_list,
    together,
)
from wiring.simulate.faults_double import Pairs, double_faults, run_pairs
from wiring.simulate.faults_effect import effect
from wiring.simulate.faults_runs import Runner
from wiring.simulate.faults_sights import NO_STOP, RESTART, STOP_DEFEATED, UNCOMMANDED, Seen
from wiring.simulate.network import Network
from wiring.simulate.score import BETTER, NONE, SAME, WORSE, compared, floor, pendant

CONTACTOR = build_type(CATALOG.hoists["reversing-contactors-24"])


def kinds(circuit_: object) -> dict[str, str]:
    return {f.names[0]: f.kind for f in plain_faults(circuit_) if len(f.names) == 1}  # type: ignore[arg-type]


def test_every_listed_fault_has_an_effect() -> None:
    """Each name of the list is understood, for the pendant's circuit and the converted one."""
    for text in (two_channel("momentary"), stop_in_motion_common()):
        for one in circuits(text):
            for fault in single_list(one):
                assert effect(one, fault.names) != effect(one, ()), fault.names


def test_unknown_fault_is_refused() -> None:
    """A part that is not there or a word nobody knows raises KeyError."""
    for name in ("hoist:K9 stuck-in", "hoist:K1 melted", "short core:feed core:nine"):
        with pytest.raises(KeyError):
            effect(CONTACTOR, (name,))


def test_classes_follow_what_operates_a_contact() -> None:
    """Button contacts are command, main poles power, stop contacts and stop outputs stop devices."""
    found = kinds(CONTACTOR)
    assert found["pendant:up stuck-closed"] == COMMAND
    assert found["hoist:K1.1-2 stuck-closed"] == POWER
    assert found["hoist:K1 stuck-in"] == POWER
    assert found["pendant:ES stuck-closed"] == STOP
    after = kinds(circuits(stop_in_motion_common())[1])
    assert after["receiver:STOP1 stuck-closed"] == STOP
    assert after["receiver:UP stuck-closed"] == COMMAND
    assert after["receiver:logic frozen"] == LOGIC


def test_welded_stop_relay_is_a_hidden_first_fault() -> None:
    """One of two stop relays welded shows nothing, so it is combined with every second fault."""
    after = circuits(stop_in_motion_common())[1]
    assert hidden_first(after) == ("receiver:STOP1 stuck-closed", "receiver:STOP2 stuck-closed")
    sets = {frozenset(f.names) for f in single_list(after) if f.hidden}
    assert frozenset({"receiver:STOP1 stuck-closed", "receiver:STOP2 stuck-closed"}) in sets
    assert frozenset({"receiver:STOP1 stuck-closed", "hoist:K1 stuck-in"}) in sets
    assert hidden_first(CONTACTOR) == ()


def test_both_stop_relays_welded_defeat_the_radio_stop() -> None:
    """One welded stop relay alone defeats nothing, both do."""
    before, after = circuits(stop_in_motion_common())
    found = {frozenset(r.fault): r for r in single_faults(before, after).results}
    one = found[frozenset({"receiver:STOP1 stuck-closed"})]
    two = found[frozenset({"receiver:STOP1 stuck-closed", "receiver:STOP2 stuck-closed"})]
    assert not any(h.hazard == STOP_DEFEATED for h in one.hazards)
    assert {h.motion for h in two.hazards if h.hazard == STOP_DEFEATED} == {"hoist up", "hoist down"}


def test_receiver_faults_do_what_they_say() -> None:
    """Frozen, on without command, deaf to the loss of the link, restoring: each shows its own hazard."""
    before, after = circuits(two_channel("momentary"))
    found = {r.fault: {(h.hazard, h.motion) for h in r.hazards} for r in single_faults(before, after).results}
    assert (NO_STOP, "hoist up") in found["receiver:board frozen",]
    assert (UNCOMMANDED, "hoist up") not in found["receiver:board frozen",]
    assert (UNCOMMANDED, "hoist up") in found["receiver:CH1 on",]
    assert (NO_STOP, "hoist up") in found["receiver:loss-timer stuck",]
    assert (RESTART, "hoist up") in found["receiver:memory restores",]
    assert (UNCOMMANDED, "hoist up") in found["key:up stuck",]
    assert found["hoist:LSU stuck-open",] == set()


def test_story_names_what_happens_in_order() -> None:
    """A story is short sentences: the command, the fault, what goes on, what ends it."""
    found = {r.fault: r for r in single_faults(CONTACTOR, CONTACTOR).results}
    assert found["hoist:LSU stuck-closed",].story == (
        "press button:up",
        "hoist:LSU stays closed",
        "limit:up is reached: still hoist up",
        "stop:ES ends it",
    )
    assert found["hoist:K1 stuck-in",].story[-2:] == ("stop:ES does not end it", "stop:Q1 ends it")


def test_a_circuit_compared_with_itself_is_the_same() -> None:
    """Judged against itself no fault is worse or better, and the floor is judged all the same."""
    found = single_faults(CONTACTOR, CONTACTOR)
    assert (found.worse, found.better) == (0, 0)
    assert found.same + found.none == found.count == len(found.results)
    low = {r.fault[0] for r in found.results if r.below_floor}
    assert low == {
        "hoist:K1 stuck-in",
        "hoist:K2 stuck-in",
        "pendant:ES stuck-closed",
        "stop:ES detached",
        "short core:feed core:up",
    }
    assert {r.fault[0] for r in found.before if r.below_floor} == low


def seen(score: int | None, hazard: str = NO_STOP) -> Seen:
    return Seen(hazard, "hoist up", frozenset(), "released", score, ())


def test_judgement_by_part_class_and_floor() -> None:
    """The same part with itself, a new part with the best of its class, logic with nothing."""
    reference = pendant(
        [
            (FaultSet(("hoist:K1 stuck-in",), POWER), (seen(1),)),
            (FaultSet(("pendant:up stuck-closed",), COMMAND), (seen(3),)),
        ]
    )
    assert compared(FaultSet(("hoist:K1 stuck-in",), POWER), (seen(2),), reference).judgement == BETTER
    assert compared(FaultSet(("hoist:K1 stuck-in",), POWER), (seen(1),), reference).judgement == SAME
    assert compared(FaultSet(("hoist:K1 stuck-in",), POWER), (), reference).judgement == BETTER
    new = FaultSet(("receiver:CH1 stuck-closed",), COMMAND)
    assert compared(new, (seen(2),), reference).judgement == WORSE
    assert compared(new, (seen(3),), reference).judgement == SAME
    assert compared(new, (), reference).judgement == NONE
    logic = FaultSet(("receiver:logic frozen",), LOGIC)
    assert compared(logic, (seen(1),), reference).judgement == NONE
    other = compared(FaultSet(("hoist:K1 stuck-in",), POWER), (seen(3, STOP_DEFEATED),), reference)
    assert other.judgement == WORSE


def test_floor_is_higher_for_what_lifts() -> None:
    """A hoisting motion needs a stop of rank 2, travel one of rank 1."""
    crane = build_type(CATALOG.hoists["two-speed-crane-115"])
    assert floor(crane, "hoist up slow") == 2
    assert floor(crane, "trolley left") == 1


def test_one_part_is_not_broken_twice() -> None:
    """A pair never holds one contact stuck open and stuck closed."""
    one, other = FaultSet(("hoist:LSU stuck-closed",), ""), FaultSet(("hoist:LSU stuck-open",), "")
    assert not together(one, other)
    assert together(one, FaultSet(("hoist:LSD stuck-open",), ""))


def test_pairs_find_what_singles_do_not() -> None:
    """Two welded poles of the up contactor move nothing singly and together leave current in the motor."""
    made = Pairs(Network(CONTACTOR))
    made.singly()
    by_name = {made.inspector.sets[n].names[0]: n for n in made.singles}
    pair = by_name["hoist:K1.1-2 stuck-closed"], by_name["hoist:K1.3-4 stuck-closed"]
    ((_, more),) = made.run([pair])
    assert {one.hazard for one in more} >= {NO_STOP}


def test_doubles_count_every_pair_and_end_when_asked() -> None:
    """All pairs are counted; cancelled in between the result says that it is a part."""
    motor = build_type(CATALOG.hoists["capacitor-motor-direct-230"])
    whole = double_faults(motor, motor, processes=1)
    assert (
        whole.count
        == len(Pairs(Network(motor)).pairs())
        == whole.worse + whole.same + whole.better + whole.none
    )
    assert not whole.sampled
    part = double_faults(motor, motor, processes=1, cancel=lambda: True)
    assert part.sampled and part.count == 0


def test_two_processes_find_what_one_does() -> None:
    """The pairs of one circuit come out alike from one process and from two, with progress to the end."""
    told: list[tuple[int, int]] = []
    motor = build_type(CATALOG.hoists["capacitor-motor-direct-230"])
    alone = dict(run_pairs(motor, 1))
    spread = dict(run_pairs(motor, 2, lambda done, total: told.append((done, total))))
    assert alone == spread
    assert told[-1][0] == told[-1][1] == len(alone)


def test_both_orders_count_where_a_fault_makes_a_race() -> None:
    """Up and down cores touching let either contactor win: both motions show, whichever button is held,
    and the state in which the sound circuit races itself is not told twice."""
    inspector = Inspector(Network(CONTACTOR), (FaultSet(("short core:up core:down",), CONDUCTOR),))
    runner = Runner(inspector.board, list(inspector.board.settings), inspector.plane, inspector.sound)
    shown = runner.shot("pressed").moves.motion
    states = inspector.plane.states
    up, both = states.index(frozenset({"button:up"})), states.index(frozenset({"button:up", "button:down"}))
    assert shown["hoist up"] >> up & 1
    assert shown["hoist down"] >> up & 1
    assert runner.races["pressed"] >> up & 1
    assert not runner.races["pressed"] >> both & 1
