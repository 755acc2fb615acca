"""The quick look at a conversion: good ones stand, each planted slip is seen."""

from __future__ import annotations

import random
from dataclasses import replace
from types import MappingProxyType, SimpleNamespace
from typing import Any

import pytest

from tests.planner.made import CATALOG, job_of
from tests.planner.slips import SPOILS
from tests.simulate.circuits import capacitor_hoist, circuit, contactor_hoist, part, receiver_hoist
from wiring.circuit import build_after, build_before
from wiring.model.circuit import Circuit, Output, Stop
from wiring.model.job import Job
from wiring.planner.propose import search
from wiring.planner.trial import Looking, Trial
from wiring.simulate.network import Network
from wiring.simulate.states import At

PAIRS = (
    ("capacitor-motor-direct-120", "two-channel-dry"),
    ("reversing-contactors-24", "six-channel-stop-pair"),
)


@pytest.fixture(scope="module", params=PAIRS, ids=lambda p: p[0])
def good(request: pytest.FixtureRequest) -> tuple[Job, Trial]:
    """A job with a wiring that stands."""
    job = job_of(*request.param)
    return search(job, CATALOG, 1).candidates[0].proposal.job, Trial(build_before(job, CATALOG))


def test_a_good_wiring_stands_in_many_states(
    good: tuple[Job, Trial], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nothing is wrong, and more states were looked at than there are keys."""
    job, trial = good
    seen: list[int] = []
    at = Looking.at

    def counted(self: Looking, state: int) -> At:
        seen.append(state)
        return at(self, state)

    monkeypatch.setattr(Looking, "at", counted)
    assert trial.look(build_after(job, CATALOG)).wrong == () and len(seen) > 20


@pytest.mark.parametrize(
    "kind, says",
    [
        ("beyond limit", "limit:"),
        ("join returns", "held"),
        ("false neutral", "held"),
    ],
)
def test_a_planted_slip_is_seen(good: tuple[Job, Trial], kind: str, says: str) -> None:
    """A slip that changes what moves or stops is named with its state."""
    job, trial = good
    spoilt = SPOILS[kind](job, CATALOG, random.Random(3))
    assert spoilt is not None
    wrong = trial.look(build_after(spoilt, CATALOG)).wrong
    assert any(says in line for line in wrong), wrong


def test_a_missing_stop_is_seen() -> None:
    """A motor hoist without its wired stop has nothing near the operator that ends a motion."""
    job = search(job_of(*PAIRS[0]), CATALOG, 1).candidates[0].proposal.job
    spoilt = SPOILS["no stop"](job, CATALOG, random.Random(3))
    assert spoilt is not None
    wrong = Trial(build_before(job, CATALOG)).look(build_after(spoilt, CATALOG)).wrong
    assert any("no stop near the operator" in line for line in wrong)


def test_swapped_directions_are_seen() -> None:
    """Up and down exchanged at the contactors is wrong in the first key that is tried."""
    job = search(job_of(*PAIRS[0]), CATALOG, 1).candidates[0].proposal.job
    turned = {"core:2": "core:3", "core:3": "core:2"}
    rows = tuple(replace(r, from_=turned.get(r.from_, r.from_)) for r in job.connections)
    wrong = Trial(build_before(job, CATALOG)).look(build_after(replace(job, connections=rows), CATALOG)).wrong
    assert wrong[0] == "key:up held: hoist down instead of hoist up"


def test_a_hoist_without_main_contactor_fails_the_weld() -> None:
    """Direct wiring of a hoist whose stop opens coils only: nothing near ends a welded contactor."""
    tried = search(job_of("reversing-contactors-24", "six-channel-stop-pair"), CATALOG)
    assert any(line.startswith("direct: weld: hoist:K1 stuck in") for line in tried.refused)
    assert all(c.choice.main for c in tried.candidates if c.choice.drive == "direct")


def test_looking_stops_when_enough_is_wrong() -> None:
    """With a bound, no more lines than asked for are collected."""
    job = search(job_of(*PAIRS[0]), CATALOG, 1).candidates[0].proposal.job
    bare = replace(job, connections=())
    trial = Trial(build_before(job, CATALOG))
    assert len(trial.look(build_after(bare, CATALOG), enough=2).wrong) == 2
    assert len(trial.look(build_after(bare, CATALOG)).wrong) > 2


# -- two keys together, races, stops: small circuits -------------------------------------------------

EXPECTED = MappingProxyType({"button:up": ("hoist up",), "button:down": ("hoist down",)})


def wrong(after: Circuit, **found: Any) -> tuple[str, ...]:
    return Trial(contactor_hoist(expected=EXPECTED, **found)).look(after).wrong


def linked(made: Circuit, *names: str, **more: Any) -> Circuit:
    """The circuit with some contacts bridged."""
    parts = (replace(p, kind="wire", form="", by="") if p.name in names else p for p in made.parts)
    return replace(made, parts=tuple(parts), **more)


def test_two_keys_that_short_the_motor_lines_are_told_once() -> None:
    """Without any interlock both contactors come in and two lines meet; it is said for the pair, once."""
    lines = wrong(linked(receiver_hoist(), "K1.nc", "K2.nc", interlocks=()))
    assert len(lines) == 1
    assert lines[0].startswith("key:up held, key:down held:") and lines[0].endswith("shorted")


def test_a_race_that_a_mechanical_interlock_decides_is_none() -> None:
    """Crossed contacts alone leave two ends possible; with the mechanical interlock one comes in."""
    assert wrong(receiver_hoist()) == ()
    lines = wrong(receiver_hoist(interlocks=()))
    assert [line for line in lines if "two ends are possible" in line]
    assert {line.partition(":")[0] for line in lines} == {"key"} and len(lines) == len(set(lines))


def test_a_race_under_one_key_is_told() -> None:
    """An output that feeds both contactors lets the faster decide: that is told for this key."""
    both = part("receiver:UP2", "contact", "C2 DNH", "output:receiver:UP")
    made = receiver_hoist()
    lines = wrong(replace(made, parts=(*made.parts, both)))
    assert "key:up held: two ends are possible" in lines


def capacitor_receiver(**more: Any) -> Circuit:
    """The capacitor hoist with the receiver's contacts where the handset's were."""
    old = capacitor_hoist()
    gone = {"ES", "SU", "SD", "core:1", "core:2", "core:3"}
    kept = [p for p in old.parts if p.name not in gone]
    outputs = tuple(
        Output(f"receiver:{k.upper()}", f"key:{k}", "momentary", "logic", "opens", "off", True)
        for k in ("up", "down")
    )
    kept += [
        part("receiver:supply", "supply-input", "LF N", minimum=100, maximum=250, power=12),
        part("receiver:UP", "contact", "LF UPH", "output:receiver:UP"),
        part("receiver:DOWN", "contact", "LF DNH", "output:receiver:DOWN"),
    ]
    return circuit(
        kept, "key:up key:down limit:up limit:down thermal:TP link supply", about="after", outputs=outputs,
        motors=old.motors, brakes=old.brakes, auto_reset=old.auto_reset, **more,
    )  # fmt: skip


def test_a_motor_that_stands_under_current_is_told_where_the_pendant_did_not_do_it() -> None:
    """Both keys stall a capacitor motor. Where the handset let only one button in that is new and told;
    where it stalled with both buttons as well it is not."""
    stalls = "key:up held, key:down held: motor stands under current"
    apart = Trial(capacitor_hoist(expected=EXPECTED, exclusive=(("button:up", "button:down"),)))
    assert apart.look(capacitor_receiver()).wrong == (stalls,)
    free = Trial(capacitor_hoist(expected=EXPECTED))
    assert free.look(capacitor_receiver()).wrong == ()


def test_steps_of_one_button_are_no_pair() -> None:
    """UP with its own second step is one way to press one key, not two keys together."""
    made = job_of("two-speed-crane-115", "eight-channel-two-speed")
    good = search(made, CATALOG, 1).candidates[0].proposal.job
    trial = Trial(build_before(good, CATALOG))
    network = Network(build_after(good, CATALOG))
    seen: list[str] = []

    class Watched(Looking):
        def state(self, *names: str) -> int:
            if len(names) == 2:
                seen.append(" ".join(names))
            return super().state(*names)

    assert list(Watched(trial, network).pairs()) == []
    assert "key:up key:down" in seen and "key:up key:down.2" in seen
    assert "key:up key:up.2" not in seen and "key:down key:up" not in seen


def test_only_a_wired_stop_has_to_end_every_motion() -> None:
    """Another stop near the operator that does not end a motion is told only where no other does."""
    made = receiver_hoist()
    inputs = (*made.inputs, *(replace(made.inputs[0], name=f"stop:{n}", kind="stop") for n in ("S1", "S2")))
    near = part("S1", "contact", "C1 C9", "stop:S1", "NC")
    behind = part("OL", "contact", "C9 C2", "thermal:OL", "NC")
    parts = (*(p for p in made.parts if p.name != "OL"), near, behind)

    def told(kind: str, rank: int = 2) -> tuple[str, ...]:
        stops = (
            Stop("stop:S1", "wired emergency stop", 2, ("S1",)), Stop("stop:S2", kind, rank, ("S2",)),
        )  # fmt: skip
        after = replace(made, inputs=inputs, parts=parts, stops=stops)
        return wrong(after, stops=(Stop("stop:ES", "pendant stop", 3, ("ES",)),))

    assert not [line for line in told("isolator") if "pressed" in line]
    assert "key:up held, stop:S2 pressed: hoist up" in told("wired emergency stop")
    assert not [line for line in told("wired emergency stop", 1) if "pressed" in line]


def test_a_contact_without_cause_is_wrong_at_once() -> None:
    """A circuit with a contact that nothing closes cannot be looked at, and says which contact."""
    made = receiver_hoist()
    lost = part("X", "contact", "C1 C2", "coil:K77")
    seen = Trial(contactor_hoist(expected=EXPECTED)).look(replace(made, parts=(*made.parts, lost)))
    assert not seen.stands and len(seen.wrong) == 1 and "K77" in seen.wrong[0]


def test_a_short_under_one_key_is_told() -> None:
    """An output that also bridges the control supply shorts it as soon as its key is held."""
    short = part("receiver:UP2", "contact", "C1 X2", "output:receiver:UP")
    made = receiver_hoist()
    lines = wrong(replace(made, parts=(*made.parts, short)))
    assert [line for line in lines if line.startswith("key:up held: ") and line.endswith(" shorted")]
    assert "key:up held: a fuse blows" in lines
    assert not any(line.startswith("key:down held: ") for line in lines)
    lines = wrong(linked(made, "receiver:UP", interlocks=made.interlocks))
    assert lines and lines[0].startswith("rest: hoist up instead of nothing")


def test_a_motion_that_only_two_keys_together_give_is_told() -> None:
    """Two outputs in series move nothing alone; that both together do is a motion without its key."""
    made = receiver_hoist()
    series = (
        part("receiver:UP", "contact", "C2 M", "output:receiver:UP"),
        part("receiver:DOWN", "contact", "M UPH", "output:receiver:DOWN"),
    )
    parts = (*(p for p in made.parts if p.name not in ("receiver:UP", "receiver:DOWN")), *series)
    lines = wrong(replace(made, parts=parts), exclusive=(("button:up", "button:down"),))
    assert "key:up held, key:down held: hoist up without its key" in lines


def test_a_missing_key_has_no_stop_to_try() -> None:
    """With stops near the operator a key that is not there is told once, and the others are tried."""
    made = receiver_hoist(stops=(Stop("stop:S1", "wired emergency stop", 2, ("S1",)),))
    inputs = tuple(i for i in made.inputs if i.name != "key:down")
    inputs = (*inputs, replace(made.inputs[0], name="stop:S1", kind="stop"))
    parts = tuple(p for p in made.parts if p.name != "receiver:DOWN")
    lines = wrong(replace(made, inputs=inputs, parts=parts, outputs=made.outputs[:1]))
    assert "key:down is not there" in lines and "key:up held, stop:S1 pressed: hoist up" in lines


def test_an_interlock_decides_where_each_end_has_one_of_its_coils() -> None:
    """A race is decided where in every end a coil that a bar keeps apart is in; one end without is open."""
    trial = Trial(contactor_hoist(expected=EXPECTED))
    looking = Looking(trial, Network(receiver_hoist()))
    barred = [bool(coil.against) for coil in looking.network.coils]
    inside, outside = (1 << barred.index(flag) for flag in (True, False))

    def apart(*ends: int, restless: bool = False) -> bool:
        run = SimpleNamespace(restless=restless, ends=[SimpleNamespace(coils=end) for end in ends])
        return looking.kept_apart(SimpleNamespace(run=run))  # type: ignore[arg-type]

    assert apart(inside, inside | outside) and not apart(inside, inside, restless=True)
    assert not apart(inside, outside) and not apart(outside, inside) and not apart(0)
