"""Isolators, limits and supplies kept apart: edges of their rules, on circuits of a few parts."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.check.made import job
from tests.check.planted import case, circuit, drafts, facts, part, state, verdicts
from wiring.check.draft import Missing
from wiring.check.rules.conductor_transformer_protection import before
from wiring.check.rules.proof_limits_kept import away
from wiring.check.rules.supply_same_circuit import bridged
from wiring.model.behaviour import FaultResult, Faults, Hazard
from wiring.model.circuit import Input, Limit, Motor, Part, Point, Stop
from wiring.model.job import ProtectiveDevice, Supply
from wiring.model.value import Amount

MAINS = part("V", "source", "L N", voltage=120, frequency=60)

# -- the isolator open --------------------------------------------------------------------------

ZONES = {
    "hoist:X1": "hoist", "receiver:L": "receiver", "Q:1": "hoist", "sealed": "receiver", "mains": "supply",
}  # fmt: skip


def isolated(left: dict[str, float], was: dict[str, float], known: bool = True) -> tuple[str, str]:
    """proof.isolation where points stand at these voltages with the isolator open, now and as found."""
    points = tuple(Point(n, n, n != "sealed", z) for n, z in ZONES.items())  # type: ignore[arg-type]
    stop = Stop("stop:Q", "isolator", 2, ("Q",), lockable=True)
    made = circuit(
        MAINS, part("Q", "contact", "Q:1 Q:2", by="stop:Q", form="NC"),
        points=points, stops=(stop,), earth="PE",
    )  # fmt: skip
    old = replace(made, about="before", inputs=(Input("stop:Q", "stop"),) if known else ())
    seen, then = ({**{k: complex(v) for k, v in x.items()}, "PE": 0j} for x in (left, was))
    given = facts(made, state("stop:Q", potential=seen), before=old, was=(state("stop:Q", potential=then),))
    (found,) = drafts("proof.isolation", given)
    return str(found.verdict), found.found


def test_behind_an_open_isolator_nothing_keeps_more_than_may_be_touched() -> None:
    """At the limit for dry touch a terminal counts as dead, above it as live, rounded up; the highest
    of them is told."""
    limit = case("proof.isolation", facts(circuit())).cell("hoist-practice", "touch-dry", "voltage_ac")
    assert isolated({"receiver:L": limit}, {})[0] == "pass"
    assert isolated({"receiver:L": limit + 0.1}, {})[0] == "fail"
    said = isolated({"receiver:L": 120.04, "hoist:X1": 90.0}, {})
    assert said == ("fail", "isolator open: receiver:L still has 120.1 V")


def test_the_line_side_of_an_isolator_stays_live() -> None:
    """A terminal of the hoist counts where this isolator took it dead as found; the isolator's own, the
    supply's and sealed points never do."""
    limit = case("proof.isolation", facts(circuit())).cell("hoist-practice", "touch-dry", "voltage_ac")
    assert isolated({"hoist:X1": 120.0}, {})[0] == "fail"
    assert isolated({"hoist:X1": 120.0}, {"hoist:X1": limit})[0] == "fail"
    assert isolated({"hoist:X1": 120.0}, {"hoist:X1": limit + 0.1})[0] == "pass"
    assert isolated({"hoist:X1": 120.0}, {}, known=False)[0] == "pass"
    assert isolated({"Q:1": 120.0, "mains": 120.0, "sealed": 120.0}, {})[0] == "pass"


# -- limits -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("motions", "limits", "out"),
    [
        (("hoist up",), ("hoist down",), True),
        (("hoist up",), ("hoist up",), False),
        (("hoist up",), ("hoist up", "hoist down"), False),
        (("hoist up",), ("hoist down", "trolley left"), False),
        (("hoist up", "hoist down"), ("hoist down",), False),
        (("hoist up fast",), ("hoist down slow",), True),
        (("hoist up",), (), False),
    ],
)
def test_only_a_limit_of_the_other_way_alone_is_left_out(
    motions: tuple[str, ...], limits: tuple[str, ...], out: bool
) -> None:
    """The lower limit says nothing of lifting; one that is for lifting too, or for anything else, does."""
    made = circuit(
        limits=tuple(Limit("limit:x", "first", m) for m in limits),
        expected={"button:up": motions}, about="before",
    )  # fmt: skip
    assert away(case("proof.limits-kept", facts(circuit(), before=made)), "up", "limit:x") is out


def limited(*left: str, bypassed: bool = False) -> dict[str, str]:
    """What is said of a limit that the conversion adds, where these motions go on with it open."""
    parts = [MAINS, part("LS", "contact", "a b", by="limit:new", form="NC")]
    parts += [part("w", "wire", "a b")] if bypassed else []
    made = circuit(
        *parts, limits=(Limit("limit:new", "first", "hoist up"),),
        expected={"key:up": ("hoist up",), "key:left": ("trolley left",)},
    )  # fmt: skip
    states = [
        state("key:up", motions=("hoist up",)), state("key:up", "limit:new", motions=left),
        state("key:left", motions=("trolley left",)),
        state("key:left", "limit:new", motions=("trolley left",)),
    ]  # fmt: skip
    old = circuit(about="before")
    return verdicts("proof.limits-kept", facts(made, *states, before=old))


def test_an_added_limit_ends_its_own_motion() -> None:
    """It has to end lifting, not the trolley; with a wire across it, it opens nothing."""
    assert limited() == {"limit:new": "pass"}
    assert limited("hoist up") == limited(bypassed=True) == {"limit:new": "fail"}


# -- supplies that are kept apart ---------------------------------------------------------------

T1 = part("T1", "transformer", "L N s1 s2", owner="hoist")


def joined(*parts: Part, earth: str = "") -> set[str]:
    """Transformers that these parts bridge; wires are the job's where they have no other owner."""
    made = (replace(p, owner="job") if p.kind == "wire" and p.owner == "hoist" else p for p in parts)
    return set(bridged(circuit(MAINS, T1, *made, earth=earth)))


def test_a_wire_between_secondary_and_line_bridges_the_transformer() -> None:
    """One wire to the line bridges it; one to the earthed pole, which a secondary may share, does not."""
    assert joined() == set() and joined(part("w", "wire", "s1 L")) == {"T1"}
    bond = part("b", "wire", "N PE")
    assert joined(part("w", "wire", "s2 N"), bond, earth="PE") == set()
    assert joined(part("w", "wire", "s2 N")) == {"T1"}


def test_a_later_transformer_is_fed_by_the_first() -> None:
    """A second transformer with both ends of its primary on the first one's secondary bridges nothing;
    with one end there and one on the line it does."""
    later = part("T2", "transformer", "q1 q2 u1 u2", owner="hoist")
    one, two = part("w1", "wire", "s1 q1"), part("w2", "wire", "s2 q2")
    assert joined(later, one, two) == set()
    assert joined(later, one, part("w2", "wire", "N q2")) == {"T1"}


def test_what_a_device_joins_inside_is_its_own_affair() -> None:
    """A unit that ties its secondary to its primary inside keeps nothing apart and is not blamed, wherever
    it is fed from; the same tie as a wire of the job is."""
    tied = part("T3", "transformer", "p1 p2 t1 t2", owner="G1")
    feed = (part("f1", "wire", "L p1"), part("f2", "wire", "N p2"))
    inside = part("tie", "wire", "t1 p1", owner="G1")
    assert joined(tied, *feed, inside) == set()
    assert joined(tied, *feed, replace(inside, owner="job")) == {"T3"}
    assert joined(tied, *feed, inside, part("w", "wire", "t2 N")) == {"T3"}


def one_pole(*opened: str) -> str:
    """Verdict about a receiver on L and N behind an isolator with these poles."""
    pins = {"Q.1": "m:L L", "Q.2": "m:N N"}
    contacts = [part(n, "contact", pins[n], by="stop:Q", form="NC") for n in opened]
    wires = [part(f"w{n}", "wire", p) for n, p in pins.items() if n not in opened]
    made = circuit(
        part("V", "source", "m:L m:N", voltage=120, frequency=60), *contacts, *wires,
        part("receiver:supply", "supply-input", "L N", owner="receiver"),
        stops=(Stop("stop:Q", "isolator", 2, opened, lockable=True),),
    )  # fmt: skip
    return verdicts("supply.same-circuit", facts(made))["receiver:supply"]


def test_both_ends_of_an_added_supply_are_behind_the_isolator() -> None:
    """Both poles open both ends; an isolator of one pole is what the hoist had."""
    assert one_pole("Q.1", "Q.2") == one_pole("Q.1") == "pass"


# -- what limits a primary ----------------------------------------------------------------------


def limiting(*parts: Part, breaker: float | None = None) -> tuple[float, str]:
    """Rating and name of what limits the current of a transformer's primary."""
    device = ProtectiveDevice("breaker", Amount(breaker, "current", "")) if breaker else None
    made = circuit(MAINS, *parts)
    given = facts(made, state(), given=job(supply=Supply(protective_device=device)))
    return before(case("conductor.transformer-protection", given), made.part("T"))


def test_each_live_line_of_a_primary_needs_its_device() -> None:
    """Of fuses in series the smallest counts, of two lines the larger; a line without one answers to the
    supply's own device, which then has to be known."""
    one, two = part("F1", "fuse", "L a", rating=4), part("F2", "fuse", "a p1", rating=2)
    made = part("T", "transformer", "p1 p2 s1 s2", primary=120, secondary=24)
    third = part("F3", "fuse", "N p2", rating=6)
    assert limiting(one, two, third, made) == (6.0, "F3")
    assert limiting(one, two, replace(third, values={**two.values}), made) == (2.0, "F2")
    back = part("w", "wire", "N p2")
    assert limiting(one, two, back, made) == (2.0, "F2")  # the return may do without
    assert limiting(part("w", "wire", "L p1"), back, made, breaker=15.0) == (15.0, "supply device")
    with pytest.raises(Missing):
        limiting(part("w", "wire", "L p1"), back, made)


# -- neighbours that touch ----------------------------------------------------------------------


def test_a_short_of_neighbours_is_judged_by_what_it_does() -> None:
    """A short without hazard or no worse than the pendant's passes, a worse one or one below the floor
    fails."""
    hazard = (Hazard("no-stop", "hoist up", (), 2, 1),)
    rows = (
        ("none", False, ()), ("same", False, hazard), ("worse", False, hazard), ("same", True, hazard),
    )  # fmt: skip
    results = tuple(
        FaultResult((f"short W1:{i} W1:{i + 1}",), "conductor", h, "", j, b, ())
        for i, (j, b, h) in enumerate(rows)
    )
    made = circuit(motors=(Motor("M", "three-phase", ("M",), "hoist up", "hoist down"),))
    faults = Faults("single", 4, 1, 2, 0, 1, 1, results, False)
    found = verdicts("proof.core-short", facts(made, state(), faults=faults))
    assert list(found.values()) == ["pass", "pass", "fail", "fail"]
