"""Which edits are tried for which failures, in which order, and which of them are handed on."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest

from tests.planner.made import CATALOG, job_of
from wiring.circuit import build_after
from wiring.files import parse_size
from wiring.model.finding import Finding, Verdict
from wiring.model.job import Cable, Connection, Core, Job
from wiring.planner import cures as room
from wiring.planner.cures import cures, nearer
from wiring.planner.propose import search
from wiring.planner.rewire import Edited, Quick, Wired, ranked, wired
from wiring.planner.site import site_of
from wiring.planner.trial import Trial

JOB = replace(
    job_of("reversing-contactors-24", "six-channel-stop-pair"),
    connections=(Connection("core:2", "receiver:9"), Connection("core:3", "receiver:10")),
)
SITE = site_of(JOB, CATALOG)
AFTER = build_after(JOB, CATALOG)
#: What is tried for findings: its name among the cures, and how many of it there are.
WAYS = (
    "before_limits", "repairs", "with_stop", "with_cross_contacts", "with_main_contactor", "better_orders",
    "_still_standing", "nearer",
)  # fmt: skip


def finding(rule: str, subject: str = "x", found: str = "found", path: str = "") -> Finding:
    return Finding(rule, subject, "after", Verdict.FAIL, "design", 1, found, "wanted", path=path)


def numbered(name: str, n: int) -> Job:
    """The job with a row of its own for each edit, so that no two are the same."""
    return replace(JOB, connections=(*JOB.connections, Connection(name, str(n))))


class Looked:
    """A quick look that finds what it is told: wrong lines by the number in the last row, or by all."""

    def __init__(self, wrong: Callable[[Any], int]) -> None:
        self.wrong = wrong

    def look(self, after: Any, enough: int | None = None) -> Any:
        count = self.wrong(after)
        count = count if enough is None else min(count, enough)
        return SimpleNamespace(stands=not count, wrong=("wrong",) * count)


def tried(patch: pytest.MonkeyPatch, rules: tuple[str, ...], lame: bool, count: int = 1) -> list[str]:
    """Names of the ways that are tried for failing rules, as often as each yields an edit."""
    edits = [Edited(numbered(way, n), way) for way in WAYS for n in range(count)]

    def given(way: str) -> Callable[..., Iterator[Any]]:
        mine = [e for e in edits if e.what == way]
        return lambda *_: iter([e.job for e in mine] if way == "better_orders" else mine)

    for way in WAYS:
        patch.setattr(room, way, given(way))
    patch.setattr(room, "build_after", lambda job, _: job)
    patch.setattr(room, "wired", lambda *_: Wired({}, {}, ()))
    seen: Any = Looked(lambda job: int(lame and job is JOB))
    found = [e.what for e in cures(JOB, CATALOG, [finding(rule) for rule in rules], seen)]
    return ["better_orders" if what.startswith("another order") else what for what in found]


@pytest.mark.parametrize(
    ("rules", "ways"),
    [
        (("a.rule",), ["better_orders", "_still_standing"]),
        (("proof.limits-kept",), ["before_limits", "better_orders", "_still_standing"]),
        (("proof.upper-limit",), ["before_limits", "better_orders", "_still_standing"]),
        (("mode.radio-stop",), ["with_stop", "better_orders", "_still_standing"]),
        (("mode.dead-time",), ["with_cross_contacts", "better_orders", "_still_standing"]),
        (("proof.weld",), ["with_main_contactor", "better_orders", "_still_standing"]),
        (
            ("proof.single-fault", "mode.opposing"),
            ["with_stop", "with_cross_contacts", "with_main_contactor", "better_orders", "_still_standing"],
        ),
    ],
    ids=lambda v: "+".join(v) if isinstance(v, tuple) else "",
)
def test_a_failure_calls_for_its_own_edits(
    rules: tuple[str, ...], ways: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A limit moves ends before it, a stop puts one in, opposing keys cross contacts, a weld asks for a
    main contactor; orders and small edits are tried for any failure."""
    assert tried(monkeypatch, rules, lame=False) == ways


def test_a_wiring_that_moves_wrongly_is_repaired_first(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where a key does not do what its button did, repairs come first and steps nearer last; a stop and a
    main contactor are tried whatever fails, eight repairs, four contactors and four steps at most."""
    assert tried(monkeypatch, ("a.rule",), lame=True) == [
        "repairs", "with_stop", "with_main_contactor", "better_orders", "nearer",
    ]  # fmt: skip
    many = tried(monkeypatch, ("a.rule",), lame=True, count=12)
    assert [many.count(way) for way in ("repairs", "with_stop", "with_main_contactor", "nearer")] == [
        8, 12, 4, 4,
    ]  # fmt: skip
    assert tried(monkeypatch, ("a.rule",), lame=False, count=12).count("_still_standing") == 8


def test_an_edit_is_tried_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two ways to the same wiring are one candidate; a wiring that does not stand is none."""
    same = Edited(numbered("same", 1), "same")
    monkeypatch.setattr(room, "_candidates", lambda *_: iter([same, replace(same, what="again")]))
    always: Any = Looked(lambda _: 0)
    assert [e.what for e in cures(JOB, CATALOG, [finding("a")], always)] == ["same"]
    assert room._holds(same, CATALOG, always)
    assert not room._holds(same, CATALOG, Looked(lambda _: 1))  # type: ignore[arg-type]


# -- what a finding names outright -----------------------------------------------------------------


def named(fails: list[Finding], loose: tuple[str, ...] = (), job: Job = JOB) -> list[str]:
    return [e.what for e in room._named_by(job, SITE, fails, Wired({}, {}, loose))]


def test_a_cable_is_made_larger_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two findings about conductors of one cable ask for its next sizes once, another cable for its own."""
    name, type = next((n, t) for n, t in CATALOG.cables.items() if len(t.sizes) >= 3)
    size = min((parse_size(text) for text in type.sizes), key=lambda s: s.area_m2)
    job = replace(JOB, cables=tuple(Cable(id, type=name, size=size) for id in ("W1", "W2")))
    one = named([finding("conductor.ampacity", "W1:1")], job=job)
    assert one and named([finding(r, "W1:2") for r in room.SIZES], job=job) == one
    both = named([finding("conductor.ampacity", "W1:1"), finding("conductor.coil-drop", "W2:4")], job=job)
    assert len(both) == 2 * len(one) and {w.split()[0] for w in both} == {"W1", "W2"}
    assert named([finding("contact.rating", "W1:1")], job=job) == []


def test_a_suppressor_is_for_the_current_there(monkeypatch: pytest.MonkeyPatch) -> None:
    """On a direct voltage it is a diode, on AC an RC; where no voltage is known AC is taken."""
    fails = [finding("contact.suppression", "K1")]
    assert named(fails)[0].startswith("put suppressor-rc")
    (tap, *_) = SITE.taps
    direct = replace(SITE, taps=(replace(tap, kind="DC"),))
    assert [e.what for e in room._named_by(JOB, direct, fails, Wired({}, {}, ()))] == [
        "put suppressor-diode across K1"
    ]
    blind = replace(SITE, taps=())
    assert next(iter(room._named_by(JOB, blind, fails, Wired({}, {}, ())))).what.startswith(
        "put suppressor-rc"
    )


def test_a_bare_earth_terminal_is_earthed_for_earths_and_loose_ends() -> None:
    """One failure about loose ends or earths among others is enough; without one nothing is earthed."""
    loose = ("receiver:PE",)
    assert named([finding("a"), finding("conductor.loose-end")], loose) == ["earth to receiver:PE"]
    assert named([finding("conductor.earth", "S1:PE")], loose) == ["earth to S1:PE", "earth to receiver:PE"]
    assert named([finding("a")], loose) == []


def test_loose_ends_that_a_finding_names_are_joined() -> None:
    """Every two of the pins that it names, each pair once; a pin that no finding names is left alone."""
    loose = ("receiver:1", "receiver:2", "receiver:3", "receiver:4")
    fails = [finding("conductor.loose-end", found=f"{pin} lies loose") for pin in loose[:3]]
    assert named(fails, loose) == [
        "join receiver:1 and receiver:2", "join receiver:1 and receiver:3", "join receiver:2 and receiver:3",
    ]  # fmt: skip


def test_a_suppressor_in_the_air_is_made_whole_for_a_loose_end_only(monkeypatch: pytest.MonkeyPatch) -> None:
    """Another failure is no reason to land its other end."""
    whole = Edited(numbered("R1:2", 1), "R1:2 to K1.A2")
    monkeypatch.setattr(room, "with_suppressor_whole", lambda *_: iter([whole]))
    assert named([finding("conductor.loose-end")]) == [whole.what] and named([finding("a")]) == []


# -- small edits that leave the motions alone -------------------------------------------------------


def test_points_are_named_by_subject_text_and_path() -> None:
    """A point by its own name, or as a pin of a part that is named; a core also by the screw it sits on."""
    now = wired(JOB, AFTER)

    def points(*fails: Finding) -> set[str]:
        return room._points_named(list(fails), now, AFTER)

    assert points(finding("a", "receiver:9")) == {"receiver:9"}
    assert points(finding("a", found="wrong at receiver:10, core:2.")) == {"receiver:10", "core:2"}
    assert points(finding("a", path="(receiver:9)")) == {"receiver:9"}
    assert points(finding("a", "nothing known")) == set()
    seat = AFTER.aliases["core:2"]
    part = next(p for p in AFTER.parts if seat in p.pins and p.name.startswith("hoist:"))
    assert "core:2" in points(finding("a", part.name)) and "core:3" not in points(finding("a", part.name))


def still(patch: pytest.MonkeyPatch, odd: dict[str, int], *fails: Finding, same: str = "") -> list[str]:
    """What is handed on of edits that each add one row core:2 to a point; odd: how odd each then looks;
    same: points whose rows make one circuit."""
    edits = [
        Edited(replace(JOB, connections=(*JOB.connections, Connection("core:2", end))), end) for end in odd
    ]
    patch.setattr(room, "ranked", lambda *_: edits)
    patch.setattr(
        room, "Look", lambda *_: SimpleNamespace(oddness=lambda rows: odd.get(list(rows)[-1].to, 10))
    )
    patch.setattr(room, "circuit_of", lambda job, _: job.connections[-1].to in same or job.connections)
    quick = SimpleNamespace(after=lambda job: job)
    patch.setattr(room, "Quick", lambda *_: quick)
    patch.setattr(room, "_points_named", lambda fails, *_: {f.subject for f in fails})
    stands: Any = Looked(lambda job: int(job.connections[-1].to == "falls"))
    now = Wired({}, {}, ())
    return [e.what for e in room._still_standing(JOB, SITE, now, stands, (), fails)]


def test_edits_that_look_better_come_first(monkeypatch: pytest.MonkeyPatch) -> None:
    """The least odd first, then those at a named point; what is neither is not tried, nor what falls."""
    odd = {"as before": 10, "better": 9, "named": 12, "best": 4, "falls": 1}
    assert still(monkeypatch, odd, finding("a", "named")) == ["best", "better", "named"]
    assert still(monkeypatch, odd) == ["best", "better"]


def test_more_named_ends_come_first(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of edits that look no better the one whose row has both its ends named comes before one with one."""
    odd = {"p": 10, "q": 10, "r": 10}
    fails = (finding("a", "p"), finding("a", "r"))
    assert still(monkeypatch, odd, *fails) == ["p", "r"]
    assert still(monkeypatch, odd, finding("a", "core:2"), finding("a", "q")) == ["q", "p", "r"]


def test_one_circuit_is_handed_on_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two edits that make the same circuit are one."""
    assert still(monkeypatch, {"p": 6, "q": 5, "r": 7}) == ["q", "p", "r"]
    assert still(monkeypatch, {"p": 6, "q": 5, "r": 7}, same="pq") == ["q", "r"]


def test_a_step_nearer_moves_an_end_to_a_core_or_the_supply(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of moved ends those that touch a core or the supply place and leave less wrong, the best first;
    exchanges, ends elsewhere and what leaves as much wrong are left out."""
    left = {"core:3": 2, "hoist:X9": 1, "receiver:5": 0, "same": 3, "core:4": 5}

    def edit(what: str, *rows: Connection) -> Edited:
        return Edited(replace(JOB, connections=rows or JOB.connections), what)

    first = JOB.connections[1]
    edits = [
        edit("move a", Connection("core:2", "core:3"), first),
        edit("move b", Connection("receiver:9", "hoist:X9"), first),
        edit("move c", Connection("receiver:9", "receiver:5"), first),
        edit("move d", Connection("core:2", "same"), first),
        edit("move e", Connection("core:2", "core:4"), first),
        edit("exchange f", Connection("core:2", "core:3"), first),
    ]
    monkeypatch.setattr(room, "edits", lambda *_: iter(edits))
    monkeypatch.setattr(room, "Quick", lambda *_: SimpleNamespace(after=lambda job: job))
    trial: Any = Looked(lambda job: 3 if job is JOB else left[job.connections[0].to])
    found = [e.what for e in nearer(JOB, SITE, Wired({}, {}, ()), trial, ("hoist:X9",))]
    assert found == ["move b", "move a"]


def test_a_row_less_is_a_step_nearer_too(monkeypatch: pytest.MonkeyPatch) -> None:
    """An edit that only takes a row off has no new end, and counts where it leaves less wrong."""
    less = Edited(replace(JOB, connections=JOB.connections[:1]), "take off")
    monkeypatch.setattr(room, "edits", lambda *_: iter([less]))
    monkeypatch.setattr(room, "Quick", lambda *_: SimpleNamespace(after=lambda job: job))
    trial: Any = Looked(lambda job: len(job.connections))
    assert list(nearer(JOB, SITE, Wired({}, {}, ()), trial, ())) == [less]


def test_what_is_handed_on_changes_no_motion() -> None:
    """On a real wiring every small edit handed on stands the quick look, and each is another circuit."""
    job = job_of("capacitor-motor-direct-120", "two-channel-dry")
    good = search(job, CATALOG, 1).candidates[0].proposal.job
    now = wired(good, build_after(good, CATALOG))
    trial = Trial(site_of(good, CATALOG).before)
    fails = [finding("a", good.connections[0].to)]
    found = []
    for edited in room._still_standing(good, site_of(good, CATALOG), now, trial, (), fails):
        found.append(edited)
        if len(found) == 3:
            break
    assert len(found) == 3
    assert all(trial.look(build_after(e.job, CATALOG), enough=1).stands for e in found)
    assert len(ranked(good, Quick(good, CATALOG))) > len(found)


def test_a_step_nearer_never_uses_a_core_of_unknown_role(monkeypatch: pytest.MonkeyPatch) -> None:
    """Ends move to cores whose role is known, and never to the earth."""
    cores = (Core("2", role="up"), Core("5", role=None), Core("PE", role="earth"))
    job = replace(JOB, cores=cores)
    edits = [Edited(replace(job, connections=(Connection("x", f"core:{n}"),)), n) for n in ("5", "PE", "2")]
    monkeypatch.setattr(room, "edits", lambda *_: iter(edits))
    monkeypatch.setattr(room, "Quick", lambda *_: SimpleNamespace(after=lambda job: job))
    trial: Any = Looked(lambda made: 3 if made is job else 1)
    assert [e.what for e in nearer(job, SITE, Wired({}, {}, ()), trial, ())] == ["2"]
