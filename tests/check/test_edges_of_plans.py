"""Rules about contacts, stops and stations at their edges, on circuits of a few parts and given states."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.check.made import job
from tests.check.planted import case, circuit, drafts, facts, part, state, verdicts
from wiring.check import RULES
from wiring.check.draft import Missing
from wiring.check.duty import Duty
from wiring.check.loads import Load
from wiring.check.rating import Rated
from wiring.check.rules import supply_operator_disconnect
from wiring.check.rules.contact_dc import judge as direct_current
from wiring.check.rules.contact_poles import fed_past
from wiring.check.rules.contact_shared_common import unlike
from wiring.check.rules.contact_short_circuit import prospective
from wiring.check.rules.mode_radio_stop import wired_stops
from wiring.check.rules.mode_stations import pendant
from wiring.check.rules.mode_stop_travel import chain
from wiring.check.rules.supply_isolator import breaking
from wiring.model.circuit import Brake, Input, Motor, Output, Part, Stop
from wiring.model.job import ReceiverFacts, Supply
from wiring.model.value import Amount

MAINS = part("V", "source", "L N", voltage=120, frequency=60)
COIL = Load("coil", "K1", part("K1", "coil", "a b"))


def duty(contact: Part, volts: float = 24.0, *words: str) -> Duty:
    rated = Rated("receiver:UP", {}, {"pilot": words[0]} if words else {}, "receiver.output.0.rating")
    return Duty(contact, rated, (COIL,), volts, False)


# -- contacts -----------------------------------------------------------------------------------


def test_a_triac_never_opens_direct_current() -> None:
    """A triac on direct current fails whatever it is rated for; a contact with a DC code passes."""
    triac = part("receiver:T", "semiconductor", "a b", role="triac")
    assert str(direct_current("UP", duty(triac, 24.0, "R300")).verdict) == "fail"
    assert str(direct_current("UP", duty(replace(triac, role=""), 24.0, "R300")).verdict) == "pass"
    relay = part("receiver:R", "contact", "a b", role="triac")
    assert str(direct_current("UP", duty(relay, 24.0, "R300")).verdict) == "pass"


@pytest.mark.parametrize(("volts", "amps"), [(24.0, 100.0), (29.9, 100.0), (30.0, 5000.0), (120.0, 5000.0)])
def test_a_transformer_limits_the_current_of_its_own_voltage(volts: float, amps: float) -> None:
    """120 VA at 24 V and 5 % are at most 100 A on a circuit within a fifth of 24 V of it, no other."""
    made = circuit(
        part("T", "transformer", "p1 p2 s1 s2", primary=120, secondary=24, power=120, impedance=0.05)
    )
    supply = Supply(fault_current=Amount(5000.0, "current", "5000 A"))
    asked = case("contact.short-circuit", facts(made, given=job(supply=supply)))
    assert prospective(asked, duty(part("C", "contact", "a b"), volts))[0] == pytest.approx(amps)


def test_states_of_at_most_two_keys_are_looked_at() -> None:
    """One state for each set of closed contacts, none with three keys held."""
    rest, two = state(closed="a"), state("key:up", "key:down", closed="b")
    same, three = state("key:up", closed="a"), state("key:up", "key:down", "key:left", closed="c")
    given = facts(circuit(), rest, two, same, three)
    assert unlike(case("contact.shared-common", given)) == [rest, two]


def test_the_leakage_of_every_electronic_output_counts() -> None:
    """What a coil sees at rest rests on the leakage of the electronic outputs, noted as used."""
    made = circuit(
        MAINS,
        part("receiver:T", "semiconductor", "L a", leakage=0.002, owner="receiver"),
        part("Z", "suppressor", "a N", leakage=0.5),
        part("K1", "coil", "a N", voltage=120),
    )
    asked = case("contact.leakage", facts(made, state(volts={"K1": 3 + 0j})))
    assert [str(d.verdict) for d in RULES["contact.leakage"].check(asked)] == ["pass"]
    assert "receiver:T.leakage" in asked.used and "Z.leakage" not in asked.used


def past(now: float, idle: float = 0.0) -> bool:
    """Whether a coil on a core's terminal counts as fed past it, with this voltage as converted."""
    made = circuit(
        MAINS, part("w", "wire", "X1 k"), part("K1", "coil", "k N"), part("K2", "coil", "X1 N"),
        part("FAR", "coil", "y N"), about="before",
    )  # fmt: skip
    was = state("button:up", volts={"K1": 120 + 0j, "K2": complex(idle), "FAR": 120 + 0j})
    then = state("key:up", volts={"K1": complex(now), "K2": 0j, "FAR": 0j})
    return fed_past(case("contact.poles", facts(circuit(), then, before=made, was=(was,))), "up", "X1")


def test_a_core_may_stay_dark_where_what_hung_on_it_is_fed() -> None:
    """Each load that had voltage over the core needs more than half of it; others do not count."""
    assert past(120.0) and past(61.0)
    assert not past(59.0) and not past(0.0)
    assert not past(120.0, idle=120.0)  # the second coil had its voltage too and has none now


# -- time and travel ----------------------------------------------------------------------------


def test_one_brake_on_its_alternating_side_decides() -> None:
    """Of two brakes on one motor the one that is opened on the AC side is the slow one."""
    slow, quick = Brake("B1", "coil", "B1", ("M",), "ac"), Brake("B2", "coil", "B2", ("M",), "dc")
    motor = Motor("M", "three-phase", ("M",), "hoist up", "hoist down")

    def told(*brakes: Brake) -> tuple[float, str]:
        made = circuit(MAINS, motors=(motor,), brakes=brakes)
        receiver = ReceiverFacts(on_signal_loss=Amount(0.4, "time", "0.4 s"))
        return chain(case("mode.stop-travel", facts(made, given=job(receiver=receiver))), motor)

    both, one = told(slow, quick), told(quick)
    assert both == told(slow) and "opened on the AC side" in both[1]
    assert "opened on the DC side" in one[1] and one[0] < both[0]


# -- stops --------------------------------------------------------------------------------------


def test_a_wired_stop_ends_every_motion_or_is_none() -> None:
    """A stop of rank 2 that ends up and not down is no stop of the hoist; an isolator is another thing."""
    stops = (
        Stop("stop:A", "local stop", 2, ()), Stop("stop:B", "local stop", 2, ()),
        Stop("stop:C", "local stop", 1, ()), Stop("stop:Q", "isolator", 3, ()),
    )  # fmt: skip
    made = circuit(stops=stops, expected={"key:up": ("hoist up",), "key:down": ("hoist down",)})
    moving = {"key:up": ("hoist up",), "key:down": ("hoist down",)}
    states = [state(k, motions=m) for k, m in moving.items()]
    states += [state(k, s) for k in moving for s in ("stop:A", "stop:C", "stop:Q")]
    states += [state("key:up", "stop:B"), state("key:down", "stop:B", motions=("hoist down",))]
    assert wired_stops(case("mode.radio-stop", facts(made, *states))) == ["stop:A"]


@pytest.mark.parametrize(
    ("had", "has", "verdict"),
    [
        (("pendant stop", 3), ("local stop", 2), "pass"),
        (("pendant stop", 3), ("local stop", 1), "fail"),
        (("pendant stop", 3), ("isolator", 2), "fail"),
        (("pendant stop", 3), ("isolator", 3), "pass"),
        (("isolator", 2), ("local stop", 1), "unknown"),
        (("plug", 2), ("plug", 2), "unknown"),
    ],
)
def test_what_opens_the_line_within_reach(
    had: tuple[str, int], has: tuple[str, int], verdict: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A stop counts from near on, an isolator only in the operator's hand; to lose the pendant's fails."""
    monkeypatch.setattr(supply_operator_disconnect, "opens_all", lambda case, about, stop: True)
    before = circuit(stops=(Stop("stop:ES", had[0], had[1], ()),), about="before")
    after = circuit(stops=(Stop("stop:S1", has[0], has[1], ()),))
    found = verdicts("supply.operator-disconnect", facts(after, before=before))
    assert found == {"motors": verdict}


def broken(*motors: Motor) -> str:
    """What is said of an isolator before these motors."""
    made = circuit(MAINS, part("Q1", "contact", "L a"), part("M", "motor3", "u v w"), motors=motors)
    asked = case("supply.isolator", facts(made))
    try:
        return str(breaking(asked, "stop:Q", Stop("stop:Q", "isolator", 2, ("Q1",)), "w", "stop").verdict)
    except Missing as missing:
        return missing.key


def test_an_isolator_breaks_what_motors_start_with() -> None:
    """No motor, a drive, or a motor without parts leave nothing to break; one motor on the line does."""
    drive = Motor("D", "drive", ("D1",), "hoist up", "hoist down")
    line = Motor("M", "three-phase", ("M",), "hoist up", "hoist down")
    assert broken() == broken(drive) == broken(replace(line, parts=("gone",))) == "pass"
    assert broken(line).startswith("M.") and broken(line, drive).startswith("M.")


# -- keys and buttons ---------------------------------------------------------------------------


def stations(*moving: tuple[str, ...]) -> str:
    """Verdict about a pendant that stays, where these states of two selector positions move the hook."""
    names = ("button:up", "key:up", "selector:S.a", "selector:S.b")
    made = circuit(
        part("pendant:up", "contact", "a b", by="button:up", form="NO"),
        inputs=tuple(Input(n, n.partition(":")[0]) for n in names),  # type: ignore[arg-type]
        expected={"key:up": ("hoist up",), "button:up": ("hoist up",)},
    )
    every = [(n, *p) for p in ((), ("selector:S.a",), ("selector:S.b",)) for n in names[:2]]
    states = [state(*s, motions=("hoist up",) if s in moving else ()) for s in every]
    return str(pendant(case("mode.stations", facts(made, *states)), "pendant").verdict)


def test_a_selector_has_a_position_in_which_nothing_acts() -> None:
    """Keys at one position, buttons at the other and nothing between pass; without a dead centre, or with
    both at once, it fails."""
    keys, buttons = ("key:up", "selector:S.a"), ("button:up", "selector:S.b")
    assert stations(keys, buttons) == "pass"
    assert stations(keys, buttons, ("key:up",)) == stations(keys, buttons, ("button:up",)) == "fail"
    assert stations(keys, buttons, ("button:up", "selector:S.a")) == "fail"


def polarity(*parts: Part, motions: tuple[str, ...] = ("hoist up",)) -> dict[str, str]:
    output = Output("receiver:UP", "key:up", "momentary", "1", None, None, None)
    made = circuit(*parts, outputs=(output,), expected={"key:up": ("hoist up",)})
    return verdicts("supply.polarity", facts(made, state("key:up", motions=motions)))


def test_polarity_is_asked_where_there_is_one() -> None:
    """An electronic output, a drive input or a supply of direct current alone has a polarity."""
    battery = part("V", "source", "L N", voltage=24, frequency=0)
    judged = {"receiver:UP": "pass"}
    assert polarity(MAINS, part("T", "semiconductor", "L a")) == judged
    assert polarity(MAINS, part("D1", "drive-input", "L a")) == judged
    assert polarity(battery, part("R", "contact", "L a")) == judged
    assert polarity(MAINS, part("R", "contact", "L a")) == {}
    assert polarity(MAINS, replace(battery, name="V2"), part("R", "contact", "L a")) == {}
    assert polarity(battery, motions=()) == {"receiver:UP": "fail"}


# -- returns and limits of the hoist ------------------------------------------------------------


def test_a_coil_switched_on_the_earthed_side_is_the_pendants_fault() -> None:
    """Switched there as found and as converted it is an objection to the hoist alone; where the
    conversion brings the contact it is one to the conversion."""
    bond, feed = part("B", "wire", "N PE"), part("w", "wire", "L a")
    coil, contact = part("K1", "coil", "a b"), part("S", "contact", "b N", form="NO")
    switched = circuit(MAINS, bond, feed, coil, contact, earth="PE")
    bare = circuit(MAINS, bond, feed, replace(coil, pins=("a", "N")), earth="PE", about="before")

    def told(given: object) -> list[tuple[str, str]]:
        return [(d.about, str(d.verdict)) for d in drafts("supply.earthed-side", given)]  # type: ignore[arg-type]

    assert told(facts(switched)) == [("after", "pass"), ("before", "fail")]
    assert told(facts(switched, before=bare)) == [("after", "fail")]
    assert told(facts(replace(bare, about="after"), before=bare)) == [("after", "pass")]


def test_a_command_that_lifts_among_other_motions_needs_a_limit() -> None:
    """A key that lifts and travels at once is an upward motion like any other."""
    motor = Motor("M", "three-phase", ("M",), "hoist up", "hoist down")
    made = circuit(motors=(motor,), expected={"key:up": ("hoist up", "trolley left")})
    seen = state("key:up", motions=("hoist up", "trolley left"))
    found = [d for d in drafts("proof.upper-limit", facts(made, seen)) if d.about == "after"]
    assert [(d.subject, str(d.verdict)) for d in found] == [("hoist up", "fail")]
