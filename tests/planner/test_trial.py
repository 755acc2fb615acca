"""The quick look at a conversion: good ones stand, each planted slip is seen."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from tests.planner.made import CATALOG, job_of
from tests.planner.slips import SPOILS
from wiring.circuit import build_after, build_before
from wiring.model.job import Job
from wiring.planner.propose import search
from wiring.planner.trial import Looking, Trial
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
