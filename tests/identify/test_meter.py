"""Expected readings as bands, against the resistance solver of the simulation."""

from __future__ import annotations

import random
from itertools import combinations

import pytest

from tests.campaign._cords import cord
from tests.identify.made import CATALOG
from wiring.identify.meter import CLOSED, FRAME, OPEN, Answer, Expect, Sheet, model
from wiring.identify.probe import Probe
from wiring.identify.volts import volts_of
from wiring.simulate import Network, expected_ohms

TYPES = sorted(CATALOG.hoists)


@pytest.mark.parametrize("id", TYPES)
def test_bands_hold_the_solver(id: str) -> None:
    """Every reading the solver gives between two cores lies in its band, on both sides, in every state."""
    m = model(CATALOG.hoists[id])
    network = Network(m.circuit)
    states = [frozenset[str](), *(frozenset({name}) for name in m.operated)]
    for side in ("handset", "hoist"):
        for wanted in (
            states if side == "handset" else [frozenset[str](), *(frozenset({n}) for n in m.limits)]
        ):
            sheet = m.sheet(side, wanted)
            for a, b in combinations(m.roles, 2):
                points = [f"pendant:{r}" if side == "handset" else f"core:{r}" for r in (a, b)]
                shown = expected_ohms(network, points[0], points[1], sheet.state, side)
                answer = Answer(word=shown) if isinstance(shown, str) else Answer(ohms=shown)
                assert sheet.expect(frozenset([a]), frozenset([b])).accepts(answer), (
                    side,
                    wanted,
                    a,
                    b,
                    shown,
                )


def test_bands_are_not_everything() -> None:
    """A band excludes: 24 V coils to earth are neither OL, nor closed, nor kilohms."""
    sheet = model(CATALOG.hoists["reversing-contactors-24"]).sheet("hoist", frozenset())
    coil = sheet.expect(frozenset(["up"]), frozenset([FRAME]))
    assert (coil.low, coil.high) == pytest.approx((3.1, 12.4))
    assert coil.accepts(Answer(ohms=6.2)) and not coil.accepts(Answer(word="OL"))
    assert not coil.accepts(Answer(ohms=0.2)) and not coil.accepts(Answer(ohms=100.0))


@pytest.mark.parametrize(
    ("expect", "answer", "fits"),
    [
        (CLOSED, Answer(ohms=0.0), True),
        (CLOSED, Answer(ohms=2.9), True),
        (CLOSED, Answer(ohms=3.1), False),
        (CLOSED, Answer(word="OL"), False),
        (OPEN, Answer(word="OL"), True),
        (OPEN, Answer(ohms=25e6), True),
        (OPEN, Answer(ohms=1e6), False),
        (OPEN, Answer(word="climbs"), False),
        (Expect(10.0, 40.0, False, False), Answer(ohms=8.6), True),
        (Expect(10.0, 40.0, False, False), Answer(ohms=8.4), False),
        (Expect(10.0, 40.0, False, False), Answer(ohms=44.4), True),
        (Expect(10.0, 40.0, False, False), Answer(ohms=44.6), False),
        (Expect(0.0, -1.0, False, True), Answer(word="climbs"), True),
        (Expect(0.0, -1.0, False, True), Answer(word="OL"), False),
    ],
)
def test_edges_of_the_answer_classes(expect: Expect, answer: Answer, fits: bool) -> None:
    """Each class takes in what its tolerance says and nothing beyond."""
    assert expect.accepts(answer) is fits


def test_tied_groups_read_as_any_of_their_pairs() -> None:
    """Groups close where one core of each closes, and two coils in parallel read half of one."""
    m = model(CATALOG.hoists["reversing-contactors-24"])
    held = m.sheet("handset", frozenset({"button:up"}))
    assert held.expect(frozenset(["up", "earth"]), frozenset(["feed", "down"])) == CLOSED
    assert held.expect(frozenset(["down", "earth"]), frozenset(["feed", "up"])) == OPEN
    both = m.sheet("hoist", frozenset()).expect(frozenset(["up", "down"]), frozenset([FRAME]))
    assert (both.low, both.high) == pytest.approx((1.55, 6.2))


def test_capacitor_in_the_handset_climbs() -> None:
    """A large capacitor between two cores climbs, and the wire beside it hides it."""
    m = model(CATALOG.hoists["capacitor-in-handset-230"])
    rest: Sheet = m.sheet("handset", frozenset())
    pair = rest.expect(frozenset(["up"]), frozenset(["down"]))
    assert pair.moves and not pair.open and pair.high < pair.low


def test_stop_opens_the_handset() -> None:
    """With the stop held down the up button closes nothing."""
    m = model(CATALOG.hoists["reversing-contactors-24"])
    held = m.sheet("handset", frozenset({"button:up", "stop"}))
    assert held.expect(frozenset(["feed"]), frozenset(["up"])) == OPEN


def test_live_volts_come_from_the_simulation() -> None:
    """Feed of the 24 V hoist stands at 24 V to earth, its coil cores at 0."""
    volts = volts_of(model(CATALOG.hoists["reversing-contactors-24"]))
    assert volts["feed"] == pytest.approx(24.0, rel=0.01)
    assert volts["up"] == pytest.approx(0.0, abs=0.01)


def test_tied_groups_read_as_the_circuit_does() -> None:
    """Random groups of cores and the frame tied to the leads: the solver's ohms lie in the sheet's band."""
    rng = random.Random(7)
    for hoist in CATALOG.hoists.values():
        one = cord(hoist, rng, 1)
        role = {core: name for name, core in one.at.items()}
        sheet = model(hoist).sheet("hoist", frozenset())
        for _ in range(15):
            ends = {name: rng.choice("ab-") for name in (*(core.id for core in one.cores), FRAME)}
            a, b = (frozenset(name for name, end in ends.items() if end == lead) for lead in "ab")
            if a and b:
                ends_of = [frozenset(role.get(name, name) for name in group) for group in (a, b)]
                expect = sheet.expect(*ends_of)
                assert expect.accepts(one.read(Probe(a, b, "hoist"), rng)), (hoist.id, a, b)
