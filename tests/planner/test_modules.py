"""Bigger edits in one piece, where the job or the type is out of the ordinary."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.planner.made import CATALOG, job_of
from wiring.files import parse_size
from wiring.model.finding import Finding, Verdict
from wiring.model.job import AddedDevice, Cable, Connection, Job, Remove, StopFact
from wiring.planner.demand import Gap
from wiring.planner.modules import (
    to_earth,
    with_cross_contacts,
    with_larger,
    with_main_contactor,
    with_stop,
)
from wiring.planner.rewire import Wired
from wiring.planner.site import Site, site_of

JOB = job_of("reversing-contactors-24", "six-channel-stop-pair")
SITE = site_of(JOB, CATALOG)
FEED = SITE.demand.points["feed"]


def row(from_: str, to: str, conductor: str | None = None, number: str | None = None) -> Connection:
    return Connection(from_, to, conductor, number)


def demanding(**changes: object) -> Site:
    return replace(SITE, demand=replace(SITE.demand, **changes))  # type: ignore[arg-type]


# -- a wired stop ----------------------------------------------------------------------------------


def test_a_stop_goes_into_the_feed_for_coils_first_or_for_the_motor() -> None:
    """Where the handset switched coils a control stop is tried before a motor-rated one, else the reverse."""
    job = replace(JOB, connections=(row(FEED, "receiver:3"),))

    def kinds(motor: bool) -> list[str]:
        return [e.job.devices[-1].type for e in with_stop(job, demanding(motor=motor))]

    assert kinds(False) == ["emergency-stop", "emergency-stop-motor"]
    assert kinds(True) == ["emergency-stop-motor", "emergency-stop"]


def test_no_stop_is_put_where_there_is_no_feed_to_open() -> None:
    """A handset without a stop leaves no gap, a gap that no core leads to cannot be opened at a core, and
    three lines are more than a stop has poles for."""
    job = replace(JOB, connections=(row(FEED, "receiver:3"),))
    assert list(with_stop(job, demanding(gaps=()))) == []
    assert list(with_stop(job, demanding(gaps=(Gap("ES", "h", "g"),)))) == []
    three = tuple(Gap("ES", net, f"{net}.g") for net in list(SITE.demand.points)[:3])
    assert list(with_stop(job, demanding(gaps=three))) == []


def test_the_stops_box_is_earthed_from_the_box_beside_it() -> None:
    """From a protective terminal that is wired already, else from the earth core; without one not at all."""
    job = replace(JOB, connections=(row(FEED, "receiver:3"),))
    core = SITE.demand.points["earth"]

    def earths(made: Job, site: Site = SITE) -> list[Connection]:
        return [r for r in next(iter(with_stop(made, site))).job.connections if r.to == "S1:PE"]

    assert earths(job) == [row(core, "S1:PE")]
    boxed = replace(job, connections=(*job.connections, row(core, "receiver:PE")))
    assert earths(boxed) == [row("receiver:PE", "S1:PE")]
    points = {net: point for net, point in SITE.demand.points.items() if net != "earth"}
    assert earths(job, demanding(points=points)) == []


def test_a_stop_of_the_job_is_used_and_stated_once() -> None:
    """A stop that lies in the job without a wire is put in; its own statement stays the only one."""
    stated = StopFact("ES9", "wired emergency stop", "S1", "near")
    device = AddedDevice("S1", "emergency-stop")
    job = replace(JOB, connections=(row(FEED, "receiver:3"),), devices=(device,), stops=(stated,))
    made = next(iter(with_stop(job, SITE))).job
    assert made.devices == (device,) and [s for s in made.stops if s.device == "S1"] == [stated]


# -- a main contactor ------------------------------------------------------------------------------


def test_a_main_contactor_takes_its_wires_off_once() -> None:
    """Wires that the job takes off already are not named again; poles lie in pairs at the place's screws."""
    place = SITE.demand.place("main-contactor")
    assert place is not None and SITE.tap is not None
    gone = tuple(Remove(f"hoist:{wire}", "before") for wire in place.remove[:1])
    now = Wired({}, {"n": ("core:2", "receiver:9")}, ())
    (made,) = with_main_contactor(replace(JOB, removes=gone), SITE, now)
    assert [r.name for r in made.job.removes] == [f"hoist:{wire}" for wire in place.remove]
    assert made.job.removes[0] == gone[0]
    assert {row("core:2", "K0:A1"), row(SITE.tap.ret, "K0:A2")} <= set(made.job.connections)
    for n, (before, after) in enumerate(zip(place.frees[::2], place.frees[1::2], strict=True)):
        assert row(f"hoist:{before}", f"K0:{2 * n + 1}") in made.job.connections
        assert row(f"K0:{2 * n + 2}", f"hoist:{after}") in made.job.connections


def test_no_main_contactor_without_place_supply_or_coil() -> None:
    """A type without the place, a hoist without a known voltage, and a voltage without a coil give none."""
    now = Wired({}, {"n": ("core:2",)}, ())
    others = tuple(p for p in SITE.hoist.insertions if p.place != "main-contactor")
    assert list(with_main_contactor(JOB, demanding(hoist=replace(SITE.hoist, insertions=others)), now)) == []
    assert list(with_main_contactor(JOB, replace(SITE, taps=()), now)) == []
    assert SITE.tap is not None
    odd = replace(SITE, taps=(replace(SITE.tap, volts=90.0),))
    assert list(with_main_contactor(JOB, odd, now)) == []


# -- crossed contacts, larger conductors, earths ---------------------------------------------------


def test_one_direction_without_its_crossed_contact_gets_it() -> None:
    """A side that is crossed stays as it is, only the other is led through; other devices are passed over."""
    whole = replace(
        JOB, devices=(AddedDevice("F1", "fuse"), AddedDevice("K10", "contactor-pair-24")),
        connections=(row("a", "K10.up:A1"), row("b", "K10.up:21"), row("K10.up:22", "K10.down:A1")),
    )  # fmt: skip
    (made,) = with_cross_contacts(whole, SITE)
    assert made.job.connections == (
        row("a", "K10.down:21"), row("b", "K10.up:21"), row("K10.up:22", "K10.down:A1"),
        row("K10.down:22", "K10.up:A1"),
    )  # fmt: skip
    unknown = replace(whole, devices=(AddedDevice("K9", "nowhere"), *whole.devices))
    assert len(list(with_cross_contacts(unknown, SITE))) == 1


def test_a_feed_with_two_rows_to_a_coil_is_crossed_once() -> None:
    """Of two rows on one coil screw the first is led through, the second stays on the screw."""
    job = replace(
        JOB, devices=(AddedDevice("K10", "contactor-pair-24"),),
        connections=(row("a", "K10.up:A1"), row("K10.up:A1", "R1:1"), row("c", "K10.down:A1")),
    )  # fmt: skip
    (made,) = with_cross_contacts(job, SITE)
    assert made.job.connections[:3] == (
        row("a", "K10.down:21"), row("K10.up:A1", "R1:1"), row("c", "K10.up:21"),
    )  # fmt: skip
    assert len(made.job.connections) == 5


@pytest.mark.parametrize("type", [None, "nowhere"])
def test_a_cable_of_unknown_type_has_no_next_size(type: str | None) -> None:
    """Sizes are those its type is made in: without a type none is offered."""
    cable = Cable("W1", type=type, size=parse_size("1.0 mm2"))
    found = Finding("conductor.ampacity", "W1:1", "after", Verdict.FAIL, "design", 1, "", "")
    assert list(with_larger(replace(JOB, cables=(cable,)), SITE, found)) == []


def test_an_earth_is_never_taken_from_the_point_itself() -> None:
    """The terminal that has none is no source; without core and hoist earth there is nothing to join."""
    core = SITE.demand.points["earth"]
    own = replace(JOB, connections=(row("S1:PE", "S2:1"),))
    (made,) = to_earth(own, SITE, "S1:PE")
    assert made.job.connections[-1] == row(core, "S1:PE")
    points = {net: point for net, point in SITE.demand.points.items() if net != "earth"}
    (made,) = to_earth(JOB, demanding(points=points), "S1:PE")
    assert made.job.connections == (row(f"hoist:{SITE.hoist.earth}", "S1:PE"),)
    bare = replace(demanding(points=points), hoist=replace(SITE.hoist, earth=""))
    assert list(to_earth(JOB, bare, "S1:PE")) == []


def test_four_larger_sizes_are_enough() -> None:
    """Of a type with many sizes the next four above the cable's own are offered."""
    name, type = next((n, t) for n, t in CATALOG.cables.items() if len(t.sizes) >= 8)
    sizes = sorted((parse_size(text) for text in type.sizes), key=lambda s: s.area_m2)
    job = replace(JOB, cables=(Cable("W1", type=name, size=sizes[1]),))
    found = Finding("conductor.ampacity", "W1:1", "after", Verdict.FAIL, "design", 1, "", "")
    assert [e.job.cables[0].size for e in with_larger(job, SITE, found)] == sizes[2:6]


def test_a_main_contactor_has_a_pole_for_each_line_there_is() -> None:
    """A place in two lines gets two poles, the third stays free."""
    place = SITE.demand.place("main-contactor")
    assert place is not None
    others = tuple(p for p in SITE.hoist.insertions if p.place != "main-contactor")
    hoist = replace(SITE.hoist, insertions=(*others, replace(place, frees=place.frees[:4])))
    (made,) = with_main_contactor(JOB, demanding(hoist=hoist), Wired({}, {"n": ("core:2",)}, ()))
    pins = {e for r in made.job.connections for e in (r.from_, r.to) if e.startswith("K0:")}
    assert pins == {"K0:A1", "K0:A2", "K0:1", "K0:2", "K0:3", "K0:4"}
