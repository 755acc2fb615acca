"""Order of conductors: hot ones apart where there is something to put between."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from tests.planner.made import job_of
from wiring.model.job import Cable
from wiring.planner.order import apart, better_orders, free_order


def test_the_earth_lies_between_the_feed_and_the_motions() -> None:
    """The protective conductor becomes the neighbour of the feed, the motions come behind it."""
    assert apart(["2", "1", "3", "PE"], {"1"}, {"PE"}) == ("1", "PE", "2", "3")


def test_nothing_is_moved_without_a_wall() -> None:
    """Without earth or spare the order stays as it is."""
    assert apart(["2", "1", "3"], {"1"}, set()) == ("2", "1", "3")


def test_a_free_order_has_no_harmful_neighbours() -> None:
    """Every harmful pair is parted, and every conductor is still there."""
    harmful = {frozenset(("W1:1", "W1:2")), frozenset(("W1:2", "W1:3"))}
    found = free_order(["W1:1", "W1:2", "W1:3", "W1:4", "W1:5"], harmful)
    assert sorted(found) == ["W1:1", "W1:2", "W1:3", "W1:4", "W1:5"]
    assert not any(frozenset(pair) in harmful for pair in pairwise(found))


def test_an_order_without_harm_is_left_alone() -> None:
    """Where no harmful pair is adjacent no order is proposed, and none where none exists."""
    assert free_order(["a", "b", "c"], {frozenset(("a", "c"))}) == ()
    assert free_order(["a", "b"], {frozenset(("a", "b"))}) == ()


def test_a_cable_gets_another_order_where_a_short_matters() -> None:
    """The job with the harmful pair apart is proposed, with the same conductors; none where none is named."""
    job = replace(job_of("reversing-contactors-24", None), cables=(Cable("W1", order=("1", "2", "3", "PE")),))
    (better,) = better_orders(job, [("W1:1", "W1:2")])
    order = better.cables[0].order or ()
    assert sorted(order) == ["1", "2", "3", "PE"] and ("1", "2") not in pairwise(order)
    assert ("2", "1") not in pairwise(order)
    assert better_orders(job, []) == ()
