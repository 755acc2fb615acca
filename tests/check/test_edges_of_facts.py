"""What rules ask of the job and the catalog at its edges: identity, terminals, ratings, readings, records."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType, SimpleNamespace
from typing import Any

import pytest

from tests.check.made import job
from tests.check.planted import CATALOG, case, circuit, drafts, facts, part, state, verdicts
from wiring.check import switching
from wiring.check.asked import record
from wiring.check.case import Case
from wiring.check.digest import catalog_of
from wiring.check.draft import Missing, failed
from wiring.check.duty import subject_of
from wiring.check.faulty import replaced
from wiring.check.feeds import fed_over
from wiring.check.loads import carried
from wiring.check.one_off import _load
from wiring.check.orders import laid_out
from wiring.check.protecting import Device, protecting
from wiring.check.rating import device_rating
from wiring.check.rating_words import load_of
from wiring.check.readings import seen, separating
from wiring.check.rules import conductor_coil_drop, identity_type
from wiring.check.rules.conductor_terminal_fit import judge as fitting
from wiring.check.rules.conductor_terminal_fit import terminals
from wiring.check.rules.identity_core import judge as core_judge
from wiring.check.rules.identity_receiver import judge as receiver_judge
from wiring.check.rules.mode_set_by import _in_time
from wiring.check.rules.mode_signal_loss import timed
from wiring.check.runs import Run, runs
from wiring.model.behaviour import FaultResult, Hazard
from wiring.model.circuit import Motor, Removed
from wiring.model.entry import Terminal
from wiring.model.job import (
    AddedDevice,
    BenchResult,
    Cable,
    Connection,
    Cord,
    Core,
    HoistFacts,
    Job,
    ProtectiveDevice,
    Reading,
    ReceiverFacts,
    ReceiverOutput,
    Supply,
)
from wiring.model.value import Amount, WireSize
from wiring.simulate.faults_sights import UNFUSED

MAINS = part("V", "source", "L N", voltage=120, frequency=60)


def asked(rule: str, given: Job | None = None) -> Case:
    return case(rule, facts(circuit(MAINS), given=given))


# -- who is who ---------------------------------------------------------------------------------


def told_core(*left: str) -> tuple[str, str]:
    """identity.core of a core named up by readings, where the readings leave these roles."""
    rows = tuple(
        Reading(("1", "2"), side, None, "ohms", Amount(5.0, "resistance", "5 ohm"))
        for side in ("hoist", "handset")
    )
    core = Core("1", role="up", by="readings")
    given = asked("identity.core", job(cores=(core,), readings=rows))
    fit: Any = SimpleNamespace(readings=(), complete=True)
    draft = core_judge(given, "core:1", 0, core, fit, [{"core:1": role} for role in left])
    return str(draft.verdict), draft.found


def test_up_and_down_may_stay_open_and_it_is_said() -> None:
    """A core that may be up or down passes and names the rule that tells them apart; one that can only
    be up passes without; one that may be left too is open."""
    assert told_core("up") == ("pass", "up, the readings leave no other role")
    both = "up, the readings leave no other role; up and down are told apart by identity.direction"
    assert told_core("up", "down") == ("pass", both)
    assert told_core("up", "left")[0] == "unknown"


def on_the_bench(output: str, rest: str, pressed: str) -> str:
    """identity.receiver of one output of a receiver with two stop outputs."""
    rows = (BenchResult("rest", output, rest), BenchResult("key", output, pressed))
    mine = ReceiverOutput(output, key="stop" if output.startswith("STOP") else "up")
    receiver = ReceiverFacts(type="six-channel-stop-pair", outputs=(mine,))
    given = asked("identity.receiver", job(receiver=receiver, bench=rows))
    return str(receiver_judge(given, f"receiver:{output}", 0, mine).verdict)


def test_a_stop_output_rests_closed() -> None:
    """A stop output is closed at rest and opens with its key; a command is open and closes."""
    assert on_the_bench("STOP1", "closes", "opens") == "pass"
    assert on_the_bench("UP", "opens", "closes") == "pass"
    assert on_the_bench("UP", "closes", "closes") == on_the_bench("UP", "opens", "opens") == "fail"
    assert on_the_bench("UP", "opens", "nothing") == "fail"


def test_without_a_known_receiver_no_jumper_is_asked_for() -> None:
    """Where the receiver has no entry its outputs are judged and its jumpers are not known."""
    receiver = ReceiverFacts(outputs=(ReceiverOutput("UP", key="up"),))
    given = facts(circuit(MAINS), given=job(receiver=receiver))
    assert verdicts("identity.receiver", given) == {"receiver:UP": "unknown"}


def test_types_that_no_reading_separates_are_told_by_plates(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where another type fits too, the reading that tells them apart is named, or that there is none."""
    own = next(iter(CATALOG.hoists))
    meter = SimpleNamespace(hoist=CATALOG.hoists[own])
    fit = SimpleNamespace(meter=meter, solutions=lambda: [{}], contradicts=lambda named: None)
    monkeypatch.setattr(identity_type, "Fit", lambda case, meter: fit)
    monkeypatch.setattr(identity_type, "rival_types", lambda case, own: [(fit, {})])
    row = Reading(("1", "2"), "hoist", None, "ohms", "OL")
    given = facts(circuit(MAINS), given=job(hoist=HoistFacts(type=own), readings=(row,)))
    for best, remedy in (("", "compare plates and recognition marks"), ("ohms", "take ohms")):
        monkeypatch.setattr(identity_type, "separating", lambda case, ones, best=best: best)
        (draft,) = drafts("identity.type", given)
        assert str(draft.verdict) == "unknown" and draft.remedies == (remedy,)


def test_the_circuit_that_lacks_names_the_type_that_lacks() -> None:
    """Without a hoist type that type is asked for, with one the receiver's."""
    bare = replace(facts(circuit()), after=None)
    for hoist, key in ((None, "hoist.type"), ("reversing-contactors-24", "receiver.type")):
        with pytest.raises(Missing) as missing:
            _ = case("place.sight", replace(bare, job=job(hoist=HoistFacts(type=hoist)))).after
        assert missing.value.key == key


# -- terminals and conductors -------------------------------------------------------------------

MM075, MM1 = WireSize("mm2", "0.75", 0.75e-6, "0.75 mm2"), WireSize("mm2", "1", 1e-6, "1 mm2")
AWG18, AWG20 = WireSize("awg", "18", 0.823e-6, "18 AWG"), WireSize("awg", "20", 0.519e-6, "20 AWG")


@pytest.mark.parametrize(
    ("size", "verdict"), [(MM075, "pass"), (AWG18, "pass"), (MM1, "pass"), (AWG20, "fail")]
)
def test_a_wire_of_the_least_and_of_the_largest_size_fits(size: WireSize, verdict: str) -> None:
    """The ends of a terminal's range belong to it."""
    terminal = Terminal("1", size_min=MM075, size_max=MM1)
    assert str(fitting("D1:1", terminal, ["w"], {"w": size}).verdict) == verdict


def test_the_next_size_of_the_other_system_does_not_fit() -> None:
    """18 AWG has a tenth more copper than 0.75 mm2 and is too thick for a terminal up to that."""
    terminal = Terminal("1", size_max=MM075)
    assert str(fitting("D1:1", terminal, ["w"], {"w": AWG18}).verdict) == "fail"
    assert str(fitting("D1:1", terminal, ["w"], {"w": MM075}).verdict) == "pass"


def test_terminals_of_a_unit_carry_its_name() -> None:
    """`up:1` of a pair K10 is K10.up:1; what the colon does not part from a unit keeps its name."""
    made = CATALOG.devices["contactor-pair-24"]
    net = replace(made.net, terminals=(Terminal("up:1"), Terminal("PE"), Terminal("X:2")))
    entry = replace(made, net=net, units=("up", "down"))
    catalog = replace(CATALOG, devices=MappingProxyType({"pair": entry}))
    given = replace(
        facts(circuit(), given=job(devices=(AddedDevice("K10", "pair"),))), catalog=catalog
    )  # fmt: skip
    names = [name for name, _ in terminals(case("conductor.terminal-fit", given))]
    assert names == ["K10.up:1", "K10:PE", "K10:X:2"]


def test_a_conductor_has_the_size_of_its_own_connection() -> None:
    """A size stated for one conductor counts for that one; the others have their cable's."""
    rows = (Connection("a", "b", "W1:1", size=AWG18), Connection("c", "d", "W1:2"))
    given = job(cables=(Cable("W1", size=MM1),), connections=rows)
    made = circuit(
        MAINS, part("W1:1", "wire", "a b", cable="W1"), part("W1:2", "wire", "c d", cable="W1")
    )  # fmt: skip
    found = {r.name: r.size for r in runs(case("conductor.ampacity", facts(made, state(), given=given)))}
    assert found == {"W1:1": AWG18, "W1:2": MM1}


def test_a_transformer_is_reckoned_with_its_power_and_impedance() -> None:
    """Without one of the two a coil behind it has no voltage that is known."""
    for figures in ({"power": 50.0}, {"impedance": 0.1}, {}):
        feed = part("T", "transformer", "L N s1 s2", primary=120, secondary=24, **figures)
        coil = part("K1", "coil", "s1 s2", voltage=24)
        given = case("conductor.coil-drop", facts(circuit(MAINS, feed, coil), state()))
        with pytest.raises(Missing, match=r"T\.power"):
            conductor_coil_drop.fed_with(given, coil, 70.0, 0.75)


def test_a_drop_is_told_at_the_first_cable_of_the_way(monkeypatch: pytest.MonkeyPatch) -> None:
    """The finding about a coil points to the first cable on the way to it."""
    wires = [part(f"W{i}:1", "wire", "a b", cable=f"W{i}") for i in (1, 2)]
    way = [
        Run(w.name, w, w.cable, AWG18, 3.0, None, None, f"cable.{i}", (), False) for i, w in enumerate(wires)
    ]
    monkeypatch.setattr(conductor_coil_drop, "along", lambda case, coil: way)
    coil = part("K1", "coil", "L N", voltage=120, inrush=70, inrush_pf=0.75)
    given = job(supply=Supply(tolerance=Amount(0.1, "ratio", "10 %")))
    made = case("conductor.coil-drop", facts(circuit(MAINS, coil), state(), given=given))
    assert conductor_coil_drop.judge(made, "K1", coil).key == "cable.0"


def test_an_order_that_does_not_exist_is_given_up() -> None:
    """Where no order keeps a name apart from the others the search ends without one."""
    names = tuple("abcdefghijklmn")
    harmful = {frozenset(("n", other)) for other in names[:-1]}
    assert laid_out(names, harmful) == ()


# -- ratings ------------------------------------------------------------------------------------


def test_a_device_that_no_entry_describes_has_no_rating() -> None:
    """A device of an unknown type has no figure of its own, and none is made up."""
    given = job(devices=(AddedDevice("D1", "nobody"),))
    rated = device_rating(asked("contact.steady", given), "D1")
    assert not rated.numbers and not rated.words and rated.key == "device.0.rating"


def test_a_code_for_direct_current_is_read_at_125_and_250_volts() -> None:
    """A direct-current code has its figures at both printed voltages, the third column from 301 V up."""
    given = asked("contact.make")
    code = switching.pilot_code(given, CATALOG.tables["pilot-duty-dc"], "N300")
    assert dict(code.make_at) == {125.0: 2.2, 250.0: 1.1}
    assert switching._by_power(given, "no such table", "v120") == []


def test_a_load_says_what_was_taken_for_granted() -> None:
    """Direct or alternating current that is written is not taken for granted; unwritten it is."""
    assert load_of("drive input 24 V DC 6 mA").taken_as == ()
    assert load_of("drive input 24 V 6 mA").taken_as == ("direct current",)


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("motor 6 A 120 V AC", "single-phase"),
        ("motor 6 A 24 V DC", "dc-permanent-magnet"),
        ("motor 6 A 230 V AC three-phase", "three-phase"),
    ],
)
def test_a_motor_is_of_the_kind_of_its_supply(text: str, kind: str) -> None:
    """Alternating current drives a motor of one or three phases, direct current one with magnets."""
    _, (motor,) = _load(load_of(text), CATALOG, "us")
    assert motor.kind == kind


def test_a_failure_has_the_danger_of_its_rule() -> None:
    """A draft that names no danger of its own leaves that of the rule."""
    assert failed("it", "found", "wanted").danger == 0


def test_one_contact_is_told_by_its_output_and_several_by_themselves() -> None:
    """An output with one contact, and the working contact of any, go by the output's name."""
    no = part("R:NO", "contact", "a b", by="output:receiver:UP", form="NO", owner="receiver")
    nc = replace(no, name="R:NC", form="NC")
    other = replace(no, name="R2:NO", by="output:receiver:DOWN")

    def told(*parts: Any) -> str:
        return subject_of(case("contact.make", facts(circuit(*parts))), "receiver:UP", parts[0])

    assert told(no, other) == told(nc, other) == told(no, nc) == "receiver:UP"
    assert told(nc, no) == "R:NC"
    assert told(nc, other, replace(other, name="R2:NC", form="NC")) == "receiver:UP"


# -- what carries and what feeds ----------------------------------------------------------------


def test_three_keys_at_once_are_no_ones_worst_state() -> None:
    """What a contact carries is what it carries with at most two keys held."""
    made = circuit(MAINS, part("S", "contact", "L a", form="NO"), part("K1", "coil", "a N", voltage=120))
    closed = state("key:a", "key:b", closed="S"), state("key:a", "key:b", "key:c", closed="S")
    loads, at = carried(case("contact.make", facts(made, closed[0])), "after", "S")
    assert [x.name for x in loads] == ["K1"] and at is closed[0]
    assert carried(case("contact.make", facts(made, closed[1])), "after", "S") == ((), None)


def test_windings_that_run_are_told_where_there_is_no_coil() -> None:
    """Of motors that run the windings are told with their way, not their capacitor nor a motor at rest."""
    parts = [part("W", "winding", "L N"), part("C", "capacitor", "L N"), part("W2", "winding", "L N")]
    motors = (
        Motor("M", "capacitor", ("W", "C"), "hoist up", "hoist down"),
        Motor("T", "capacitor", ("W2",), "trolley left", "trolley right"),
    )
    made = circuit(MAINS, *parts, motors=motors)
    assert fed_over(made, state("key:up", motions=("hoist up",))) == "W: L and N"
    assert fed_over(made, state()) == ""


def test_the_supplys_device_stands_before_a_motor_behind_a_transformer() -> None:
    """15 A at 120 V let 75 A through at 24 V: that is what stands before a motor of 50 A there."""
    made = circuit(
        MAINS, part("T", "transformer", "L N s1 s2", primary=120, secondary=24),
        part("w", "wire", "s1 a"), part("W", "winding", "a s2"),
        motors=(Motor("M", "dc-permanent-magnet", ("W",), "up", "down",
                      values=part("M", "winding", "", full_load_current=50).values),),
    )  # fmt: skip
    device = ProtectiveDevice("breaker", Amount(15.0, "current", "15 A"))
    given = job(supply=Supply(protective_device=device))
    found = protecting(case("conductor.protection", facts(made, state(), given=given)), "w")
    assert isinstance(found, Device) and found.amps == 75.0


def test_an_unfused_wire_of_the_hoist_is_replaced_and_a_fused_one_is_not() -> None:
    """A short on conductors that took the place of a wire with nothing before it is as old as the hoist;
    behind a fuse it was ended."""
    gone = Removed("hoist:b1", ("p", "X"))
    hazard = Hazard(UNFUSED, "", (), None, None)
    result = FaultResult(("short W1:1 W1:2",), "conductor", (hazard,), "", "worse", False, ())
    new = [part(n, "wire", "X Y", cable="W1") for n in ("W1:1", "W1:2")]
    for kind, name in (("wire", "hoist:b1"), ("fuse", "")):
        before = circuit(
            part("V", "source", "p0 N", voltage=24, frequency=0), part("F", kind, "p0 p"),
            part("hoist:b1", "wire", "p X"), about="before",
        )  # fmt: skip
        after = circuit(MAINS, *new, removed=(gone,))
        assert replaced(case("proof.core-short", facts(after, before=before)), result) == name


# -- readings and records -----------------------------------------------------------------------


def test_only_ohms_between_two_points_are_compared() -> None:
    """Volts, and ohms to cores that are tied together, are left out."""
    ohms = Amount(5.0, "resistance", "5 ohm")
    rows = (
        Reading(("1", "2"), "hoist", None, "ohms", ohms),
        Reading(("1", "2+3"), "hoist", None, "ohms", ohms),
        Reading(("1", "2"), "hoist", None, "volts", Amount(24.0, "voltage", "24 V")),
    )
    assert [r.index for r in seen(job(readings=rows))] == [0]


def test_types_are_separated_over_cores_that_both_have() -> None:
    """A reading that tells two types apart lies between cores which have a role in each of them."""

    def meter(ohms: float) -> Any:
        network = SimpleNamespace(input_bit={})
        return SimpleNamespace(network=network, expects=lambda a, b, state, side: ohms)

    given = asked("identity.type")
    one, two = {"core:1": "up", "core:2": "down", "core:3": "spare"}, {"core:1": "up", "core:2": "down"}
    found = separating(given, [(meter(5.0), one), (meter(500.0), two)])
    assert found == "ohms between cores 1 and 2, hoist side: 5 ohm or 500 ohm"
    assert separating(given, [(meter(5.0), one), (meter(5.0), two)]) == ""


def test_a_test_that_nobody_made_has_no_record() -> None:
    """Where no record of a test is there, there is none that holds for this plan."""
    assert record(asked("mode.hold-to-run"), "release-up") == (None, False)


@pytest.mark.parametrize(("measured", "good"), [("0.3 s", True), ("9 s", False), ("late", False)])
def test_a_release_is_in_time_where_a_time_says_so(measured: str, good: bool) -> None:
    """A time up to the usual one is good; words that are no time are not."""
    assert _in_time(asked("mode.set-by"), measured) is good


def test_a_slow_loss_asks_for_the_clearance_of_its_key() -> None:
    """Between the usual time and the longest the clearance is asked for, by the key it is stated under."""
    output = ReceiverOutput("CH1", key="up.2")
    draft = timed(asked("mode.signal-loss"), "receiver:CH1", output, 1.0, "k")
    assert str(draft.verdict) == "unknown" and draft.found.endswith("the clearance up is not stated")
    assert draft.remedies[-1] == "state place.clearance for up"


def test_nobody_who_says_nothing_sees_the_load() -> None:
    """Without anything about the place whether the load is seen is not known."""
    assert list(verdicts("place.sight", facts(circuit(), given=job()))) == ["sight"]
    assert set(verdicts("place.sight", facts(circuit(), given=job())).values()) == {"unknown"}


def test_a_cable_without_an_entry_leaves_the_digest_standing() -> None:
    """A kind of cable that no entry describes has no content to count; the others have theirs."""
    given = job(cables=(Cable("W1", "cord-so"), Cable("W2", "nobody")), cord=Cord(type=None))
    assert list(catalog_of(given, CATALOG)["cables"]) == ["cord-so"]
