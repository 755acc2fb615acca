"""Corners of small edits: which there are, where they land, what they never do."""

from __future__ import annotations

from dataclasses import replace
from itertools import islice
from types import SimpleNamespace
from typing import Any

import pytest

from tests.planner.made import CATALOG, job_of
from tests.simulate.circuits import circuit, part
from wiring.circuit import build_after
from wiring.model.finding import Finding, Verdict
from wiring.model.job import AddedDevice, Cable, Connection, Core, Job
from wiring.planner import rewire
from wiring.planner.cures import cures, settings
from wiring.planner.modules import with_main_contactor, with_suppressor_whole
from wiring.planner.remedy import Planned
from wiring.planner.rewire import (
    Edited,
    Wired,
    added,
    before_limits,
    best_point,
    circuit_of,
    free_conductor,
    moved,
    new_row,
    swapped,
    taken_off,
    wired,
)
from wiring.planner.site import site_of
from wiring.planner.trial import Trial

JOB = job_of("reversing-contactors-24", "six-channel-stop-pair")


def row(from_: str, to: str, conductor: str | None = None, number: str | None = None) -> Connection:
    return Connection(from_, to, conductor, number)


def rows(*listed: Connection, **more: Any) -> Job:
    return replace(JOB, connections=listed, **more)


def finding(
    rule: str, subject: str = "x", found: str = "found", verdict: Verdict = Verdict.FAIL, about: Any = "after"
) -> Finding:
    return Finding(rule, subject, about, verdict, "design", 1, found, "wanted")


def test_each_connection_is_taken_off_once() -> None:
    """Three connections give three jobs with two."""
    job = rows(row("a", "b"), row("c", "d"), row("e", "f"))
    found = list(taken_off(job))
    assert [e.job.connections for e in found] == [
        job.connections[1:],
        (*job.connections[:1], job.connections[2]),
        job.connections[:2],
    ]
    assert found[0].what == "take off a to b"


def test_two_ends_are_exchanged_in_every_way_but_onto_themselves() -> None:
    """Two connections have four exchanges; none that makes a row begin where it ends, none of one point."""
    found = [
        tuple((r.from_, r.to) for r in e.job.connections) for e in swapped(rows(row("a", "b"), row("c", "d")))
    ]
    assert found == [
        (("a", "d"), ("c", "b")),
        (("a", "c"), ("b", "d")),
        (("d", "b"), ("c", "a")),
        (("c", "b"), ("a", "d")),
    ]
    chain = [
        tuple((r.from_, r.to) for r in e.job.connections) for e in swapped(rows(row("a", "b"), row("b", "c")))
    ]
    assert all(x != y for pair in chain for x, y in pair) and len(chain) == 1


NOW = Wired({"a": "1", "b": "1", "c": "2", "d": "2"}, {"1": ("a", "b"), "2": ("c", "d")}, ("p",))


def test_what_lies_apart_may_be_joined() -> None:
    """A loose pin and two nets give three joins; points of one net are never joined again."""
    found = [(e.job.connections[-1].from_, e.job.connections[-1].to) for e in added(rows(), NOW)]
    assert found == [("p", "a"), ("p", "c"), ("a", "c")]
    one = Wired({"a": "1", "b": "1"}, {"1": ("a", "b")}, ())
    assert list(added(rows(), one)) == []


def test_an_end_moves_to_another_net_only() -> None:
    """Each end goes to the loose pin, the other net and the further place, not to its own net."""
    found = [
        (e.job.connections[0].from_, e.job.connections[0].to) for e in moved(rows(row("a", "b")), NOW, ("z",))
    ]
    assert found == [("a", "p"), ("a", "c"), ("a", "z"), ("p", "b"), ("c", "b"), ("z", "b")]


def test_the_emptiest_point_of_a_net_is_taken() -> None:
    """Where fewest wires sit; a core first; earth and a suppressor's lead only for want of others."""
    job = rows(row("a", "b"), row("b", "c"), devices=(AddedDevice("R1", "suppressor-rc"),))
    assert best_point(job, ("b", "a", "c")) == "a"
    assert best_point(job, ("x", "core:1")) == "core:1" and best_point(job, ("x", "y")) == "x"
    assert best_point(job, ("R1:1", "b")) == "b" and best_point(job, ("R1:1",)) == "R1:1"
    assert best_point(job, ("S1:PE", "hoist:X.PE", "R1:1")) == "R1:1"
    earth = replace(job, cores=(Core("7", role="earth"),))
    assert best_point(earth, ("core:7", "b")) == "b"


def test_a_new_row_has_the_number_of_its_net() -> None:
    """From the hoist's box outwards it takes a free conductor, named like the core where there is one."""
    job = rows(row("a", "x", "W1:1", "12"), cables=(Cable("W1", order=("1", "2", "3")), Cable("W2")))
    assert new_row(job, NOW, "a", "c") == row("a", "c", None, "12")
    assert new_row(job, NOW, "c", "p") == row("c", "p")
    assert new_row(job, NOW, "receiver:1", "core:3") == row("core:3", "receiver:1", "W1:3")
    assert new_row(job, NOW, "hoist:X1.9", "receiver:1") == row("hoist:X1.9", "receiver:1", "W1:2")
    assert new_row(job, NOW, "hoist:X1.9", "core:3").conductor is None
    assert free_conductor(job, "core:1") == "W1:2" and free_conductor(rows(), "core:1") is None


def test_an_end_behind_a_limit_moves_before_it() -> None:
    """A row on the motor's side of a limit is landed on the core before that limit, and no other row is."""
    parts = [
        part("LSU", "contact", "core:2 u1", "limit:up", "NC"),
        part("J", "wire", "receiver:9 u1"),
        part("J2", "wire", "receiver:10 core:3"),
    ]
    after = circuit(parts, "limit:up", about="after")
    job = rows(
        row("receiver:9", "u1"),
        row("receiver:10", "core:3"),
        cores=(Core("2", role="up"), Core("3", role="down")),
    )
    found = [e.job.connections for e in before_limits(job, after)]
    assert (row("receiver:9", "core:2"), job.connections[1]) in found
    assert all(c[1] == job.connections[1] for c in found)


def test_landing_points_and_loose_pins_are_told_apart() -> None:
    """A net lists the points of its rows; pins of the receiver with nothing on them are loose."""
    job = rows(row("core:2", "receiver:9"), row("core:3", "receiver:10"))
    after = build_after(job, CATALOG)
    now = wired(job, after)
    assert any({"core:2", "receiver:9"} <= set(m) for m in now.members.values())
    assert "receiver:9" not in now.loose and "receiver:1" in now.loose and "receiver:PE" in now.loose
    assert all(p.startswith(("receiver:", "hoist:")) for p in now.loose)
    turned = replace(job, connections=job.connections[::-1])
    assert circuit_of(turned, build_after(turned, CATALOG)) == circuit_of(job, after)
    assert all(len(points) > 1 for points in circuit_of(job, after))


def test_a_main_contactor_is_tried_on_each_net() -> None:
    """One job for each net that its coil may hang on, poles at the place of the type; none beside another."""
    job = rows(row("core:2", "receiver:9"))
    site = site_of(job, CATALOG)
    now = wired(job, build_after(job, CATALOG))
    found = list(with_main_contactor(job, site, now))
    assert len(found) == len(now.members)
    first = found[0].job
    id = first.devices[-1].id
    poles = [
        r for r in first.connections if any(e in (f"{id}:{n}" for n in range(1, 7)) for e in (r.from_, r.to))
    ]
    assert len(poles) in (4, 6) and first.removes
    assert {f"{id}:{n}" for n in range(1, len(poles) + 1)} <= {e for r in poles for e in (r.from_, r.to)}
    assert list(with_main_contactor(first, site, now)) == []


def test_a_suppressor_with_one_end_in_the_air_is_put_across_its_coil() -> None:
    """The bare end goes to the other end of the coil that the landed one is on; else none does."""
    made = circuit(
        [
            part("K1", "coil", "hoist:K1.A1 hoist:K1.A2", voltage=24, inrush=10, sealed=2),
            part("K2", "coil", "hoist:K2.A1 hoist:K2.A2", voltage=24, inrush=10, sealed=2),
            part("W1", "wire", "R1:1 hoist:K1.A1"),
            part("W2", "wire", "R1:2 hoist:K2.A2"),
        ],
        "",
        about="after",
    )
    site = site_of(JOB, CATALOG)
    added = (AddedDevice("R1", "suppressor-rc"), AddedDevice("S1", "emergency-stop"))
    one, two = row("R1:1", "hoist:K1.A1"), row("R1:2", "hoist:K2.A2")
    (found,) = with_suppressor_whole(rows(one, devices=added), site, made)
    assert found.job.connections == (one, row("hoist:K1.A2", "R1:2"))
    (found,) = with_suppressor_whole(rows(two, devices=added), site, made)
    assert found.job.connections == (two, row("hoist:K2.A1", "R1:1"))
    assert list(with_suppressor_whole(rows(one, two, devices=added), site, made)) == []
    assert list(with_suppressor_whole(rows(devices=added), site, made)) == []


def test_only_a_known_receiver_is_set() -> None:
    """Outputs of a receiver of unknown type stay as they are; those of a known one become momentary."""
    for type in (None, "nowhere"):
        odd = replace(JOB, receiver=replace(JOB.receiver, type=type))
        assert settings(odd, CATALOG) is odd
    wrong = replace(JOB.receiver.outputs[0], mode="toggle")
    known = replace(JOB, receiver=replace(JOB.receiver, outputs=(wrong, *JOB.receiver.outputs[1:])))
    assert {o.mode for o in settings(known, CATALOG).receiver.outputs} == {"momentary"}


def test_what_a_finding_names_is_tried_first() -> None:
    """A terminal without earth is earthed before anything else is tried."""
    job = rows(row("core:2", "receiver:9"))
    trial = Trial(site_of(job, CATALOG).before)
    first = next(cures(job, CATALOG, [finding("conductor.earth", "receiver:PE")], trial))
    assert first.what == "earth to receiver:PE" and first.job.connections[-1].to == "receiver:PE"
    suppress = next(cures(job, CATALOG, [finding("contact.suppression", "hoist:K1")], trial))
    assert suppress.what == "put suppressor-rc across hoist:K1"
    loose = finding("conductor.loose-end", found="receiver:1, receiver:2 lie loose")
    tried = [e.what for e in islice(cures(job, CATALOG, [loose], trial), 2)]
    assert tried == ["earth to receiver:PE", "join receiver:1 and receiver:2"]


def test_candidates_are_weighed_by_what_fails_first() -> None:
    """Fails of the conversion, then earths in use, unknowns, lost screws, size and oddness."""
    found = (
        finding("a", "1"), finding("a", "1"), finding("a", "2"), finding("b", about="before"),
        finding("c", verdict=Verdict.UNKNOWN), finding("e", verdict=Verdict.UNKNOWN),
        finding("d", verdict=Verdict.UNKNOWN, about="before"),
    )  # fmt: skip
    plan: Any = SimpleNamespace(report=SimpleNamespace(findings=found))
    made = Planned(SimpleNamespace(), plan, 5, lost=3, mixed=4, odd=6)  # type: ignore[arg-type]
    assert made.fails == {("a", "1"), ("a", "2")} and made.unknown == 2
    assert made.worth == (2, 4, 2, 3, 5, 6)


def test_other_rows_stay_where_they_are_when_an_end_moves() -> None:
    """Of three rows one has an end moved; the two others are in every edit, in their places."""
    listed = (row("a", "b"), row("c", "d"), row("e", "f"))
    found = [e.job.connections for e in moved(rows(*listed), NOW, ("z",))]
    assert {sum(x == y for x, y in zip(made, listed, strict=True)) for made in found} == {2}
    assert {n for made in found for n in range(3) if made[n] != listed[n]} == {0, 1, 2}
    parts = [
        part("LSU", "contact", "core:2 u1", "limit:up", "NC"),
        part("J", "wire", "receiver:9 u1"),
        part("J2", "wire", "receiver:10 core:3"),
    ]
    after = circuit(parts, "limit:up", about="after")
    cores = (Core("2", role="up"), Core("3", role="down"))
    job = rows(row("receiver:10", "core:3"), row("u1", "receiver:9"), row("x", "y"), cores=cores)
    found = [e.job.connections for e in before_limits(job, after)]
    assert (job.connections[0], row("core:2", "receiver:9"), job.connections[2]) in found
    assert all(len(made) == 3 and made[::2] == job.connections[::2] for made in found)


def test_repairs_are_other_circuits_that_stand(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two edits that make one circuit are one repair; what does not stand is none; all are looked at in
    the order of their oddness."""
    edits = [Edited(rows(row("core:2", end)), end) for end in ("one", "falls", "two", "same", "three")]
    monkeypatch.setattr(rewire, "Quick", lambda *_: SimpleNamespace(after=lambda job: job))
    monkeypatch.setattr(rewire, "ranked", lambda *_: edits)
    monkeypatch.setattr(rewire, "circuit_of", lambda job, _: job.connections[-1].to.replace("same", "two"))
    trial: Any = SimpleNamespace(
        look=lambda job, enough: SimpleNamespace(stands=job.connections[-1].to != "falls")
    )
    assert [e.what for e in rewire.repairs(JOB, CATALOG, trial)] == ["one", "two", "three"]
    monkeypatch.setattr(rewire, "MOST", 3)
    assert [e.what for e in rewire.repairs(JOB, CATALOG, trial)] == ["one", "two"]


def test_wirings_that_differ_in_one_pair_are_two_circuits() -> None:
    """Two points that one wire joins count as well as long chains do."""
    one, two = rows(row("core:2", "receiver:9")), rows(row("core:2", "receiver:10"))
    found = [circuit_of(job, build_after(job, CATALOG)) for job in (one, two)]
    assert found[0] != found[1] and found[0] - found[1]


def test_no_end_is_moved_onto_the_rows_own_other_end() -> None:
    """A row never begins where it ends, whichever of its ends moves."""
    found = [(r.from_, r.to) for e in moved(rows(row("a", "c")), NOW, ("z",)) for r in e.job.connections]
    assert found == [("a", "p"), ("a", "b"), ("a", "z"), ("p", "c"), ("d", "c"), ("z", "c")]
    lone = Wired({"a": "1", "c": "2"}, {"1": ("a",), "2": ("c",)}, ())
    assert list(moved(rows(row("a", "c")), lone, ())) == []
