"""Corners of the search for remedies, with edits and plans that are given instead of made."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest

from tests.planner.made import CATALOG, job_of
from wiring.files import AddEntry, SetKey, catalog_root, load_job
from wiring.model.finding import Finding, Verdict
from wiring.model.job import Connection, Job
from wiring.model.proposal import Change
from wiring.planner import remedy
from wiring.planner.remedy import Key, Planned, Remedy, landed, remedies, singles
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


# -- the whole change, without and with faults -----------------------------------------------------


def test_many_failures_that_move_wrongly_are_laid_out_anew(monkeypatch: pytest.MonkeyPatch) -> None:
    """Above six failures in a wiring that does not stand a planner's wiring without failure is taken at
    once; where it stands, or with six, small edits are tried first and may do."""
    for start, stands, best in ((7, False, "20"), (7, True, "11"), (6, False, "11")):
        given = Given(monkeypatch, {10: 6 if start == 6 else 7, 11: 0, 20: 0}, start)
        edits = iter([[Edited(numbered(10), "10")], [Edited(numbered(11), "11")]])
        monkeypatch.setattr(remedy, "cures", lambda *_, e=edits: iter(next(e, ())))
        way = SimpleNamespace(proposal=SimpleNamespace(job=numbered(20)))
        monkeypatch.setattr(remedy, "search", lambda *_, w=way: SimpleNamespace(candidates=(w,)))
        monkeypatch.setattr(given.search, "stands", lambda _, s=stands: s)
        assert given.search.whole().edited.job.connections[0].number == best, (start, stands)


def test_an_unset_mode_is_set_where_that_helps(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where no small edit answers all, the outputs set as a hoist's must be are a candidate of their own."""
    given = Given(monkeypatch, {10: 1}, 2)
    monkeypatch.setattr(remedy, "cures", lambda *_: iter(()))
    monkeypatch.setattr(remedy, "settings", lambda *_: numbered(10))
    assert given.search.whole().edited.what == "set to momentary"
    monkeypatch.setattr(remedy, "settings", lambda *_: JOB)
    assert given.search.settled() is given.search.start


def test_an_edit_that_puts_current_on_the_earth_is_never_best(monkeypatch: pytest.MonkeyPatch) -> None:
    """A row that joins the earth to a motion is planned and passed over, however much it answers."""
    given = Given(monkeypatch, {10: 2})
    bad = replace(JOB, connections=(*numbered(10).connections, Connection("core:PE", "core:2")))
    given.fails[10] = 0
    monkeypatch.setattr(remedy, "cures", lambda *_: iter([Edited(bad, "bad")]))
    assert given.search.step(given.search.start) is None and given.made == 1


def proving(
    patch: pytest.MonkeyPatch, light: dict[int, int], heavy: dict[int, int], anew: tuple[int, ...] = ()
) -> tuple[str | None, int]:
    """The number of the row that stands best with faults, and how many plans with faults were made.
    light, heavy: failures without and with faults by number."""
    one, two = Given(patch, light), Given(patch, heavy)
    patch.setattr(remedy, "cures", lambda *_: iter(()))
    ways = [SimpleNamespace(proposal=SimpleNamespace(job=numbered(n))) for n in anew]
    patch.setattr(remedy, "search", lambda *_: SimpleNamespace(candidates=ways))
    for n in light:
        one.search.planned(Edited(numbered(n), str(n)))
    whole = min(one.search.tried.values(), key=lambda p: p.worth)
    found = remedy.proved(one.search, two.search, whole)
    return found.edited.job.connections[0].number, two.made


def test_changes_are_proved_in_their_order(monkeypatch: pytest.MonkeyPatch) -> None:
    """The first that stands every fault ends it; four are tried at most; the best of them is taken."""
    assert proving(monkeypatch, {10: 0, 11: 0, 12: 0}, {10: 1, 11: 0, 12: 0}) == ("11", 2)
    six = dict.fromkeys(range(10, 16), 0)
    assert proving(monkeypatch, six, {10: 2, 11: 1, 12: 2, 13: 2, 14: 0, 15: 0}) == ("11", 4)
    assert proving(monkeypatch, {10: 2, 11: 1}, {10: 0, 11: 1}) == ("11", 1), "none answers all without"


def test_where_none_is_proved_the_first_own_wiring_is(monkeypatch: pytest.MonkeyPatch) -> None:
    """The planner's first wiring is planned with faults, and taken where it is better; its second is not."""
    heavy = {10: 2, 20: 1, 21: 0}
    assert proving(monkeypatch, {10: 0}, heavy, (20, 21)) == ("20", 2)
    assert proving(monkeypatch, {10: 0}, {10: 1, 20: 3}, (20,)) == ("10", 2)
    assert proving(monkeypatch, {10: 0}, {10: 0, 20: 0}, (20,)) == ("10", 1)


class Whole:
    """`remedies` with plans and changes that are given; planned: which plan function made each plan."""

    def __init__(self, patch: pytest.MonkeyPatch, light: dict[int, int], small: tuple[int, ...] = ()) -> None:
        self.given, self.planned = Given(patch, light, 2), list[str]()
        found = [(self.given.search.planned(Edited(numbered(n), str(n))), (("r", str(n)),)) for n in small]
        patch.setattr(remedy, "singles", lambda *_: found)
        patch.setattr(remedy, "change", self.change)

    def change(self, search: Remedy, found: Planned, text: str, answered: tuple[Key, ...]) -> Change | None:
        name = found.edited.job.connections[0].number or "start"
        if name == "19":
            return None
        diff = "10" if name == "18" else name
        words = tuple(f"{rule} {subject}" for rule, subject in answered)
        return Change((), words, diff, found.edited.job, found.plan, text=text)

    def plan(self, job: Job, faults: bool, word: str) -> Any:
        self.planned.append(word)
        made = self.given.plan(job)
        behaviour = SimpleNamespace(faults=() if faults else None)
        return SimpleNamespace(**vars(made), before=1, after=1, behaviour=behaviour)

    def run(self, faulty: bool, prove: bool) -> tuple[Change, ...]:
        return remedies(
            self.plan(JOB, faulty, "start"), lambda job, _: self.plan(job, False, "light"), "text",
            (lambda job, _: self.plan(job, True, "heavy")) if prove else None,
        )  # fmt: skip


def test_the_search_plans_without_faults_and_proves_with_them(monkeypatch: pytest.MonkeyPatch) -> None:
    """A start without faults is proved first; one with them is not planned again, but for the search."""
    made = Whole(monkeypatch, {10: 0})
    (whole,) = made.run(faulty=False, prove=False)
    assert made.planned == ["start", "light"] and whole.whole and whole.answers == ("r 0", "r 1")
    made = Whole(monkeypatch, {10: 0})
    made.run(faulty=False, prove=True)
    assert made.planned == ["start", "heavy", "light", "light", "heavy"]
    made = Whole(monkeypatch, {10: 0})
    made.run(faulty=True, prove=True)
    assert made.planned == ["start", "light", "light", "heavy"]
    made = Whole(monkeypatch, {10: 0})
    made.run(faulty=True, prove=False)
    assert made.planned == ["start", "light", "light"]


def test_the_whole_change_comes_last_with_what_it_leaves(monkeypatch: pytest.MonkeyPatch) -> None:
    """Smaller changes first, without those that would not load and those that are the whole itself."""
    made = Whole(monkeypatch, {10: 1, 17: 1, 18: 1, 19: 1}, small=(17, 18, 19))
    found = made.run(faulty=False, prove=False)
    assert [(c.diff, c.whole) for c in found] == [("17", False), ("10", True)]
    assert found[0].answers == ("r 17",) and found[1].leaves == ("r 0: ",)
    nothing = Whole(monkeypatch, {10: 2})
    assert nothing.run(faulty=False, prove=False) == ()
    alone: Any = SimpleNamespace(before=None, after=1)
    assert remedies(alone, lambda *_: alone) == ()
    half: Any = SimpleNamespace(before=1, after=None)
    assert remedies(half, lambda *_: half) == ()


def test_what_is_answered_is_not_wired_anew(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where steps leave nothing failing the planner's own wirings are not planned at all."""
    given = Given(monkeypatch, {10: 2, 20: 0})
    edits = iter([[Edited(numbered(10), "10")], [Edited(numbered(20), "20")]])
    monkeypatch.setattr(remedy, "cures", lambda *_: iter(next(edits, ())))
    asked: list[Job] = []

    def search(job: Job, _: Any) -> Any:
        asked.append(job)
        return SimpleNamespace(candidates=())

    monkeypatch.setattr(remedy, "search", search)
    assert given.search.whole().edited.what == "20" and asked == []


def test_an_added_entry_is_as_large_as_its_keys() -> None:
    """A connection with two ends and a conductor brings three keys, a key that is set brings none more."""
    assert remedy._rows(AddEntry("connection", Connection("a", "b", "W1:1"))) == 3
    assert remedy._rows(AddEntry("connection", Connection("a", "b"))) == 2
    assert remedy._rows(SetKey("connection.0.to", "x")) == 0


def test_a_change_is_shown_as_lines_of_the_file() -> None:
    """The diff takes lines off and puts lines in, each on a line of its own, with the file's name; a change
    that the file would not load with is none."""
    path = catalog_root() / "demo" / "malt-second-plan.toml"
    job, text = load_job(path), path.read_text("utf-8")
    search: Any = SimpleNamespace(base=job, catalog=CATALOG)

    def made(other: Job) -> Change | None:
        found: Any = SimpleNamespace(edited=Edited(other, "x"), plan=None)
        return remedy.change(search, found, text, (("a.rule", "K1"),))

    less = made(replace(job, connections=job.connections[:-1]))
    assert less is not None and less.answers == ("a.rule K1",) and less.text != text
    lines = less.diff.splitlines()
    assert lines[0] == "--- malt-second-plan.toml" and lines[1] == "+++ malt-second-plan.toml with the remedy"
    gone = [line[1:] for line in lines[2:] if line.startswith("-")]
    assert "[[connection]]" in gone and f'to = "{job.connections[-1].to}"' in gone
    assert all(line in text.splitlines() for line in gone)
    assert not [line for line in lines[2:] if line.startswith("+")]
    assert made(replace(job, connections=(Connection("nowhere:1", "core:99"),))) is None


def test_of_equals_the_one_found_first_stays(monkeypatch: pytest.MonkeyPatch) -> None:
    """A change as good as the one before, or a planner's wiring as good as the steps, is no gain."""
    assert proving(monkeypatch, {10: 0, 11: 0}, {10: 1, 11: 1}) == ("10", 2)
    given = Given(monkeypatch, {10: 1, 20: 1})
    edits = iter([[Edited(numbered(10), "10")]])
    monkeypatch.setattr(remedy, "cures", lambda *_: iter(next(edits, ())))
    way = SimpleNamespace(proposal=SimpleNamespace(job=numbered(20)))
    monkeypatch.setattr(remedy, "search", lambda *_: SimpleNamespace(candidates=(way,)))
    assert given.search.whole().edited.what == "10"
