"""Corners of the search for remedies, with edits and plans that are given instead of made."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest

from tests.planner.made import CATALOG, job_of
from wiring.model.finding import Finding, Verdict
from wiring.model.job import Connection, Job
from wiring.planner import remedy
from wiring.planner.remedy import Remedy, landed, singles
from wiring.planner.rewire import Edited

JOB = replace(
    job_of("reversing-contactors-24", "six-channel-stop-pair"),
    connections=(Connection("core:2", "receiver:9"),),
)


def numbered(n: int) -> Job:
    """The job with its one connection under another number, which no net notices."""
    return replace(JOB, connections=(replace(JOB.connections[0], number=str(n)),))


class Given:
    """Plans by the number of the connection: how many findings fail; edits: the numbers tried in turn."""

    def __init__(self, patch: pytest.MonkeyPatch, fails: dict[int, int], start: int = 3) -> None:
        self.fails, self.start, self.made = fails, start, 0
        edits = [Edited(numbered(n), str(n)) for n in fails]
        patch.setattr(remedy, "cures", lambda *_: iter(edits))
        patch.setattr(remedy, "search", lambda *_: SimpleNamespace(candidates=()))
        self.search = Remedy(self.plan(JOB), lambda job, _: self.plan(job))
        self.made = 0

    def plan(self, job: Job) -> Any:
        self.made += 1
        number = job.connections[0].number
        count = self.start if number is None else self.fails[int(number)]
        found = [Finding("r", str(n), "after", Verdict.FAIL, "design", 1, "", "") for n in range(count)]
        return SimpleNamespace(job=job, catalog=CATALOG, report=SimpleNamespace(findings=tuple(found)))


def test_the_best_of_a_step_is_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of edits that leave 3, 1 and 2 failing the one with 1 is taken; the first of equals stays."""
    given = Given(monkeypatch, {10: 3, 11: 1, 12: 2, 13: 1})
    best = given.search.step(given.search.start)
    assert best is not None and best.edited.what == "11"
    none = Given(monkeypatch, {10: 3, 11: 4})
    assert none.search.step(none.search.start) is None


def test_twelve_are_planned_in_a_step(monkeypatch: pytest.MonkeyPatch) -> None:
    """No more than twelve edits are planned, and three more after one that leaves nothing failing."""
    given = Given(monkeypatch, dict.fromkeys(range(10, 40), 2))
    given.search.step(given.search.start)
    assert given.made == 12
    given = Given(monkeypatch, {10: 2, 11: 0, **dict.fromkeys(range(12, 40), 2)})
    given.search.step(given.search.start)
    assert given.made == 2 + 3
    given.search.step(given.search.start)
    assert given.made == 2 + 3, "what was planned is not planned again"


def test_steps_follow_until_nothing_fails(monkeypatch: pytest.MonkeyPatch) -> None:
    """A job is improved as long as something fails and something helps, and then left alone."""
    given = Given(monkeypatch, {10: 2, 11: 0})
    whole = given.search.whole()
    assert whole.edited.what == "11" and whole.fails == frozenset()
    assert given.search.improved(given.search.start).edited.what == "11"
    stuck = Given(monkeypatch, {10: 2, 11: 2})
    assert stuck.search.whole().fails == {("r", "0"), ("r", "1")}
    good = Given(monkeypatch, {10: 0}, start=0)
    assert good.search.whole() is good.search.start and good.made == 0
    assert good.search.improved(good.search.start) is good.search.start and good.made == 0


def test_the_best_of_the_planners_own_wirings(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of the planner's wirings the one with least against it is taken, the first where nothing is."""
    for fails, best in (({20: 2, 21: 1, 22: 2}, "21"), ({20: 2, 21: 0, 22: 0}, "21"), ({20: 1, 21: 1}, "20")):
        given = Given(monkeypatch, fails)
        ways = [SimpleNamespace(proposal=SimpleNamespace(job=numbered(n))) for n in fails]
        monkeypatch.setattr(remedy, "cures", lambda *_: iter(()))
        monkeypatch.setattr(remedy, "search", lambda *_, w=ways: SimpleNamespace(candidates=w))
        found = given.search.proposed()
        assert found is not None and found.edited.job.connections[0].number == best
        assert given.made == (2 if fails.get(21) == 0 else len(fails))


def test_single_answers_are_much_smaller_than_the_whole(monkeypatch: pytest.MonkeyPatch) -> None:
    """A candidate counts for a finding where it breaks nothing and is at most half the whole."""
    given = Given(monkeypatch, {10: 2, 11: 1, 12: 4})
    for n in (10, 11, 12):
        given.search.planned(Edited(numbered(n), str(n)))
    small = {p.edited.what: p.size for p in given.search.tried.values()}
    assert small["10"] == small["11"] == small["12"] == 1
    whole = replace(given.search.start, size=2)
    found = [(p.edited.what, keys) for p, keys in singles(given.search, whole)]
    assert found == [("11", (("r", "1"), ("r", "2")))]
    assert singles(given.search, replace(whole, size=1)) == []


def test_screws_of_receiver_and_devices_count_as_landed() -> None:
    """Ends on cores, hoist and plug are no screws that could lose a wire."""
    rows = (
        Connection("core:2", "receiver:9"),
        Connection("hoist:X1.1", "S1:11"),
        Connection("plug:L", "S1:12"),
    )
    assert landed(replace(JOB, connections=rows)) == {"receiver:9", "S1:11", "S1:12"}
