"""Corners of choosing: which candidate is planned, proved and offered, with plans that are given."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest

from tests.planner.made import CATALOG, job_of
from wiring.files import parse
from wiring.model.finding import Finding, Verdict
from wiring.model.job import AddedDevice, Cable, Connection, Cord, Job, Pendant, StatedValue
from wiring.model.proposal import Fit, Proposal
from wiring.planner import fit, propose
from wiring.planner.fit import fit_one, fit_receivers, judged_job, why_not
from wiring.planner.propose import choices, one, propose_connections, search
from wiring.planner.site import NoWay, Site, site_of

JOB = job_of("reversing-contactors-24", "two-channel-dry")


def job(n: int) -> Job:
    """A job that is known by the number of its one row."""
    return replace(JOB, connections=(Connection("core:2", str(n)),))


def proposal(n: int, drive: str = "direct", score: float = 0.0, stands: bool = True) -> Proposal:
    return Proposal((), (), (), (), (), score, (), job(n), None, base=JOB, drive=drive, stands=stands)


def candidates(*found: Proposal, refused: tuple[str, ...] = ()) -> Callable[..., Any]:
    made = SimpleNamespace(candidates=[SimpleNamespace(proposal=p) for p in found], refused=refused)
    return lambda *_: made


class Plans:
    """Plans by the number of a job: rules that fail. made: the numbers that were planned."""

    def __init__(self, fails: dict[int, tuple[str, ...]]) -> None:
        self.fails, self.made = fails, list[int]()

    def __call__(self, made: Job, _: Any) -> Any:
        n = int(made.connections[0].to)
        self.made.append(n)
        found = [Finding(r, "x", "after", Verdict.FAIL, "design", 1, "f", "w") for r in self.fails.get(n, ())]
        return SimpleNamespace(job=made, report=SimpleNamespace(findings=tuple(found)))


# -- one receiver for one hoist --------------------------------------------------------------------


def fitted(
    patch: pytest.MonkeyPatch, plans: Plans | None, *found: Proposal, refused: tuple[str, ...] = ()
) -> Fit:
    patch.setattr(fit, "search", candidates(*found, refused=refused))
    return fit_one(JOB, CATALOG, "two-channel-dry", plans)


def row(made: Fit) -> str:
    assert made.proposal is not None
    return made.proposal.job.connections[0].to


def test_the_first_candidate_without_failure_is_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    """Failures about the receiver count before others; one without any ends it, three are planned at most."""
    ways = [proposal(n) for n in range(1, 6)]
    plans = Plans({1: ("stop.distance",), 2: (), 3: ()})
    assert row(fitted(monkeypatch, plans, *ways)) == "2" and plans.made == [1, 2]
    plans = Plans({1: ("contact.rating",), 2: ("stop.distance", "stop.other"), 3: ("stop.distance",)})
    assert row(fitted(monkeypatch, plans, *ways)) == "3" and plans.made == [1, 2, 3]
    plans = Plans({1: ("stop.a",), 2: ("stop.a",), 3: ("contact.rating",), 4: ()})
    assert row(fitted(monkeypatch, plans, *ways)) == "1" and plans.made == [1, 2, 3]


def test_a_receiver_that_fails_itself_is_not_to_be_used(monkeypatch: pytest.MonkeyPatch) -> None:
    """A failing rating refuses it with the rule; a failure about the rest of the job does not."""
    bad = fitted(monkeypatch, Plans({1: ("stop.distance", "contact.rating")}), proposal(1))
    assert (bad.verdict, bad.why, bad.open) == ("do not use", "contact.rating: f", ())
    good = fitted(monkeypatch, Plans({1: ("stop.distance",)}), proposal(1))
    assert good.verdict == "direct" and "stop.distance x: f" in good.open
    helped = fitted(monkeypatch, Plans({1: ("contact.minimum-load",)}), proposal(1, "relays"))
    assert helped.verdict == "with devices"
    none = fitted(monkeypatch, None, refused=("direct: no", "relays: no"))
    assert (none.verdict, none.proposal, none.why) == ("do not use", None, "direct, relays: no")


def test_without_a_plan_the_first_candidate_is_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    """The quick look alone takes the search's best, and asks the search for one only."""
    asked: list[Any] = []

    def searching(*arguments: Any) -> Any:
        asked.append(arguments[2])
        return candidates(proposal(1, "relays"), proposal(2))()

    monkeypatch.setattr(fit, "search", searching)
    made = fit_one(JOB, CATALOG, "two-channel-dry", None)
    assert (row(made), made.verdict) == ("1", "with devices")
    fit_one(JOB, CATALOG, "two-channel-dry", Plans({}))
    assert asked == [1, None]


def test_receivers_are_ranked_by_verdict_failures_and_score(monkeypatch: pytest.MonkeyPatch) -> None:
    """Direct first; of equals the one whose plan stands, then the lower score, then by name."""
    listed = list(CATALOG.receivers)
    made = {
        listed[0]: Fit(listed[0], "do not use", None, (), (), ""),
        listed[1]: Fit(listed[1], "with devices", proposal(1, score=5.0), (), (), ""),
        listed[2]: Fit(listed[2], "direct", proposal(1, score=1.0, stands=False), (), (), ""),
        listed[3]: Fit(listed[3], "direct", proposal(1, score=9.0), (), (), ""),
        listed[4]: Fit(listed[4], "direct", proposal(1, score=3.0), (), (), ""),
    }
    monkeypatch.setattr(fit, "fit_one", lambda job, catalog, name, plan: made.get(name) or made[listed[0]])
    ranked = fit_receivers(JOB, CATALOG, None)
    found = [f.receiver for f in ranked]
    assert all(f.open == () for f in ranked), "nothing has to be said of cores that are known"
    assert found[:4] == [listed[4], listed[3], listed[2], listed[1]] and set(found[4:]) == {listed[0]}


def test_the_types_cores_stand_in_for_unknown_ones() -> None:
    """A job whose cores are known is judged as it is; with one unknown the type's serve, and it is said."""
    assert judged_job(JOB, CATALOG) == (JOB, "")
    blind = replace(JOB, cores=tuple(replace(c, role=None) if c.role == "up" else c for c in JOB.cores))
    made, said = judged_job(blind, CATALOG)
    assert "no core of this cord is known to be up" in said and "identify" in said
    assert {c.id for c in made.cores} == {c.role for c in CATALOG.hoists["reversing-contactors-24"].cores}
    assert made.cord.order == () and made.connections == () == made.readings
    nameless = replace(blind, hoist=replace(blind.hoist, type=None))
    assert judged_job(nameless, CATALOG) == (nameless, "")
    found = fit_receivers(replace(blind, receiver=replace(blind.receiver, type=None)), CATALOG, None)
    assert all(f.open[0] == said for f in found)


def test_why_nothing_is_proposed_is_the_searchs_word() -> None:
    """An unknown hoist, an unknown core and a receiver that is refused are each told."""
    nameless = replace(JOB, hoist=replace(JOB.hoist, type=None))
    assert list(why_not(nameless, CATALOG)) == ["the hoist type is not known"]
    unfit = job_of("reversing-contactors-24", "network-relay-module")
    (why,) = why_not(unfit, CATALOG)
    assert why == CATALOG.receivers["network-relay-module"].lifting_why != ""


# -- ways to connect one receiver ------------------------------------------------------------------


def offered(
    patch: pytest.MonkeyPatch, ways: list[Proposal], plans: Plans, prove: Plans | None = None
) -> list[str]:
    patch.setattr(propose, "search", candidates(*ways))
    return [p.job.connections[0].to for p in propose_connections(JOB, CATALOG, plans, prove)]


def test_ways_without_failure_come_first(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two that stand end the search, five are planned at most; fewest failures, then the lower score."""
    ways = [proposal(n, score=float(9 - n)) for n in range(1, 8)]
    plans = Plans({1: ("a", "b"), 3: ("a",)})
    assert offered(monkeypatch, ways, plans) == ["4", "2", "3", "1"] and plans.made == [1, 2, 3, 4]
    plans = Plans(dict.fromkeys(range(1, 8), ("a",)))
    assert offered(monkeypatch, ways, plans) == ["5", "4", "3", "2", "1"] and plans.made == [1, 2, 3, 4, 5]


def test_the_first_is_proved_with_its_faults(monkeypatch: pytest.MonkeyPatch) -> None:
    """The best is proved, where it fails that the next; what was proved comes before what was not."""
    ways = [proposal(n, score=float(n)) for n in range(1, 5)]
    prove = Plans({})
    assert offered(monkeypatch, ways, Plans({}), prove) == ["1", "2"] and prove.made == [1]
    prove = Plans({1: ("proof.single-fault",)})
    assert offered(monkeypatch, ways, Plans({}), prove) == ["2", "1"] and prove.made == [1, 2]
    some = Plans(dict.fromkeys(range(2, 5), ("a",)))
    prove = Plans({1: ("x",), 2: ("x", "y")})
    assert offered(monkeypatch, ways, some, prove) == ["1", "2", "3", "4"] and prove.made == [1, 2]


def test_orders_of_conductors_are_tried_where_shorts_matter(monkeypatch: pytest.MonkeyPatch) -> None:
    """The order with least against it is kept, every pair found harmful is kept apart in the next, and
    after three orders it is enough."""
    left = {1: 3, 2: 2, 3: 2, 4: 1, 5: 0}
    asked: list[list[Any]] = []

    def plan(made: Job, _: Any) -> Any:
        n = int(made.connections[0].to)
        found = [
            Finding("proof.core-short", f"W1:{n} + W1:{k}", "after", Verdict.FAIL, "design", 1, "", "")
            for k in range(left[n])
        ]
        return SimpleNamespace(job=made, report=SimpleNamespace(findings=tuple(found)))

    def orders(made: Job, harmful: Any) -> tuple[Job, ...]:
        asked.append(list(harmful))
        return (replace(job(len(asked) + 1), cables=(Cable(f"W{len(asked)}"),)), job(99))

    monkeypatch.setattr(propose, "better_orders", orders)
    best = propose.proved(proposal(1), CATALOG, plan)
    assert best.job.connections[0].to == "4" and [len(a) for a in asked] == [3, 5, 7]
    assert best.cables == best.job.cables == (Cable("W3"),)
    asked.clear()
    left.update({2: 4, 3: 3, 4: 3})
    assert propose.proved(proposal(1), CATALOG, plan).job.connections[0].to == "1"
    asked.clear()
    left[1] = 0
    assert propose.proved(proposal(1), CATALOG, plan).job.connections[0].to == "1" and asked == []


# -- one choice ------------------------------------------------------------------------------------


def test_every_choice_once_cheap_ones_first() -> None:
    """Four drives, each without and with a main contactor, relays also with bleeders, two assignments."""
    found = [(c.drive, c.main, c.bleed, c.nth) for c in choices()]
    assert len(found) == len(set(found)) == 2 * 2 + 2 * 2 + 2 * 2 * 2 + 2 * 2 * 2
    assert found[:3] == [("direct", False, False, 0), ("direct", False, False, 1), ("direct", True, False, 0)]
    assert list(dict.fromkeys(c[0] for c in found)) == ["direct", "pair", "relays", "pair+relays"]
    assert all(not c[2] for c in found if not c[0].endswith("relays"))


def searched(
    patch: pytest.MonkeyPatch, falls: Callable[[Any], str | None], made: Job = JOB, enough: int | None = None
) -> Any:
    """What a search comes to where each choice falls with a word, or stands (None)."""
    looked = SimpleNamespace(look=lambda choice, enough: SimpleNamespace(stands=not choice, wrong=(choice,)))
    patch.setattr(propose, "Trial", lambda _: looked)
    patch.setattr(propose, "build_after", lambda choice, _: falls(choice))
    patch.setattr(propose, "motor_on_contacts", lambda _: None)

    def laid(site: Site, choice: Any, base: Job) -> Any:
        word = falls(choice)
        if word == "no way":
            raise NoWay(word)
        return SimpleNamespace(proposal=SimpleNamespace(job=choice, score=float(choice.nth)), choice=choice)

    patch.setattr(propose, "one", laid)
    return search(made, CATALOG, enough)


def test_a_search_leaves_off_when_enough_stand(monkeypatch: pytest.MonkeyPatch) -> None:
    """Asked for one or three the search gives so many, the first of those that stand."""
    every = searched(monkeypatch, lambda c: None if c.nth else "weld").candidates
    for enough in (1, 3):
        found = searched(monkeypatch, lambda c: None if c.nth else "weld", enough=enough).candidates
        assert len(found) == enough and {c.choice for c in found} <= {c.choice for c in every}
    (late,) = searched(monkeypatch, lambda c: None if c.drive == "relays" else "no", enough=1).candidates
    assert late.choice.drive == "relays"


def test_what_stands_without_more_is_not_tried_with_more(monkeypatch: pytest.MonkeyPatch) -> None:
    """No main contactor and no bleeder where a drive stands without, and one way with a main contactor is
    enough; with one in the job every way with it is tried."""
    found = [c.choice for c in searched(monkeypatch, lambda _: None).candidates]
    assert not any(c.main or c.bleed for c in found) and len(found) == 4 * 2
    had = replace(JOB, devices=(AddedDevice("K0", "main-contactor-24"),))
    found = [c.choice for c in searched(monkeypatch, lambda _: None, had).candidates]
    assert len(found) == 4 * 4 and not any(c.bleed for c in found)
    found = [c.choice for c in searched(monkeypatch, lambda c: None if c.main else "weld").candidates]
    assert [c.drive for c in found] == ["direct", "pair", "relays", "pair+relays"]


def test_refusals_are_told_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each drive says why it leads nowhere; that no second assignment is there is no reason by itself."""
    told = searched(monkeypatch, lambda c: "no way" if c.nth else "a weld").refused
    assert told == (
        "direct: a weld", "contactor pair: a weld", "relays: a weld", "relays and contactor pair: a weld",
    )  # fmt: skip
    told = searched(monkeypatch, lambda c: "no way" if c.drive == "pair" else None).refused
    assert told == ("contactor pair: no way",)


def test_a_proposal_keeps_what_the_job_states() -> None:
    """Values of devices that go are dropped, those of what stays are kept; a fate that is stated stays."""
    amount = parse("70 ohm", "resistance")
    values = tuple(
        StatedValue(of, amount) for of in ("hoist:K1.resistance", "X9:1.resistance", "X9.up:A1.resistance")
    )
    base = replace(
        JOB, devices=(AddedDevice("X9", "relay-24"),), values=values, pendant=Pendant("kept"),
        cord=replace(JOB.cord, fate="tail-kept"),
    )  # fmt: skip
    choice = next(choices())
    made = one(site_of(base, CATALOG), choice, base).proposal.job
    assert [v.of for v in made.values] == ["hoist:K1.resistance"]
    assert (made.pendant.fate, made.cord.fate) == ("kept", "tail-kept")
    plain = replace(base, pendant=Pendant(), cord=Cord())
    made = one(site_of(plain, CATALOG), choice, plain).proposal.job
    assert (made.pendant.fate, made.cord.fate) == ("removed", "removed")


def test_each_receiver_is_judged_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """The job's own receiver is in the catalog already; one from its own file is judged with the others."""
    monkeypatch.setattr(fit, "fit_one", lambda _, __, name, ___: Fit(name, "direct", None, (), (), ""))
    assert sorted(f.receiver for f in fit_receivers(JOB, CATALOG, None)) == sorted(CATALOG.receivers)
    own = replace(JOB, receiver=replace(JOB.receiver, type="mine"))
    names = [f.receiver for f in fit_receivers(own, CATALOG, None)]
    assert sorted(names) == sorted([*CATALOG.receivers, "mine"])
