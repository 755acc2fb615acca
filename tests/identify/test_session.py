"""The session: gate, questions, answers, wrong readings, what stays open."""

from __future__ import annotations

import datetime
from dataclasses import replace

import pytest

from tests.identify.made import AT, CATALOG, GATE, asked, found, session
from wiring.identify.meter import FRAME, Answer
from wiring.identify.probe import Probe, Taken
from wiring.model.job import Core, Gate
from wiring.model.value import Amount

FOUR = {"feed": "3", "up": "1", "down": "4", "earth": "2"}
FOUR_TYPES = [
    "capacitor-motor-direct-120", "capacitor-motor-direct-230", "capacitor-in-handset-230",
    "capacitor-motor-direct-240-two-line", "reversing-contactors-24", "reversing-contactors-48",
    "reversing-contactors-115", "reversing-contactors-24-unearthed",
]  # fmt: skip


@pytest.mark.parametrize("id", FOUR_TYPES)
@pytest.mark.parametrize("ties", [True, False])
def test_four_core_types_are_found(id: str, ties: bool) -> None:
    """Every four-core type is found with its roles, certain, in few readings."""
    made, log = asked(session(id, 4, ties=ties), id, FOUR)
    assert made.certain and [t.id for t in made.types() if t.standing == "certain"] == [id]
    assert found(made) == FOUR
    assert sum(w.purpose == "confirm" for w in log) <= 6
    assert ties or all(w.probe is not None and w.probe.ties == 0 for w in log)


def test_gate_comes_first() -> None:
    """Without the isolation gate nothing is asked for but the gate, and its open steps are named."""
    made = session("reversing-contactors-24", 4)
    wanted = replace(made, gate=None).wanted()
    assert wanted is not None and wanted.kind == "gate" and "tester_proved" in wanted.missing
    half = replace(GATE, tester_proved_again=None)
    wanted = made.isolated(half).wanted()
    assert wanted is not None and wanted.missing == ("tester_proved_again",)
    wanted = made.isolated(replace(GATE, poles_dead=False)).wanted()
    assert wanted is not None and wanted.missing == ("poles_dead",)


def test_charged_capacitor_keeps_the_gate_shut() -> None:
    """More volts on the capacitor than the catalog's limit: no reading."""
    made = session("reversing-contactors-24", 4)
    at_limit = replace(GATE, capacitor_volts=Amount(50.0, "voltage", "50 V"))
    above = replace(GATE, capacitor_volts=Amount(51.0, "voltage", "51 V"))
    assert made.isolated(at_limit).wanted().kind == "reading"  # type: ignore[union-attr]
    wanted = made.isolated(above).wanted()
    assert wanted is not None and wanted.missing == ("capacitor_volts",)


def test_gate_again_after_a_pause() -> None:
    """Fifteen minutes without a reading are allowed, a second more asks for the whole gate again."""
    made = session("reversing-contactors-24", 4)
    later = AT + datetime.timedelta(minutes=15)
    assert made.wanted(later).kind == "reading"  # type: ignore[union-attr]
    wanted = made.wanted(later + datetime.timedelta(seconds=1))
    assert wanted is not None and wanted.kind == "gate" and "poles_dead" in wanted.missing


def test_never_ends_on_one_reading() -> None:
    """The last reading that singles out an answer is always followed by one that confirms it."""
    made, log = asked(session("reversing-contactors-24", 4), "reversing-contactors-24", FOUR)
    purposes = [w.purpose for w in log]
    assert "confirm" in purposes and purposes.index("confirm") > purposes.index("identify")
    single = session("reversing-contactors-24", 4)
    for wanted in log[: purposes.index("confirm")]:
        assert wanted.probe is not None
        single = single.take(next(t for t in made.taken if t.probe == wanted.probe))
        assert not single.certain


@pytest.mark.parametrize("number", range(6))
def test_one_wrong_reading_is_not_believed(number: int) -> None:
    """Whichever reading goes wrong, the session ends certain and right, or not certain."""
    for answer in (Answer(word="OL"), Answer(ohms=0.2), Answer(ohms=900.0)):
        made, _ = asked(
            session("reversing-contactors-24", 4), "reversing-contactors-24", FOUR, {number: answer}
        )
        if made.certain:
            assert found(made) == FOUR


def test_contradiction_names_readings() -> None:
    """Two readings that cannot both be true are named, and one of them is to be repeated."""
    made = session("reversing-contactors-24", 4)
    probe = Probe(frozenset("1"), frozenset("3"), "handset", frozenset({"button:up"}))
    made = made.take(Taken(Probe(frozenset("2"), frozenset("3"), "handset"), Answer(word="OL")))
    assert made.contradiction() is None
    made = made.take(Taken(probe, Answer(ohms=0.3))).take(Taken(probe, Answer(word="OL")))
    clash = made.contradiction()
    assert clash is not None and clash.readings == (1, 2) and clash.repeat in (1, 2)
    assert not made.certain


def test_direction_by_an_opened_limit() -> None:
    """Up and down stay a named pair until the opened limit is read; skipping it leaves them so."""
    made = session("reversing-contactors-24", 4)
    done, log = asked(made, "reversing-contactors-24", FOUR)
    last = log[-1]
    assert last.purpose == "direction" and last.probe is not None and last.probe.state == {"limit:up"}
    assert done.symmetric() == () and not done.crossed
    before = done.taken[:-1]
    again = made
    for taken in before:
        again = again.take(taken)
    assert [pair.roles for pair in again.symmetric()] == [("up", "down")]
    skipped = again.skip(last.probe)
    assert skipped.wanted() is None or skipped.wanted().purpose == "direction"  # type: ignore[union-attr]


def test_crossed_labels_are_seen() -> None:
    """The up limit acting on the down button's core is crossed, and no direction is claimed."""
    made = session("reversing-contactors-24", 4)
    done, log = asked(made, "reversing-contactors-24", FOUR)
    again = made
    for taken in done.taken[:-1]:
        again = again.take(taken)
    probe = log[-1].probe
    assert probe is not None
    crossed = again.take(Taken(probe, Answer(ohms=6.2)))
    assert crossed.crossed
    assert [pair.roles for pair in crossed.symmetric()] == [("up", "down")]


def test_live_readings_need_a_name() -> None:
    """Without a qualified person in the gate no live reading is proposed, whatever is left."""
    cores = tuple(Core(str(i + 1)) for i in range(4))
    two = ("capacitor-motor-direct-230", "capacitor-motor-direct-240-two-line")
    small = replace(CATALOG, hoists={id: CATALOG.hoists[id] for id in two})
    at = FOUR
    from wiring.identify import Session

    made = Session.start(small, cores, GATE, buttons=frozenset({"up", "down", "stop"}))
    done, log = asked(made, two[0], at)
    assert all(w.probe is not None and not w.probe.live for w in log)
    assert {t.id for t in done.types() if t.standing != "unlikely"} == set(two)
    named = done.isolated(replace(GATE, qualified_person="A. Person, 1234"))
    wanted = named.wanted()
    assert wanted is None or wanted.purpose == "live"


def test_colour_is_never_identity() -> None:
    """Colours change nothing: the same readings on painted cores give the same roles and questions."""
    plain = session("reversing-contactors-24", 4)
    painted = replace(plain, cores=tuple(Core(c.id, "green") for c in plain.cores))
    one, log = asked(plain, "reversing-contactors-24", FOUR)
    two, other = asked(painted, "reversing-contactors-24", FOUR)
    assert [w.probe for w in log] == [w.probe for w in other] and found(one) == found(two)


def test_spare_core_is_a_spare() -> None:
    """A fifth core on a four-core type is found to be a spare and read against all others at both ends."""
    id = "reversing-contactors-24"
    made, log = asked(session(id, 5), id, FOUR)
    assert made.certain and found(made) == FOUR
    assert next(r for r in made.roles() if r.core == "5").role == "spare"
    sides = {w.probe.side for w in log if w.purpose == "cover" and w.probe is not None and w.probe.a == {"5"}}
    assert sides == {"handset", "hoist"}


def test_both_ends_of_every_core_are_read() -> None:
    """At the end every core was read at the hoist, and every core but earth at the handset."""
    id = "reversing-contactors-24"
    made, _ = asked(session(id, 4), id, FOUR)
    seen: dict[str, set[str]] = {"handset": set(), "hoist": set()}
    for taken in made.taken:
        seen[taken.probe.side] |= taken.probe.a | taken.probe.b
    assert seen["hoist"] - {FRAME} == set("1234") and seen["handset"] >= set("134")


def test_skip_and_no_button() -> None:
    """A skipped reading is not asked again; a button that is not there rules out the types that have it."""
    made = session("reversing-contactors-24", 4, buttons=None)
    wanted = made.wanted()
    assert wanted is not None and wanted.probe is not None
    after = made.skip(wanted.probe).wanted()
    assert after is not None and after.probe != wanted.probe
    without = session("reversing-contactors-24", 5, buttons=None).without("stop")
    assert without.models and all("stop" not in m.buttons for m in without.models)


def test_supply_rules_types_out() -> None:
    """A single-phase supply leaves no three-phase type and no winch; an unknown supply leaves all."""
    made = session("capacitor-motor-direct-120", 4, buttons=None, system="1ph L-N")
    assert {m.hoist.supply_system for m in made.models} == {"1ph L-N"}
    every = session("capacitor-motor-direct-120", 12, buttons=None, system=None)
    assert len(every.models) == len(CATALOG.hoists)


def test_too_few_cores_rule_a_type_out() -> None:
    """A type with more cores than the cord has is no candidate."""
    made = session("reversing-contactors-24", 3, buttons=None, system=None)
    assert made.models and all(len(m.roles) <= 3 for m in made.models)


def test_a_hoist_outside_the_catalog_is_not_certain() -> None:
    """Readings that no type explains never end as certain."""
    made = session("reversing-contactors-24", 4)
    for pair in (("1", "2"), ("1", "3"), ("1", "4"), ("2", "3"), ("2", "4"), ("3", "4")):
        for side in ("handset", "hoist"):
            probe = Probe(frozenset([pair[0]]), frozenset([pair[1]]), side)
            made = made.take(Taken(probe, Answer(ohms=47e3)))
    assert not made.certain and made.contradiction() is not None


def test_an_empty_gate_is_no_gate() -> None:
    """A gate without its facts asks for every step."""
    made = session("reversing-contactors-24", 4)
    wanted = replace(made, gate=Gate()).wanted()
    assert wanted is not None and len(wanted.missing) == 8
