"""Small edits of a wiring: what they try, in which order, and what they never do."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.planner.made import CATALOG, job_of
from wiring.circuit import build_after, build_before
from wiring.model.job import Connection, Job
from wiring.planner.oddness import Look
from wiring.planner.propose import search
from wiring.planner.rewire import Quick, ranked, repairs
from wiring.planner.trial import Trial


@pytest.fixture(scope="module")
def good() -> Job:
    """A wiring that stands."""
    return (
        search(job_of("capacitor-motor-direct-120", "two-channel-dry"), CATALOG, 1).candidates[0].proposal.job
    )


def look(job: Job) -> Look:
    return Look(job, build_after(job, CATALOG))


def swapped(job: Job, a: str, b: str) -> Job:
    """The job with the ends of two connections exchanged."""
    turn = {a: b, b: a}
    rows = (replace(r, to=turn.get(r.to, r.to), from_=turn.get(r.from_, r.from_)) for r in job.connections)
    return replace(job, connections=tuple(rows))


def test_a_good_wiring_looks_less_odd_than_any_slip_of_one_end(good: Job) -> None:
    """Dropping any connection of a good wiring never makes its list look better."""
    base = look(good).oddness(good.connections)
    for n in range(len(good.connections)):
        rest = (*good.connections[:n], *good.connections[n + 1 :])
        assert look(good).oddness(rest) >= base


def test_numbers_that_do_not_agree_are_odd(good: Job) -> None:
    """Ends of two chains exchanged put two wire numbers on one net, which is seen without simulating."""
    rows = list(good.connections)
    one = next(n for n, r in enumerate(rows) if r.to == "K10.up:1")
    other = next(n for n, r in enumerate(rows) if r.to == "K10.down:A2")
    rows[one], rows[other] = replace(rows[one], to=rows[other].to), replace(rows[other], to=rows[one].to)
    assert look(good).oddness(rows) >= look(good).oddness(good.connections) + 4


def test_every_slip_of_two_ends_is_undone_first_or_nearly(good: Job) -> None:
    """For slips that move something, a repair equal to the good circuit is among the first that stand."""
    trial = Trial(build_before(good, CATALOG))
    wanted = frozenset(frozenset((c.from_, c.to)) for c in good.connections)
    for a, b in (("core:2", "core:3"), ("receiver:COM2", "receiver:NO2"), ("S1:1", "K10.up:2")):
        found = [e for e, _ in zip(repairs(swapped(good, a, b), CATALOG, trial), range(4), strict=False)]
        pairs = [frozenset(frozenset((c.from_, c.to)) for c in e.job.connections) for e in found]
        assert found and (wanted in pairs or a.startswith("receiver:")), (a, b)


def test_no_edit_joins_the_protective_conductor_to_anything(good: Job) -> None:
    """Of all the edits tried for a good wiring with a wire missing none puts a current on the earth."""
    spoilt = replace(good, connections=good.connections[:-3])
    seen = look(spoilt)
    edits = ranked(spoilt, Quick(spoilt, CATALOG))
    assert len(edits) > 100 and seen.mixed(spoilt.connections) == 0
    assert all(seen.mixed(e.job.connections) == 0 for e in edits)
    joined = Connection("core:PE", "K10.up:A2")
    assert seen.mixed((*spoilt.connections, joined)) == 1


def test_the_quick_circuit_behaves_like_the_built_one(good: Job) -> None:
    """Circuits that are put together without wire sizes give the same answers as those built in full."""
    trial = Trial(build_before(good, CATALOG))
    quick = Quick(good, CATALOG)
    for job in (good, swapped(good, "core:2", "core:3"), replace(good, connections=good.connections[4:])):
        assert trial.look(quick.after(job)).wrong == trial.look(build_after(job, CATALOG)).wrong
