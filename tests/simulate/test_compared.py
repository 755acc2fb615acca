"""Two plans of one hoist beside each other: what changed, what moves otherwise, what is void."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from tests.simulate.circuits import contactor_hoist
from wiring.model.behaviour import Behaviour, Event
from wiring.model.circuit import Circuit
from wiring.model.finding import Finding, Verdict
from wiring.model.job import Approval, Job, Record
from wiring.model.plan import Counts, Plan, Report
from wiring.model.value import certain
from wiring.simulate.compared import compared, motions, values
from wiring.simulate.network import Network


def finding(subject: str, verdict: Verdict) -> Finding:
    return Finding("a.rule", subject, "after", verdict, "design", 1, "found", "wanted")


def event(name: str, verdict: str, pressed: tuple[str, ...] = (), **more: Any) -> Event:
    subject, open_ = more.get("subject", ""), more.get("open", ())
    about = more.get("about", "after")
    return Event(name, about, pressed, open_, (), (), (), verdict, subject=subject)


def plan(
    after: Circuit | None = None,
    digest: str = "one",
    approvals: tuple[Approval, ...] = (),
    records: tuple[Record, ...] = (),
    findings: tuple[Finding, ...] = (),
    events: tuple[Event, ...] = (),
) -> Plan:
    """A plan of which only this is known."""
    job = Job(
        file="made.toml", title="made", region="us", stage="design", approvals=approvals, records=records
    )
    report = Report(Verdict.PASS, "design", findings, (), Counts(), Counts(), 1, ())
    shown = Behaviour(None, None, (), events, None, (), (), (), (), 0.0) if events else None  # type: ignore[arg-type]
    return Plan(job, None, None, after, shown, report, digest, None, "shown", "")  # type: ignore[arg-type]


def changed(circuit: Circuit, name: str, **more: Any) -> Circuit:
    """The circuit with one part changed."""
    parts = tuple(replace(p, **more) if p.name == name else p for p in circuit.parts)
    return replace(circuit, parts=parts)


def without(circuit: Circuit, name: str) -> Circuit:
    return replace(circuit, parts=tuple(p for p in circuit.parts if p.name != name))


# -- figures ------------------------------------------------------------------------------------


def test_only_figures_that_differ_are_listed() -> None:
    """A coil whose voltage becomes 42 V is listed with the old and the new figure, and nothing else of it."""
    hoist = contactor_hoist()
    coil = hoist.part("K1")
    other = replace(coil, values={**coil.values, "voltage": certain("K1.voltage", 42.0, "V", "stated", "t")})
    was = replace(coil, values={**coil.values, "voltage": certain("K1.voltage", 24.0, "V", "stated", "t")})
    assert list(values(was, other)) == [("K1.voltage", "24.0 V", "42.0 V")]
    assert list(values(was, was)) == []


def test_a_figure_that_one_plan_lacks_is_not_known() -> None:
    """A figure that came or went stands beside the words that it is not known."""
    coil = contactor_hoist().part("K1")
    has = replace(coil, values={"voltage": certain("K1.voltage", 24.0, "V", "stated", "t")})
    lacks = replace(coil, values={})
    assert list(values(lacks, has)) == [("K1.voltage", "not known", "24.0 V")]
    assert list(values(has, lacks)) == [("K1.voltage", "24.0 V", "not known")]


# -- what is void -------------------------------------------------------------------------------


def test_what_was_signed_for_another_plan_is_void() -> None:
    """With the same digest only approvals and records of some other digest are void."""
    approvals = (Approval("A", digest="one"), Approval("B", digest="zero"), Approval("C"))
    records = (Record("t1", "1 V", digest="one"), Record("t2", "2 V", digest="zero"))
    found = compared(plan(), plan(approvals=approvals, records=records), ("ratings",))
    assert found.approvals == ("B", "C") and found.records == ("t2",)
    assert found.parts == () and found.same


def test_a_changed_plan_voids_all_that_the_old_one_had() -> None:
    """With another digest the old plan's approvals and records are void too, each named once."""
    old = plan(approvals=(Approval("A", digest="one"),), records=(Record("t1", "1 V", digest="one"),))
    new = plan(digest="two", approvals=(Approval("A", digest="one"), Approval("D", digest="two")))
    found = compared(old, new, ("circuit", "ratings"))
    assert found.approvals == ("A",) and found.records == ("t1",)
    assert found.parts == ("circuit", "ratings") and not found.same


def test_records_of_the_hoist_as_found_hold() -> None:
    """What was measured before the work is not repeated whatever is planned."""
    old = plan(records=(Record("as-found-up", "yes", digest="one"), Record("up", "yes", digest="one")))
    assert compared(old, plan(digest="two"), ("circuit",)).records == ("up",)


# -- circuits -----------------------------------------------------------------------------------


def test_without_a_circuit_verdicts_alone_are_compared() -> None:
    """Where one of the plans has no circuit that is said; verdicts are compared all the same."""
    hoist = contactor_hoist()
    bad, good = (finding("K1", Verdict.FAIL),), (finding("K1", Verdict.PASS), finding("K2", Verdict.PASS))
    for old, new in ((None, hoist), (hoist, None), (None, None)):
        found = compared(plan(old, findings=bad), plan(new, findings=good), ())
        assert not found.circuits and found.removed == found.added == ()
        assert found.verdicts == (("a.rule", "K1", "fail", "pass"), ("a.rule", "K2", "none", "pass"))


def test_two_circuits_are_compared_part_by_part() -> None:
    """A part left out, one moved, and a figure are each listed with their names and pins."""
    hoist = contactor_hoist()
    new = changed(without(hoist, "K2.nc"), "SU", pins=("g", "DNH"))
    fuse = hoist.part("F4")
    new = changed(new, "F4", values={**fuse.values, "rating": certain("F4.rating", 4.0, "A", "stated", "t")})
    found = compared(plan(hoist), plan(new, digest="two"), ("circuit",))
    assert found.circuits and found.removed == ("K2.nc",) and found.added == ()
    assert found.moved == (("SU", "g - UPH", "g - DNH"),)
    assert [row[0] for row in found.set] == ["F4.rating"]


def test_a_motion_that_was_not_there_before_is_worse() -> None:
    """Up that begins to lower is worse; up that no longer moves is only something else."""
    hoist = contactor_hoist()
    network = Network(hoist)
    crossed = motions(network, Network(changed(hoist, "SU", pins=("g", "DNH"))))
    dead = motions(network, Network(without(hoist, "SU")))
    said = {(d.pressed, d.open): (d.before, d.after, d.judgement) for d in crossed}
    assert said[("button:up",), ()] == (("hoist up",), ("hoist down",), "worse")
    said = {(d.pressed, d.open): (d.before, d.after, d.judgement) for d in dead}
    assert said[("button:up",), ()] == (("hoist up",), (), "other")
    assert (("button:down",), ()) not in said and motions(network, network) == ()


# -- events -------------------------------------------------------------------------------------


def test_events_that_end_otherwise_are_told_in_words() -> None:
    """An event that begins or ceases to fail is told with what is held and open, subject and both ends."""
    old = (
        event("link lost", "pass", ("key:up",)),
        event("supply back held", "fail"),
        event("release", "pass", ("key:up",), subject="key:up", open=("limit:down",)),
        event("opposite key", "pass"),
    )
    new = (
        event("link lost", "fail", ("key:up",)),
        event("supply back held", "pass"),
        event("release", "fail", ("key:up",), subject="key:up", open=("limit:down",)),
        event("opposite key", "unknown"),
    )
    hoist = contactor_hoist()
    found = compared(plan(hoist, events=old), plan(hoist, digest="two", events=new), ("settings",))
    assert found.events == (
        "link lost, key:up: pass -> fail",
        "supply back held, nothing held: fail -> pass",
        "release, key:up, open limit:down (key:up): pass -> fail",
    )


def test_of_one_event_the_worst_end_counts() -> None:
    """An event that failed once has failed, whatever comes after; events as found are left out."""
    hoist = contactor_hoist()
    good = (event("release", "pass"), event("release", "unknown"))
    bad = (event("release", "fail"), event("release", "pass"))
    found = compared(plan(hoist, events=good), plan(hoist, events=bad), ())
    assert found.events == ("release, nothing held: unknown -> fail",)
    before = (event("release", "fail", about="before"),)
    assert compared(plan(hoist, events=before), plan(hoist), ()).events == ()


def test_an_event_of_one_plan_only_was_not_played_in_the_other() -> None:
    """A failing event of a new key stands beside the words that it was not played before."""
    hoist = contactor_hoist()
    found = compared(plan(hoist), plan(hoist, events=(event("release", "fail", ("key:fast",)),)), ())
    assert found.events == ("release, key:fast: not played -> fail",)
