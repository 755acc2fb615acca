"""Rules about settled states at their edges, on circuits of a few parts and states that are given."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.check.made import job
from tests.check.planted import case, circuit, drafts, facts, part, state, verdicts
from wiring.check.rules.proof_single_fault import added_stop, ended_by_fuse
from wiring.model.behaviour import Event, FaultResult, Faults, Hazard, Sneak
from wiring.model.circuit import Brake, Circuit, Motor, Point, Stop
from wiring.model.job import Supply

# -- the receiver's supply ----------------------------------------------------------------------

INPUT = part("receiver:supply", "supply-input", "r:1 r:2", minimum=100, maximum=120)


def supplied(*volts: float, stop: bool = False) -> tuple[str, str]:
    """Verdict and words of proof.receiver-supply where its input has these voltages, one a state."""
    names = ["stop:S1" if stop else f"key:{i}" for i in range(len(volts))]
    seen = [state(n, volts={"receiver:supply": complex(v)}) for n, v in zip(names, volts, strict=True)]
    (found,) = drafts("proof.receiver-supply", facts(circuit(INPUT), *seen))
    return str(found.verdict), found.found


def test_a_receiver_is_off_below_a_twentieth_of_its_least_voltage() -> None:
    """With a stop pressed 4.99 V of 100 V are an outage, 5 V and more a supply that is too low."""
    assert supplied(4.99, stop=True)[0] == "unknown"  # no state with the supply on is left
    assert supplied(5.0, stop=True)[0] == supplied(5.4, stop=True)[0] == "fail"
    assert supplied(4.99)[0] == "fail"  # no stop took it away


def test_the_least_and_the_highest_supply_are_told() -> None:
    """What is told is the lowest voltage rounded down and the highest rounded up."""
    assert supplied(104.06, 110.0, 115.04) == ("pass", "104.0 V to 115.1 V in 3 states")
    assert "89.9 V" in supplied(89.96)[1]


# -- the load on its brake ----------------------------------------------------------------------

BRAKE = Brake("BR", "coil", "BR", ("m1",))


def held(torque: dict[str, str], *others: Motor, open_: str = "BR") -> str:
    """Verdict of proof.load-held, as found, for one brake of motor m1 beside other motors."""
    motors = (Motor("m1", "three-phase", ("m1",), "hoist up", "hoist down"), *others)
    made = circuit(motors=motors, brakes=(BRAKE,))
    shown = state("button:up", torque=torque, brakes_open=open_)
    given = facts(made, before=replace(made, about="before"), was=(shown,))
    found = next(d for d in drafts("proof.load-held", given) if d.about == "before")
    return str(found.verdict)


def motor(name: str, hook: str = "main", duty: str = "hoist") -> Motor:
    return Motor(name, "three-phase", (name,), "up", "down", duty, hook)  # type: ignore[arg-type]


def test_an_open_brake_needs_one_motor_that_pulls() -> None:
    """An open brake with its motor stalled or without torque drops the load; closed it holds it."""
    assert held({"m1": "positive"}) == held({"m1": "negative"}) == "pass"
    assert held({"m1": "none"}) == held({"m1": "stall"}) == held({"m1": "single-phase"}) == "fail"
    assert held({"m1": "none"}, open_="") == "pass"


def test_a_second_hoisting_motor_on_the_hook_holds_too() -> None:
    """Of two motors on one hook the slow one may hold; one of another hook or a travel motor does not."""
    assert held({"m1": "none", "m2": "positive"}, motor("m2")) == "pass"
    assert held({"m1": "none", "m2": "positive"}, motor("m2", hook="aux")) == "fail"
    assert held({"m1": "none", "m2": "positive"}, motor("m2", duty="travel")) == "fail"
    assert held({"m1": "positive", "m2": "none"}, motor("m2")) == "pass"


# -- single faults ------------------------------------------------------------------------------

SHORTED = circuit(
    part("V", "source", "L N", voltage=120, frequency=60),
    part("F1", "fuse", "L a", rating=5),
    part("S", "contact", "a b", by="key:up", form="NO"),
    part("T", "contact", "b c", by="key:down", form="NO"),
    part("Z1", "suppressor", "a N"),
    part("Z2", "suppressor", "b N"),
    part("Z3", "suppressor", "c N"),
    part("Z4", "suppressor", "L N"),
)
REST, UP = state(), state("key:up", closed="S")
BOTH = state("key:up", "key:down", closed="S T")


def ended(*names: str) -> bool:
    """Whether a fuse ends the shorts of these suppressors."""
    result = FaultResult(
        tuple(f"{n} short" for n in names), "suppressor", (Hazard("source short", "", (), None, None),),
        "", "worse", False, (),
    )  # fmt: skip
    return ended_by_fuse(case("proof.single-fault", facts(SHORTED, REST, UP, BOTH)), result)


def test_a_short_is_ended_by_a_fuse_that_stands_before_it() -> None:
    """A fuse ends the short of what hangs behind it at rest or under one command, of nothing else."""
    assert ended("Z1") and ended("Z2")
    assert not ended("Z4")  # before the fuse
    assert not ended("Z3")  # behind it only while both keys are held


def test_two_shorts_are_ended_where_each_has_a_fuse() -> None:
    """Of two shorts at once the one without a fuse goes on."""
    assert ended("Z1", "Z2") and not ended("Z1", "Z4")


@pytest.mark.parametrize(("ranks", "left", "less"), [((2,), 2, True), ((2,), 1, False), ((), 0, True)])
def test_a_stop_that_fails_leaves_no_less_than_the_pendant_had(
    ranks: tuple[int, ...], left: int, less: bool
) -> None:
    """A failing added stop is no worse where the best one left is as near as the best as found."""
    made = circuit(stops=tuple(Stop(f"stop:{r}", "pendant stop", r, ()) for r in ranks))
    result = FaultResult(
        ("S1 stuck",), "stop", (Hazard("stop defeated", "hoist up", (), None, left),), "", "worse", False, ()
    )
    assert added_stop(case("proof.single-fault", facts(made, REST)), result) is less


def test_of_a_hazard_that_none_stops_nothing_is_left() -> None:
    """A hazard whose best stop is not known counts as none left."""
    made = circuit()
    hazard = Hazard("stop defeated", "hoist up", (), None, None)
    result = FaultResult(("S1 stuck",), "stop", (hazard,), "", "worse", False, ())
    assert not added_stop(case("proof.single-fault", facts(made, REST)), result)


# -- events, sneak paths ------------------------------------------------------------------------


def event(verdict: str, why: str, pressed: tuple[str, ...] = ("key:up",)) -> Event:
    return Event("supply back held", "after", pressed, (), (), (), (), verdict, why)


def test_the_event_that_is_open_is_told() -> None:
    """Among events that pass, the one that nobody can answer is the one that is named."""
    events = (event("pass", "stays off", ("key:down",)), event("unknown", "nobody says", ("key:up",)))
    given = facts(circuit(), REST, events=events)
    found = [d for d in drafts("proof.no-restart", given) if str(d.verdict) == "unknown"]
    assert found and "up key held" in found[0].found and "down key held" not in found[0].found


def test_the_first_of_equal_partial_voltages_is_told() -> None:
    """Of several states with one partial voltage the first is told, else the highest, rounded up."""
    made = circuit(part("V", "source", "L N", voltage=120, frequency=60))
    rows = [("key:up", 0.5), ("key:down", 0.5), ("link", 0.4)]
    sneaks = [Sneak("after", "partial-voltage", "K1", frozenset((n,)), 60.04, f, ()) for n, f in rows]
    for order in (sneaks, [sneaks[2], *sneaks[:2]]):
        (found,) = drafts("proof.sneak", facts(made, REST, sneaks=tuple(order)))
        assert found.found == "up key held: 60.1 V, 0.50 of rated: may hold" and found.measured == 0.5


# -- two lines ----------------------------------------------------------------------------------

WINDING = part("W", "winding", "w:1 w:2", resistance=10)


def on_lines(left: dict[str, tuple[float, float]], system: str | None = "1ph L-L") -> list[tuple[str, str]]:
    """supply.both-lines where each stop leaves these potentials at the winding's two ends."""
    made = circuit(
        WINDING,
        points=tuple(Point(n, "hoist", True, "hoist") for n in ("w:1", "w:2", "PE")),
        motors=(Motor("M", "capacitor", ("W",), "hoist up", "hoist down"),),
        stops=tuple(Stop(n, "local stop", 2, ()) for n in left),
        earth="PE",
    )
    states = [
        state(n, potential={"w:1": complex(a), "w:2": complex(b), "PE": 0j}) for n, (a, b) in left.items()
    ]
    given = facts(made, *states, given=job(supply=Supply(system=system)))
    return [(str(d.verdict), d.found) for d in drafts("supply.both-lines", given)]


def test_a_stop_frees_the_windings_where_no_end_of_them_stays_live() -> None:
    """Every end of the windings has to come down to what may be touched dry; the highest one counts."""
    limit = case("supply.both-lines", facts(circuit())).cell("hoist-practice", "touch-dry", "voltage_ac")
    assert on_lines({"stop:A": (limit, 0.0)})[0][0] == "pass"
    assert on_lines({"stop:A": (limit + 0.1, 0.0)})[0][0] == "fail"
    assert on_lines({"stop:A": (0.0, limit + 0.1)})[0][0] == "fail"


def test_the_stop_that_leaves_least_is_told() -> None:
    """Where no stop frees the windings the best of them is named with its voltage, rounded up."""
    said = on_lines({"stop:A": (240.0, 0.0), "stop:B": (120.04, 0.0)})
    assert said == [("fail", "stop:B pressed: its windings stand at 120.1 V on the other line")]


def test_only_a_supply_between_two_lines_is_looked_at() -> None:
    """On line and neutral, or where neither supply nor type is known, the rule has nothing to say."""
    assert on_lines({"stop:A": (240.0, 0.0)}, "1ph L-N") == on_lines({"stop:A": (240.0, 0.0)}, None) == []


# -- the tap of the receiver's supply -----------------------------------------------------------


def tapped(levels: dict[str, float]) -> str:
    """supply.tap where the receiver has 100 V at rest and these voltages elsewhere."""
    made = tapped_circuit()
    seen = [state(n, volts={"receiver:supply": complex(v)}) for n, v in levels.items()]
    seen.append(state(volts={"receiver:supply": 100 + 0j}))
    (found,) = drafts("supply.tap", facts(made, *seen))
    return f"{found.verdict}: {found.found}"


def tapped_circuit() -> Circuit:
    return circuit(
        INPUT,
        stops=(
            Stop("stop:Q", "isolator", 2, ()),
            Stop("stop:S", "wired emergency stop", 2, ()),
            Stop("stop:R", "radio stop", 3, ()),
        ),
        expected={"key:up": ("hoist up",)},
    )


STEADY = {"stop:Q": 0.0, "stop:S": 100.0, "stop:R": 100.0, "key:up": 100.0}


def test_a_twentieth_of_the_supply_is_dead_and_a_tenth_is_steady() -> None:
    """5 V of 100 V left are none, 5.1 V are live; 10 V less under a key are no change, 10.1 V are."""
    assert tapped(STEADY) == tapped({**STEADY, "stop:Q": 5.0}) == tapped({**STEADY, "key:up": 90.0})
    assert tapped(STEADY).startswith("pass: behind the isolator, before stops")
    assert tapped({**STEADY, "stop:Q": 5.1}).startswith("fail: still live with stop:Q open")
    assert tapped({**STEADY, "key:up": 89.9}).startswith("fail: changes when up is held")
    assert tapped({**STEADY, "key:up": 110.1}).startswith("fail: changes when up is held")


def test_a_stop_that_takes_the_supply_is_told_from_the_radio_stop() -> None:
    """Behind a wired stop the receiver powers up anew; behind its own stop no key can start it again."""
    assert tapped({**STEADY, "stop:S": 5.0}) != tapped(STEADY) == tapped({**STEADY, "stop:S": 5.1})
    assert tapped({**STEADY, "stop:R": 5.0}).startswith("fail: the radio stop takes the receiver's own")
    assert tapped({**STEADY, "stop:R": 5.1}) == tapped(STEADY)


# -- the isolator -------------------------------------------------------------------------------


def left_live(volts: float) -> bool:
    """Whether supply.isolator calls a brake live that keeps a voltage with the isolator open."""
    made = circuit(
        part("V", "source", "L PE", voltage=120, frequency=60),
        part("Q", "contact", "L a", by="stop:Q", form="NC"),
        part("B", "brake", "L PE", resistance=10),
        stops=(Stop("stop:Q", "isolator", 2, ("Q",), lockable=True),),
        earth="PE",
    )
    seen = state("stop:Q", potential={"L": complex(volts), "PE": 0j})
    return any("still live: B" in d.found for d in drafts("supply.isolator", facts(made, REST, seen)))


def test_more_than_one_volt_is_live() -> None:
    """With the isolator open 1 V to earth is nothing, 1.05 V is a live load."""
    assert not left_live(1.0) and left_live(1.05) and left_live(120.0)


# -- one fault run over neighbours --------------------------------------------------------------


def test_only_single_shorts_of_neighbours_are_judged_as_such() -> None:
    """A short alone is a subject of proof.core-short; a pair of faults with a short in it is not."""
    rows = (("short W1:1 W1:2",), ("short W1:2 W1:3", "K1 stuck-in"), ("K1 stuck-in",))
    results = tuple(FaultResult(f, "conductor", (), "", "none", False, ()) for f in rows)
    faults = Faults("single", 3, 0, 0, 0, 3, 0, results, False)
    given = facts(circuit(), REST, faults=faults)
    assert list(verdicts("proof.core-short", given)) == ["short W1:1 W1:2"]
