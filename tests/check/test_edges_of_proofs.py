"""Rules about limits, stops, faults and joined cores at their edges, on given states of a few parts."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.check.made import job
from tests.check.planted import case, circuit, drafts, facts, part, state, verdicts
from wiring.check.rules import proof_core_short, proof_isolation
from wiring.check.rules.mode_dead_time import judge as paused
from wiring.check.rules.proof_core_short import remedies
from wiring.check.rules.proof_every_fault_has_a_stop import nowhere
from wiring.check.rules.proof_joined_cores import fed_by_joint
from wiring.check.rules.proof_stop_chain import _owner, _wired, weak_points
from wiring.check.rules.proof_stop_chain import judge as chained
from wiring.check.rules.supply_operator_disconnect import opens_all
from wiring.check.runs import Run
from wiring.model.behaviour import FaultResult, Faults, Hazard
from wiring.model.circuit import Input, Limit, Motor, Part, Point, Stop
from wiring.model.job import Cable, Connection, ReceiverFacts, StopFact
from wiring.model.value import Amount

MAINS = part("V", "source", "L N", voltage=120, frequency=60)
MOTOR = Motor("M", "three-phase", ("M",), "hoist up", "hoist down")
BOTH = {"key:up": ("hoist up",), "key:down": ("hoist down",)}

# -- limits -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("motions", "verdict"),
    [
        ((), "fail"), (("hoist up", "trolley left"), "fail"), (("hoist up",), "fail"),
        (("hoist down",), "unknown"),
    ],
)  # fmt: skip
def test_an_overload_ends_lifting_among_other_motions(motions: tuple[str, ...], verdict: str) -> None:
    """With the capacity limiter open no key may lift, not even one that travels at the same time; that the
    load cannot be lowered either is an objection too."""
    limit = Limit("limit:cap", "capacity", "hoist up")
    made = circuit(MAINS, limits=(limit,), expected=BOTH)
    down = motions[:1] if motions == ("hoist down",) else ()
    seen = [state("key:up", "limit:cap", motions=() if down else motions)]
    seen += [state("key:down", "limit:cap", motions=down)]
    (found,) = drafts("proof.backup-limit", facts(made, *seen))
    assert str(found.verdict) == verdict
    if motions and not down:
        assert found.found.endswith(f"limit open: {', '.join(motions)}") or "hoist up" in found.found


def kept(torque: dict[str, str], *limits: str, went: tuple[str, ...] = ()) -> dict[str, str]:
    """proof.limits-kept of lifting, where limits end it and motors are left with these torques; went: what
    still moves as converted with the first limit open."""
    names = limits or ("limit:up",)
    before = circuit(
        MAINS, about="before", motors=(MOTOR,), inputs=tuple(Input(n, "limit") for n in names),
        limits=tuple(Limit(n, "first", f"hoist {n.partition(':')[2]}") for n in names),
        expected={"button:up": ("hoist up",)},
    )  # fmt: skip
    after = replace(before, about="after", inputs=(), limits=(), expected={"key:up": ("hoist up",)})
    was = [state("button:up", motions=("hoist up",)), *(state("button:up", n) for n in names)]
    now = [state("key:up", motions=("hoist up",))]
    now += [state("key:up", n, torque=torque, motions=went if n == names[0] else ()) for n in names]
    found = drafts("proof.limits-kept", facts(after, *now, before=before, was=tuple(was)))
    return {d.subject: f"{d.verdict}: {d.found}" for d in found}


def test_a_motor_that_keeps_current_behind_its_limit_fails() -> None:
    """One of two motors that stalls or runs on one phase with the limit open is enough."""
    assert kept({"M": "none", "N": "none"}) == {"hoist up": "pass: ended by limit:up"}
    stalled = "fail: limit:up open: the motor keeps current without torque and may run on"
    assert kept({"M": "none", "N": "stall"}) == kept({"M": "single-phase"}) == {"hoist up": stalled}


def test_a_limit_of_the_other_way_is_not_asked_to_end_this_one() -> None:
    """As found the lower limit ended lifting too; out of it the hook may go, and nobody says it is kept."""
    down, up = "limit:down", "limit:up"
    assert kept({}, down, up, went=("hoist up",)) == {"hoist up": "pass: ended by limit:up"}
    assert kept({}, down, up) == {"hoist up": "pass: ended by limit:up"}
    assert kept({}, up, went=("hoist up",))["hoist up"].startswith("fail")


# -- an isolator of two poles -------------------------------------------------------------------


def test_the_terminals_of_each_pole_are_the_isolators_own() -> None:
    """What stays live on one pole of an isolator counts as little as on the other."""
    poles = [part(f"D.{i}", "contact", f"D:{i} D:{i + 1}", by="stop:Q", owner="D") for i in (1, 3)]
    stop = Stop("stop:Q", "isolator", 2, ("D.1", "D.3"))
    names = ("D:1", "D:2", "D:3", "D:4", "D:5")
    made = circuit(MAINS, *poles, points=tuple(Point(n, "D", True, "device") for n in names), stops=(stop,))
    asked = case("proof.isolation", facts(made))
    counted = [n for n in names if proof_isolation.counts(asked, stop, n, 50.0)]
    assert counted == ["D:5"]


# -- joined cores -------------------------------------------------------------------------------


def gained(was: dict[str, float], now: dict[str, float]) -> tuple[str, float] | None:
    """The load of 100 V that a joint feeds, and its volts, where loads have these voltages."""
    loads = [part(n, "coil" if n.startswith("K") else "load", "a b", voltage=100) for n in now]
    after = circuit(MAINS, *loads, expected={"key:up": ("hoist up",)})
    before = replace(after, about="before", expected={"button:up": ("hoist up",)})
    then, seen = ({k: complex(v) for k, v in x.items()} for x in (was, now))
    asked = facts(
        after, state("key:up", volts=seen), before=before, was=(state("button:up", volts=then),)
    )  # fmt: skip
    found = fed_by_joint(case("proof.joined-cores", asked))
    return (found[1], found[2]) if found else None


def test_a_fiftieth_more_voltage_than_with_the_pendant_is_harm() -> None:
    """1.9 % of its rated voltage more is nothing, 2.1 % are a load that a joint feeds."""
    assert gained({"H": 0.0}, {"H": 1.9}) is None
    assert gained({"H": 0.0}, {"H": 2.1}) == ("H", 2.1)
    assert gained({"H": 98.0}, {"H": 99.9}) is None


def test_of_loads_that_a_joint_feeds_coils_come_first_and_then_the_highest() -> None:
    """A coil is told before a lamp, the higher voltage before the lower, of equals the first."""
    assert gained({"H": 0.0, "K1": 0.0}, {"H": 100.0, "K1": 30.0}) == ("K1", 30.0)
    assert gained({"K1": 0.0, "K2": 0.0}, {"K1": 30.0, "K2": 90.0}) == ("K2", 90.0)
    assert gained({"K1": 0.0, "K2": 0.0}, {"K1": 90.0, "K2": 90.0}) == ("K1", 90.0)


# -- neighbours that touch ----------------------------------------------------------------------

SHORT = FaultResult(
    ("short W1:1 W1:PE",), "conductor", (Hazard("no-stop", "hoist up", (), 2, 1),), "", "worse", False, ()
)


def test_a_cable_of_two_conductors_needs_its_order() -> None:
    """With two conductors landed and no order stated no short was tried; with one there is no neighbour."""

    def said(*landed: str) -> dict[str, str]:
        rows = tuple(Connection("a", "b", conductor=name) for name in landed)
        given = facts(circuit(), state(), given=job(cables=(Cable("W1"),), connections=rows))
        return verdicts("proof.core-short", given)

    assert said("W1:1", "W1:2") == {"W1": "unknown"}
    assert said("W1:1") == said("W1:1", "W1:1") == {}


def test_a_short_that_the_hoist_always_had_is_no_objection(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the conductors replace a wire of the hoist that nothing fused either, the short is as before."""
    faults = Faults("single", 1, 1, 0, 0, 1, 0, (SHORT,), False)
    given = facts(circuit(), state(), faults=faults)
    assert list(verdicts("proof.core-short", given).values()) == ["fail"]
    monkeypatch.setattr(proof_core_short, "replaced", lambda case, result: "hoist:b1")
    (found,) = drafts("proof.core-short", given)
    assert str(found.verdict) == "pass" and "as on hoist:b1" in found.found


def test_a_short_to_the_protective_conductor_is_for_a_device_to_trip() -> None:
    """A short of a conductor to earth is not cured by two cables, one between two conductors is."""
    wires = {n: part(n, "wire", "a b", cable="W1") for n in ("W1:1", "W1:2", "W1:PE")}
    runs = [Run(n, w, "W1", None, None, None, None, "", (), n == "W1:PE") for n, w in wires.items()]
    asked = case("proof.core-short", facts(circuit()))
    asked.facts.cache["runs"] = tuple(runs)
    assert remedies(asked, SHORT)[-1].startswith("let the fault trip a device")
    plain = replace(SHORT, fault=("short W1:1 W1:2",))
    assert remedies(asked, plain)[-1] == "use two cables, W1:1 in one and W1:2 in the other"


# -- stops --------------------------------------------------------------------------------------


def test_a_stop_is_placed_by_its_reach_or_its_distance() -> None:
    """One of the two says how near a stop is; a row with neither leaves it open."""

    def open_(**row: object) -> str:
        stated = job(stops=(StopFact("S1", **row),))  # type: ignore[arg-type]
        hazard = Hazard("no-stop", "hoist up", ("stop:S1",), 2, 1)
        return nowhere(case("proof.every-fault-has-a-stop", facts(circuit(), given=stated)), hazard)

    assert open_(reach="near") == open_(distance=Amount(2.0, "length", "2 m")) == ""
    assert open_() == open_(where="at the door") == "stop:S1"


def contact(name: str, pins: str, **more: str) -> Part:
    return part(name, "contact", pins, form="NC", **more)


def test_a_contact_with_one_end_in_the_air_is_not_in_a_chain() -> None:
    """A contact belongs to the chain where something is joined to both of its ends."""
    mine, line = contact("S1:11-12", "S1:11 S1:12"), part("a", "wire", "L S1:11")
    made = circuit(mine, line, part("b", "wire", "S1:12 X"))
    assert _wired(case("proof.stop-chain", facts(made)), mine.name)
    for pins in ("L S1:11", "X S1:12"):
        bare = circuit(mine, part("a", "wire", pins))
        assert not _wired(case("proof.stop-chain", facts(bare)), mine.name)


def test_contacts_of_one_device_are_one_channel() -> None:
    """Two poles of one device are one channel, outputs of a receiver are each their own."""
    assert _owner("K10.up:1-2") == _owner("K10:13-14") == "K10" and _owner("K11") == "K11"
    assert _owner("receiver:S1") != _owner("receiver:S2")

    def told(*names: str) -> str:
        parts = [contact(n, f"{n}.1 {n}.2") for n in names]
        wires = [part(f"w{n}{i}", "wire", f"x {n}.{i}") for n in names for i in (1, 2)]
        asked = case("proof.stop-chain", facts(circuit(*parts, *wires), state()))
        return chained(asked, "stop:S1", Stop("stop:S1", "local stop", 2, names)).found

    assert told("S1:11-12").startswith("1 contact of 1 device: ")
    assert told("S1:11-12", "S1:21-22").startswith("2 contacts of 1 device: ")
    assert told("S1:11-12", "S2:11-12").startswith("2 contacts of 2 devices: ")


def test_what_ends_a_welded_stop_is_told() -> None:
    """A welded contact of a stop is told with the stops that are left, with none, or without a hazard."""

    def told(*hazards: Hazard) -> str:
        result = FaultResult(("S1:11-12 stuck-closed",), "contact", hazards, "", "worse", False, ())
        faults = Faults("single", 1, 1, 0, 0, 1, 0, (result,), False)
        stop = Stop("stop:S1", "local stop", 2, ("S1:11-12",))
        return weak_points(case("proof.stop-chain", facts(circuit(), state(), faults=faults)), stop)

    left = Hazard("no-stop", "hoist up", ("stop:Q", "stop:S2"), 2, 1)
    assert told() == "S1:11-12 stuck-closed: no hazard"
    assert told(left) == "S1:11-12 stuck-closed: ended by stop:Q, stop:S2"
    assert told(left, replace(left, stops_left=())) == "S1:11-12 stuck-closed: nothing ends it"


def disconnected(opened: str, left: str = "") -> bool:
    """Whether a stop opens the line of the motor, where it opens one of its contactors."""
    powers = (
        part("K0:1-2", "contact", "L a", by="coil:K0", role="power", form="NO"),
        part("K1:1-2", "contact", "a M", by="coil:K1", role="power", form="NO"),
        part("K2:1-2", "contact", "a M", by="coil:K2", role="power", form="NO"),
    )
    made = circuit(
        MAINS, *powers, part("M", "winding", "M N"), motors=(replace(MOTOR, kind="capacitor"),), expected=BOTH
    )
    seen = []
    for key, own in (("key:up", "K1"), ("key:down", "K2")):
        running = {"K0", own}
        stopped = running - {own if opened == "own" else opened}
        for names, coils in (((key,), running), ((key, "stop:S"), stopped)):
            closed = " ".join(f"{k}:1-2" for k in sorted(coils))
            motions = BOTH[key] if coils == running or left == key else ()
            seen.append(state(*names, closed=closed, energised=" ".join(coils), motions=motions))
    stop = Stop("stop:S", "local stop", 2, ())
    return opens_all(case("supply.operator-disconnect", facts(made, *seen)), "after", stop)


def test_a_stop_opens_another_contactor_than_the_motions_own() -> None:
    """A main contactor that falls out opens the line; a direction's own contactor, which letting go of the
    key opens too, is no disconnect, and neither is what leaves one direction running."""
    assert disconnected("K0")
    assert not disconnected("own")
    assert not disconnected("K0", left="key:down")


# -- a pause between directions -----------------------------------------------------------------


def reversed_(motors: tuple[Motor, ...], pause: float, moving: tuple[str, ...] = ("hoist up",)) -> str:
    """mode.dead-time of up and down, where these motors move and nothing keeps the outputs apart."""
    down = tuple(m.replace("up", "down") for m in moving)
    made = circuit(MAINS, motors=motors, expected={"key:up": moving, "key:down": down})
    receiver = ReceiverFacts(dead_time=Amount(pause, "time", f"{pause} s"))
    seen = (state("key:up", motions=moving), state("key:down", motions=down))
    asked = case("mode.dead-time", facts(made, *seen, given=job(receiver=receiver)))
    draft = paused(asked, "up key and down key", ("up", "down"))
    return f"{draft.verdict}: {draft.found}"


def test_the_motor_that_reverses_decides_the_pause() -> None:
    """A hoist with a starting switch keeps its direction until it stops and asks for a long
    pause, whatever the trolley has; a trolley of that kind asks nothing of a hoist on three phases."""
    slow = Motor("H", "main-auxiliary", ("H",), "hoist up", "hoist down")
    quick = Motor("T", "three-phase", ("T",), "trolley left", "trolley right", "travel")
    assert "H keeps its direction until it stops" in reversed_((slow, quick), 0.3)
    swapped = (replace(slow, kind="three-phase"), replace(quick, kind="main-auxiliary"))
    assert "relays alone keep the outputs apart" in reversed_(swapped, 0.3)


def test_a_drive_ramps_down_where_all_that_moves_are_drives() -> None:
    """One drive beside a motor on the line does not make the pause needless."""
    drive = Motor("D", "drive", ("D",), "hoist up", "hoist down")
    beside = Motor("B", "three-phase", ("B",), "hoist up", "hoist down")
    assert reversed_((drive,), 0.3).startswith("pass: the drive ramps down")
    assert "ramps down" not in reversed_((drive, beside), 0.3)
