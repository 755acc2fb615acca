"""Corners of what is built on the simulation: scores, probes, self-tests, notes, readings to expect."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest

from tests.simulate.circuits import circuit, coil, contactor_hoist, part, receiver_hoist
from wiring.files import load_catalog
from wiring.model.behaviour import FaultResult
from wiring.model.circuit import Circuit, Limit
from wiring.model.value import certain
from wiring.simulate import Network, settle
from wiring.simulate.diagnosis_probes import probes
from wiring.simulate.entry_lint import lint
from wiring.simulate.expect import Level, Meter
from wiring.simulate.expect_dead import insulation
from wiring.simulate.expect_keys import enabling
from wiring.simulate.expect_live import dip_steps
from wiring.simulate.expect_moving import limit_steps
from wiring.simulate.expect_record import causes
from wiring.simulate.expect_site import Site
from wiring.simulate.expect_times import times_of
from wiring.simulate.fault_run import alone, single_faults
from wiring.simulate.faults import POWER, FaultSet
from wiring.simulate.faults_double import _Tally
from wiring.simulate.faults_sights import STOP_DEFEATED, UNCOMMANDED, Seen
from wiring.simulate.score import SAME, WORSE, compared, pendant
from wiring.simulate.selftest import self_test
from wiring.simulate.sneak import partial

CATALOG = load_catalog()
HOIST = CATALOG.hoists["reversing-contactors-24"]


# -- faults ---------------------------------------------------------------------------------------


def test_a_failing_stop_is_like_one_of_its_own_reach() -> None:
    """A new stop near the hook that fails is held to the old near one, not to a far one that did better."""

    def failed(score: int, rank: int) -> Seen:
        return Seen(STOP_DEFEATED, "hoist up", frozenset(), "", score, (), "stop:S", rank)

    near, far = (failed(1, 3),), (failed(2, 1),)
    reference = pendant([(FaultSet(("a stuck",), POWER), near), (FaultSet(("b stuck",), POWER), far)])
    new = FaultSet(("n stuck",), POWER)
    assert compared(new, (failed(1, 3),), reference).judgement == SAME
    assert compared(new, (failed(1, 1),), reference).judgement == WORSE


def test_pairs_below_the_floor_are_counted() -> None:
    """Of three pairs, two below the floor, the tally says two, and one of each judgement."""
    tally = _Tally()
    for judgement, low in (("worse", True), ("same", False), ("better", True)):
        tally.add(FaultResult(("a", "b"), POWER, (), "", judgement, low, ()))
    assert (tally.count, tally.worse, tally.same, tally.better, tally.none) == (3, 1, 1, 1, 0)
    assert tally.below_floor == 2


def test_the_story_is_of_what_the_worst_stop_ends() -> None:
    """Of two uncommanded lifts the one that nothing ends is told, in whatever order they were found."""

    def lift(score: int, motion: str) -> Seen:
        return Seen(UNCOMMANDED, motion, frozenset(), "released", score, (), "")

    found = (lift(1, "hoist down"), lift(0, "hoist up"))
    for order in (found, found[::-1]):
        told = alone(contactor_hoist(), FaultSet(("K1 stuck-in",), POWER), order).story
        assert any("hoist up without command" in text for text in told)


def test_a_short_between_two_sources_names_both() -> None:
    """Two batteries of unlike volts side by side short each other; both are named, in order."""
    made = circuit(
        [
            part("V1", "source", "L N", voltage=24, frequency=0),
            part("V2", "source", "L N", voltage=12, frequency=0),
        ],
        "button:up",
        earth="N",
    )
    (text, *_) = settle(Network(made), frozenset()).shorts
    assert text.partition(" through ")[0] == "V1, V2"


def test_states_without_rest_are_left_out_and_said() -> None:
    """A relay that cuts itself off never rests while its key is held: one of two states is left out."""
    made = circuit(
        [
            part("V1", "source", "L PE", voltage=24, frequency=50),
            part("S", "contact", "L a", "button:up"),
            part("K.nc", "contact", "a b", "coil:K", "NC"),
            coil("K", "b PE"),
        ],
        "button:up",
    )
    left_out = [n for n in single_faults(made, replace(made, about="after")).notes if "left out" in n]
    assert left_out == ["1 of these states were left out: the sound circuit does not come to rest there"]
    sound = contactor_hoist()
    assert not [n for n in single_faults(sound, replace(sound, about="after")).notes if "left out" in n]


def test_a_channel_that_is_not_there_cannot_freeze() -> None:
    """A frozen output is known by its channel; one of no channel is refused."""
    with pytest.raises(KeyError, match="SIDEWAYS"):
        Network(receiver_hoist(), ("receiver:SIDEWAYS frozen",))


def test_a_partial_voltage_names_the_closed_contacts_on_its_way() -> None:
    """A coil behind a resistor and a contact at rest closed: the way is coil, resistor and that contact."""
    made = circuit(
        [
            part("V1", "source", "L PE", voltage=24, frequency=0),
            part("R", "load", "L a", resistance=72),
            part("C", "contact", "a b", "limit:up", "NC"),
            part("K", "coil", "b PE", voltage=24, resistance=72),
            part("D", "contact", "L c", "limit:up", "NC"),
            part("H", "load", "c PE", resistance=1000),
        ],
        "limit:up",
    )
    (found,) = partial(Network(made))
    assert (found.subject, found.path) == ("K", ("K", "R", "C"))
    assert found.fraction == pytest.approx(0.5)


# -- entries --------------------------------------------------------------------------------------


def test_a_row_is_named_by_what_is_pressed() -> None:
    """A row that does not come out begins with its buttons, or says that nothing is pressed."""
    rest = next(r for r in HOIST.expected if not r.press and not r.open)
    up = next(r for r in HOIST.expected if tuple(r.press) == ("up",) and not r.open)
    wrong = tuple(replace(r, motions=("hoist sideways",), result="") for r in (rest, up))
    at_rest, pressed = self_test(replace(HOIST, expected=wrong))
    assert at_rest.startswith("nothing pressed: expected hoist sideways")
    assert pressed.startswith("button:up: expected hoist sideways")


def test_only_hoists_have_rows() -> None:
    """A receiver and a device are linted without a word of self-tests."""
    for entry in (CATALOG.receivers["six-channel-stop-pair"], CATALOG.devices["contactor-pair-24"]):
        assert "self-test" not in lint(entry).text
    broken = CATALOG.devices["contactor-pair-24"]
    wire = replace(HOIST.net.wires[0], ends=("nowhere", "elsewhere"))
    assert "self-test" not in lint(replace(broken, net=replace(broken.net, wires=(wire,)))).text


def test_a_motor_needs_a_chain_to_a_source() -> None:
    """A hoist type whose sources hang in the air is told that nothing joins its motor to a source."""
    assert not any("no chain of parts" in f for f in faults_of(HOIST))
    parts = tuple(
        replace(p, at=tuple(f"air.{p.id}.{n}" for n in range(len(p.at)))) if p.kind == "source" else p
        for p in HOIST.net.parts
    )
    found = faults_of(replace(HOIST, net=replace(HOIST.net, parts=parts)))
    assert any(f.endswith("no chain of parts joins it to a source") for f in found)


def faults_of(entry: object) -> list[str]:
    document: Any = lint(entry).document
    return list(document["faults"])


# -- what a meter shows ---------------------------------------------------------------------------


def weak_lamp() -> Circuit:
    """A lamp whose resistance nobody read, behind a switch, on 24 V."""
    parts = [
        part("V1", "source", "L N", voltage=24, frequency=0),
        part("S", "contact", "L a", "key:up"),
        part("W", "load", "a b", resistance=10),
        part("K", "load", "b N", resistance=90),
    ]
    recalled = replace(certain("K.resistance", 90.0, "ohm", "memory", "test"), low=60.0, high=140.0)
    parts[-1] = replace(parts[-1], values={"resistance": recalled})
    return circuit(parts, "key:up", earth="N", about="after")


def test_only_a_reading_that_moves_rests_on_what_nobody_read() -> None:
    """A dead lamp reads nothing whatever its ohms; a lit one behind 10 ohm reads 24 x R / (R + 10)."""
    meter = Meter(weak_lamp())
    assert meter.volts("K", frozenset()) == Level(0.0, 0.0, 0.0, ())
    lit = meter.volts("K", frozenset({"key:up"}))
    ends = (24 * 90 / 100, 24 * 60 / 70, 24 * 140 / 150)
    assert (lit.nominal, lit.low, lit.high) == pytest.approx(ends, rel=0.01)
    assert lit.rests_on == ("K.resistance",)


def step(kind: str) -> Any:
    return SimpleNamespace(kind=kind, answers="", subject="K", rests_on=(), impedance=None)


def test_a_reading_as_planned_has_no_cause_of_more() -> None:
    """More ohms than planned is a joint, exactly as planned is none; hardly any volts is an open circuit."""
    assert causes(step("resistance"), 5.1, 5.0)[0].startswith("joint")
    assert causes(step("resistance"), 5.0, 5.0)[0].startswith("a second path")
    assert causes(step("voltage"), 1.1, 24.0)[0].startswith("open circuit")
    assert causes(step("voltage"), 1.25, 24.0)[0].startswith("joint")


def test_buttons_of_the_hoist_may_all_be_needed() -> None:
    """What enables a key is tried from nothing over each button to both of two."""
    tried = list(enabling(Network(contactor_hoist())))
    up, down = "button:up", "button:down"
    assert tried == [frozenset(), frozenset({up}), frozenset({down}), frozenset({up, down})]


def test_a_limit_or_time_that_no_table_has_is_not_made_up() -> None:
    """Without the insulation row nothing is asked; without a time the table and row are named."""

    def lacking(row: str, column: str) -> None:
        return None

    without = SimpleNamespace(tables={name: SimpleNamespace(cell=lacking) for name in CATALOG.tables})
    assert list(insulation(SimpleNamespace(catalog=without))) == []  # type: ignore[arg-type]
    half = SimpleNamespace(cell=lambda row, column: CATALOG.tables["iec-60204-1-limits"].cell(row, column)
                           if column == "voltage" else None)  # fmt: skip
    half_known: Any = SimpleNamespace(catalog=SimpleNamespace(tables={"iec-60204-1-limits": half}))
    assert list(insulation(half_known)) == []
    with pytest.raises(KeyError):
        times_of(SimpleNamespace(), without, receiver_hoist())  # type: ignore[arg-type]


def site_of(made: Circuit) -> Site:
    """A converted circuit ready to be tested, of no job."""
    return Site(SimpleNamespace(), CATALOG, made, Meter(made), SimpleNamespace())  # type: ignore[arg-type]


def test_the_least_volts_of_a_receiver_may_not_be_known() -> None:
    """Of a supply input without a stated minimum the test says so instead of a figure."""
    made = receiver_hoist()
    known = [s.wanted for s in dip_steps(site_of(made), "key:up")]
    fed = made.part("receiver:supply")
    bare = replace(fed, values={k: v for k, v in fed.values.items() if k != "minimum"})
    parts = tuple(bare if p is fed else p for p in made.parts)
    unknown = [s.wanted for s in dip_steps(site_of(replace(made, parts=parts)), "key:up")]
    assert len(known) == len(unknown) == 1
    assert known[0].endswith("never below 20.4 V") and unknown[0].endswith("its least volts are not known")
    assert list(dip_steps(site_of(made), "key:up.2")) == []


def test_a_limit_that_the_plan_does_not_show_is_said() -> None:
    """A sound limit stops its motion; of one that a wire bridges the test says that none is shown."""
    limits = (Limit("limit:up", "first", "hoist up"),)
    made = receiver_hoist(limits=limits)
    (sound,) = limit_steps(site_of(made))
    assert sound.wanted.startswith("stops there;")
    (bridged,) = limit_steps(site_of(replace(made, parts=(*made.parts, part("J", "wire", "UPH u1")))))
    assert "THE PLAN DOES NOT SHOW IT" in bridged.wanted


# -- probes ---------------------------------------------------------------------------------------


def test_only_stops_are_reset() -> None:
    """A stop of the receiver is tried and reset while a key is held; a limit is only reached."""
    made = receiver_hoist()
    stops = (*made.inputs, replace(made.inputs[0], name="key:stop", kind="key"))
    ids = {p.id for p in probes(Network(replace(made, inputs=stops)))}
    assert {"key:stop-up", "key:stop-reset-up", "limit:up-up"} <= ids
    assert not any(i.startswith(("limit:up-reset", "thermal:OL-reset", "key:down-reset")) for i in ids)


def test_what_has_to_be_solved_is_analog() -> None:
    """Two loads in series have to be solved before anybody looks; one alone has all or nothing."""
    two, one = Network(weak_lamp()), Network(circuit(
        [part("V1", "source", "L N", voltage=24, frequency=0), part("H", "load", "L N", resistance=90)],
        "key:up", earth="N",
    ))  # fmt: skip
    assert settle(two, frozenset({"key:up"})).volts["K"] == pytest.approx(21.6)
    assert settle(one, frozenset()).volts["H"] == pytest.approx(24.0)
    from wiring.simulate.settle import engine
    from wiring.simulate.states import space_of

    for network, analog in ((Network(weak_lamp()), True), (one, False)):
        space = space_of(network)
        vector = max(space.vectors())
        at = space.at(vector)
        assert engine(network).moment(space.seen(vector), at.node)[2].analog is analog
