"""The sheet as rows: which cable and conductor, which number, which row of the job stays."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.planner.made import CATALOG, job_of
from wiring.model.job import Cable, Connection, Job, ReceiverFacts
from wiring.planner.sheet import Rows, Sheet, rows_of
from wiring.planner.site import NoWay, site_of

JOB = job_of("reversing-contactors-24", "six-channel-stop-pair")


def row(from_: str, to: str, conductor: str | None = None, number: str | None = None) -> Connection:
    return Connection(from_, to, conductor, number)


def laid(job: Job, hot: str = "", **nets: str) -> Rows:
    sheet = Sheet(job, hot=hot.split())
    for net, points in nets.items():
        for point in points.split():
            sheet.put(net, point)
    return rows_of(sheet)


def test_the_protective_conductor_carries_nothing_else() -> None:
    """A net that is no earth gets a free conductor that is not called PE, whatever is free first."""
    job = replace(JOB, cables=(Cable("W1", order=("PE", "1")),))
    (found,) = laid(job, a="hoist:X1.2 receiver:3").connections
    assert found.conductor == "W1:1"
    two = laid(job, a="hoist:X1.2 receiver:3", b="hoist:X1.4 receiver:5").connections
    assert [r.conductor for r in two] == ["W1:1", "W1:2"]


def test_a_cable_of_the_job_serves_before_a_new_one() -> None:
    """The job's first cable carries new rows where none crosses yet; without one a new cable is named."""
    made = laid(replace(JOB, cables=(Cable("W5", order=("1", "2")), Cable("W6"))), a="hoist:X1.2 receiver:3")
    assert made.connections[0].conductor == "W5:1" and not made.new_cable
    assert [c.id for c in made.cables] == ["W5", "W6"]
    made = laid(JOB, a="hoist:X1.2 receiver:3")
    assert made.new_cable and [(c.id, c.order) for c in made.cables] == [("W1", ("1",))]
    assert not laid(JOB, a="receiver:2 receiver:3").new_cable


def test_an_order_that_has_every_conductor_is_kept() -> None:
    """Only a cable that needs more conductors is ordered anew: hot ones apart, behind the earth the rest."""
    job = replace(JOB, cables=(Cable("W1", order=("2", "PE", "1")),))
    nets = {"earth": "core:PE receiver:PE", "feed": "core:1 receiver:3", "up": "core:2 receiver:9"}
    assert laid(job, "feed", **nets).cables[0].order == ("2", "PE", "1")
    short = replace(JOB, cables=(Cable("W1", order=("2", "PE")),))
    assert laid(short, "feed", **nets).cables[0].order == ("1", "PE", "2")
    assert laid(JOB, "feed", **nets).cables[0].order == ("1", "PE", "2")
    assert laid(JOB, "", **nets).cables[0].order == ("PE", "1", "2")


def test_a_row_of_the_job_stays_once() -> None:
    """A row whose ends lie on two nets of the sheet stands for one of them only."""
    kept = row("hoist:X1.1", "receiver:1", "W1:1", "7")
    job = replace(JOB, connections=(kept,), cables=(Cable("W1", order=("1", "2")),))
    found = laid(job, a="hoist:X1.1 receiver:1", b="hoist:X1.1 receiver:1").connections
    assert found.count(kept) == 1 and found[0] == kept
    assert [r.conductor for r in found] == ["W1:1", "W1:2"]


def test_a_row_that_closes_a_ring_is_left_out() -> None:
    """Two rows of the job between the same points: one of them is enough."""
    one, two = row("receiver:1", "receiver:2", None, "5"), row("receiver:2", "receiver:1", None, "6")
    made = laid(replace(JOB, connections=(one, two)), a="receiver:1 receiver:2")
    assert made.connections == (one,)
    assert made.reasons == ("one point of the circuit: both ends lie on the same potential",)


def test_rows_keep_the_jobs_order_and_new_ones_follow() -> None:
    """What stays stands where it stood, whatever net it is on; a new number is one that no row has."""
    rows = (row("receiver:5", "receiver:6", None, "102"), row("receiver:1", "receiver:2", None, "101"))
    found = laid(replace(JOB, connections=rows), a="receiver:1 receiver:2", b="receiver:5 receiver:6",
                 c="receiver:7 receiver:8").connections  # fmt: skip
    assert found == (*rows, row("receiver:7", "receiver:8", None, "103"))


def test_a_receiver_not_for_lifting_is_refused_with_its_reason() -> None:
    """What the type says against lifting is said, or that it is not for lifting where it says nothing."""
    unfit = CATALOG.receivers["network-relay-module"]
    job = replace(JOB, receiver=ReceiverFacts(unfit.id))
    for why in (unfit.lifting_why, ""):
        fitted = {**CATALOG.receivers, unfit.id: replace(unfit, lifting_why=why)}
        with pytest.raises(NoWay) as refused:
            site_of(job, replace(CATALOG, receivers=fitted))
        assert str(refused.value) == (why or "this receiver is not for lifting")
