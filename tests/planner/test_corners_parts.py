"""Corners of what the planner adds: single parts put into a job, rows on cables, voltages, wants."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest

from tests.planner.made import CATALOG, job_of
from tests.simulate.circuits import circuit, contactor_hoist, part, winch
from wiring.circuit import build_before
from wiring.files import parse_size
from wiring.model.finding import Finding, Verdict
from wiring.model.job import AddedDevice, Cable, Connection, Job, Remove, StopFact
from wiring.planner.channels import bars, closed
from wiring.planner.demand import Gap, demand_of, switches_motor, with_type_cores
from wiring.planner.drives import nearest_capacitor
from wiring.planner.modules import to_earth, with_cross_contacts, with_larger, with_stop, with_suppressor
from wiring.planner.propose import search
from wiring.planner.rewire import Edited
from wiring.planner.sheet import Sheet, rows_of
from wiring.planner.site import NoWay, site_of
from wiring.planner.specify import coil_currents, fights, motor_contacts, specification
from wiring.planner.stops import state_stop, stop_wants, wired_stop
from wiring.planner.supply import by_coil, converters, direct, joined, volts_between, way_to

JOB = job_of("reversing-contactors-24", "six-channel-stop-pair")
SITE = site_of(JOB, CATALOG)


def row(from_: str, to: str, conductor: str | None = None, number: str | None = None) -> Connection:
    return Connection(from_, to, conductor, number)


def finding(subject: str) -> Finding:
    return Finding("a.rule", subject, "after", Verdict.FAIL, "design", 1, "found", "wanted")


def only(edits: Any) -> Edited:
    (one,) = list(edits)
    assert isinstance(one, Edited)
    return one


# -- parts put into a job --------------------------------------------------------------------------


def test_crossed_contacts_go_into_the_other_coils_feed() -> None:
    """Each coil is fed through the other contactor's resting contact, 21 to 22, and the row to it moves."""
    job = replace(
        JOB, devices=(AddedDevice("K10", "contactor-pair-24"),),
        connections=(row("a", "K10.up:A1", "W1:1", "5"), row("K10.down:A1", "b"), row("c", "d")),
    )  # fmt: skip
    made = only(with_cross_contacts(job, SITE))
    assert made.job.connections == (
        row("a", "K10.down:21", "W1:1", "5"), row("b", "K10.up:21"), row("c", "d"),
        row("K10.down:22", "K10.up:A1"), row("K10.up:22", "K10.down:A1"),
    )  # fmt: skip
    assert made.what == "cross the resting contacts of K10"
    assert list(with_cross_contacts(made.job, SITE)) == [], "crossed already"
    assert list(with_cross_contacts(replace(job, connections=()), SITE)) == [], "no coil is fed"
    assert list(with_cross_contacts(replace(job, devices=()), SITE)) == []


def test_a_suppressor_lies_across_its_coil() -> None:
    """A diode on direct current, an RC or a varistor on AC, between both ends of the coil."""
    one = only(with_suppressor(JOB, finding("K10.up"), "DC"))
    assert one.job.devices[-1].type == "suppressor-diode"
    assert one.job.connections == (row("K10.up:A1", "R1:1"), row("K10.up:A2", "R1:2"))
    two = list(with_suppressor(JOB, finding("hoist:K1"), "AC"))
    assert [e.job.devices[-1].type for e in two] == ["suppressor-rc", "suppressor-varistor"]
    assert [e.job.connections[0].from_ for e in two] == ["hoist:K1.A1", "hoist:K1.A1"]
    assert all(len(e.job.devices) == 1 for e in two)


def test_a_larger_cable_is_the_next_four_sizes_of_its_type() -> None:
    """From 1.0 mm2 of a type the next larger ones are offered, smallest first; nothing for another cable."""
    name, type = next((n, t) for n, t in CATALOG.cables.items() if len(t.sizes) >= 3)
    sizes = sorted((parse_size(text) for text in type.sizes), key=lambda s: s.area_m2)
    cable = Cable("W1", type=name, size=sizes[0])
    job = replace(JOB, cables=(Cable("W0"), cable))
    found = [e.job.cables[1].size for e in with_larger(job, SITE, finding("W1:3"))]
    assert found == sizes[1:5] and all(s is not None and s.area_m2 > sizes[0].area_m2 for s in found)
    assert (
        list(with_larger(job, SITE, finding("W2:3"))) == list(with_larger(job, SITE, finding("W0:1"))) == []
    )
    top = replace(job, cables=(replace(cable, size=sizes[-1]),))
    assert list(with_larger(top, SITE, finding("W1"))) == []


def test_an_earth_comes_from_the_nearest_earth() -> None:
    """A terminal without earth is joined to a protective terminal in a box, else to the earth core."""
    core = SITE.demand.points["earth"]
    assert only(to_earth(JOB, SITE, "S1:PE")).job.connections == (row(core, "S1:PE"),)
    boxed = replace(JOB, connections=(row("core:PE", "receiver:PE"), row("hoist:PE", "S1:PE")))
    assert only(to_earth(boxed, SITE, "S1:PE")).job.connections[-1] == row("receiver:PE", "S1:PE")


def test_a_stop_is_put_between_the_feed_and_what_hangs_on_it() -> None:
    """The feed core goes to the stop, what it fed hangs behind both blocks, which lie in series."""
    feed = SITE.demand.points["feed"]
    job = replace(JOB, connections=(row(feed, "receiver:3", "W1:1", "7"), row("x", feed)))
    first = next(iter(with_stop(job, SITE)))
    id = first.job.devices[-1].id
    rows = first.job.connections
    assert rows[0] == row(feed, f"{id}:11", "W1:1", "7")
    assert row(f"{id}:22", "receiver:3") in rows and rows[1] == row(f"{id}:22", "x")
    assert any({r.from_, r.to} == {f"{id}:12", f"{id}:21"} for r in rows)
    assert [s.device for s in first.job.stops if s.device == id] == [id]


# -- rows on a cable -------------------------------------------------------------------------------


def rows(job: Job, **nets: str) -> tuple[Connection, ...]:
    sheet = Sheet(job)
    for net, points in nets.items():
        for point in points.split():
            sheet.put(net, point)
    return rows_of(sheet).connections


def test_what_crosses_to_another_box_goes_on_a_conductor() -> None:
    """Two screws of the receiver are joined by a link, hoist and receiver by a conductor of a new cable."""
    found = rows(JOB, a="hoist:X1.N receiver:1 receiver:2", b="receiver:5 receiver:6")
    assert [(r.from_, r.to, r.conductor, r.number) for r in found] == [
        ("hoist:X1.N", "receiver:1", "W1:N", "101"),
        ("receiver:1", "receiver:2", None, "101"),
        ("receiver:5", "receiver:6", None, "102"),
    ]
    assert rows(JOB, a="receiver:1") == ()


def test_numbers_and_conductors_of_the_job_are_not_given_twice() -> None:
    """A row that stays keeps number and conductor; a new one on its net takes the number."""
    kept = row("hoist:X1.1", "receiver:1", "W1:1", "101")
    job = replace(JOB, cables=(Cable("W1", order=("1", "2", "3")),), connections=(kept,))
    found = rows(job, a="hoist:X1.1 receiver:1 receiver:2", b="hoist:X1.2 receiver:3")
    assert found[0] == kept
    assert [(r.from_, r.to, r.conductor, r.number) for r in found[1:]] == [
        ("receiver:1", "receiver:2", None, "101"),
        ("hoist:X1.2", "receiver:3", "W1:2", "102"),
    ]


def test_the_cable_that_crosses_already_carries_the_new_rows() -> None:
    """The cable whose conductor joins hoist and receiver is used, else the first one of the job."""
    cables = tuple(Cable(f"W{n}", order=("1", "2")) for n in (1, 2, 3))
    near, crossing = row("S1:1", "receiver:9", "W2:1"), row("hoist:X1.1", "receiver:1", "W3:1")
    job = replace(JOB, cables=cables, connections=(near, crossing))
    assert rows(job, a="hoist:X1.2 receiver:3")[-1].conductor == "W3:1"
    assert rows(replace(job, connections=(near,)), a="hoist:X1.2 receiver:3")[-1].conductor == "W1:1"


def test_a_device_of_the_job_is_used_before_a_new_one() -> None:
    """The job's own fuse serves first; the next is new and takes the first id that nothing has."""
    sheet = Sheet(
        replace(
            JOB, devices=(AddedDevice("F7", "fuse"), AddedDevice("F10", "relay-24")), cables=(Cable("F11"),)
        )
    )
    assert [sheet.device("F10", "fuse") for _ in range(3)] == ["F7", "F12", "F13"]
    assert sheet.device("K", "main-contactor-24") == "K1"
    sheet.take_off(("W1", "W2", "W1"), "why")
    assert sheet.removes == [Remove("hoist:W1", "why"), Remove("hoist:W2", "why")]


# -- stops -----------------------------------------------------------------------------------------


def test_a_stop_of_the_job_is_stated_as_it_is() -> None:
    """The job's own row about a device stays; a new one is planned at the operator under a free id."""
    mine = StopFact("S9", "wired emergency stop", "S1", "near")
    sheet = Sheet(replace(JOB, stops=(mine,)))
    state_stop(sheet, "S1", "wired emergency stop")
    assert sheet.stops == [mine] and sheet.open == []
    sheet = Sheet(replace(JOB, stops=(StopFact("Q2", "isolator", "hoist:Q1"),)))
    state_stop(sheet, "Q2", "isolator")
    state_stop(sheet, "S2", "wired emergency stop")
    one, two = sheet.stops
    assert (one.id, one.device, one.reach, one.path_clear, one.lockable) == (
        "Q2-stop",
        "Q2",
        "operator",
        True,
        True,
    )
    assert (two.id, two.lockable) == ("S2", None) and len(sheet.open) == 2


def test_a_stop_opens_as_many_lines_as_it_has_blocks() -> None:
    """One gap gets both blocks in series, two get one each, three are too many."""
    sheet = Sheet(JOB)
    behind = wired_stop(sheet, (Gap("ES", "feed", "g"),), motor=False)
    assert {n: list(p) for n, p in sheet.nets.items()} == {
        "feed": ["S1:11"], "feed.S1.0": ["S1:12", "S1:21"], "feed.S1.1": ["S1:22"], "earth": ["S1:PE"],
    }  # fmt: skip
    assert behind == {"feed": "feed.S1.1"}
    assert sheet.why["S1:12"].startswith("second block") and sheet.why["S1:22"].startswith("the wired")
    sheet = Sheet(JOB)
    two = (Gap("ES", "feed", "g"), Gap("ES", "neutral", "h"))
    behind = wired_stop(sheet, two, motor=True)
    assert behind == {"feed": "feed.S1.0", "neutral": "neutral.S1.0", "control.feed": "control.feed.S1"}
    assert list(sheet.nets["neutral"]) == ["S1:3"] and list(sheet.nets["control.feed.S1"]) == ["S1:12"]
    assert sheet.why["S1:2"].startswith("the wired")
    with pytest.raises(NoWay):
        wired_stop(Sheet(JOB), (*two, Gap("ES", "l3", "k")), motor=True)


def test_stop_outputs_lie_in_the_first_gap() -> None:
    """Stop outputs close from behind the wired stop to what hung there; without a gap nothing is wanted."""
    (want,) = stop_wants(SITE.demand, {"feed": "behind"}, True)
    gap = SITE.demand.gaps[0]
    assert (want.button, want.a, want.b) == ("stop", {"feed": "behind"}.get(gap.a, gap.a), gap.b)
    assert stop_wants(SITE.demand, {}, False) == stop_wants(replace(SITE.demand, gaps=()), {}, True) == []


# -- voltages --------------------------------------------------------------------------------------


def test_volts_between_two_points_as_a_meter_shows() -> None:
    """24 V AC at the secondary, 400 V between lines, 12.6 V DC at the battery, nothing on one point twice."""
    crane, battery = contactor_hoist(), winch()
    volts, kind = volts_between(crane, "C1", "X2")
    assert volts == pytest.approx(24.0, rel=0.02) and kind == "AC"
    assert volts_between(crane, "L1", "L2")[0] == pytest.approx(400.0, rel=0.01)
    volts, kind = volts_between(battery, "BP", "BN")
    assert volts == pytest.approx(12.6) and kind == "DC"
    assert volts_between(battery, "INH", "BN")[0] == pytest.approx(0.0, abs=1e-6)


def test_direct_voltage_comes_from_batteries_and_rectifiers() -> None:
    """Outputs of a rectifier are direct, also behind an open contact; its inputs and a load's end are not."""
    made = circuit(
        [
            part("V1", "source", "L N", voltage=24, frequency=50),
            part("D", "rectifier", "L N P M"),
            part("S", "contact", "P a", "button:up"),
            part("H", "load", "b M", resistance=100),
        ],
        "button:up",
    )
    assert [direct(made, p) for p in ("P", "M", "a", "L", "N", "b")] == [
        True,
        True,
        True,
        False,
        False,
        False,
    ]
    assert joined(made, "a") == {"a", "P"} and joined(made, "a", closed=True) == {"a"}
    rest = replace(made, parts=(*made.parts, part("R", "contact", "a c", "stop:S", "NC")))
    assert joined(rest, "a", closed=True) == {"a", "c"}


def test_a_coil_is_chosen_by_its_voltage_and_current() -> None:
    """The nearest coil of the class is taken, none of another class, and DC only for DC."""
    for volts, type in ((24, "contactor-pair-24"), (120, "contactor-pair-120")):
        found = by_coil(CATALOG, "contactor-pair", volts, "AC")
        assert found is not None and found.id == type
    assert by_coil(CATALOG, "contactor-pair", 24, "DC") is None
    assert by_coil(CATALOG, "relay", 12, "DC") is not None
    assert by_coil(CATALOG, "relay", 400, "AC") is None


def test_the_fewest_converters_are_taken() -> None:
    """A coil's own voltage needs none, 230 V to a 24 V coil one transformer, DC is not transformed."""
    assert way_to(CATALOG, 24, "AC", None, 24) == ()
    path = way_to(CATALOG, 230, "AC", None, 24)
    assert path is not None and [(c.volts, c.kind) for c in path] == [(24.0, "AC")]
    assert way_to(CATALOG, 24, "DC", None, 24) is None and not list(converters(CATALOG, 24, "DC"))
    kinds = {c.type.split("-")[0] for c in converters(CATALOG, 60, "AC")}
    assert "rectifier" in kinds and "rectifier" not in {
        c.type.split("-")[0] for c in converters(CATALOG, 61, "AC")
    }
    for one in converters(CATALOG, 24, "AC"):
        if one.type.startswith("rectifier"):
            assert one.volts == pytest.approx(21.6)


def test_a_capacitor_within_a_tenth_is_taken() -> None:
    """A run capacitor may be off by a tenth of what is wanted and no more."""
    id = nearest_capacitor(CATALOG, 16e-6)
    size = next(p for p in CATALOG.devices[id].net.parts if p.kind == "capacitor").values["capacitance"].si
    assert nearest_capacitor(CATALOG, size / 0.92) == nearest_capacitor(CATALOG, size / 1.08) == id
    with pytest.raises(NoWay):
        nearest_capacitor(CATALOG, 3 * size)


# -- what is wanted --------------------------------------------------------------------------------


def wants(hoist: str) -> dict[str, str]:
    return {w.what: w.wanted for w in specification(job_of(hoist, None), CATALOG)}


def test_the_motors_own_contact_is_described_by_its_plate() -> None:
    """Watts, amperes and what it makes where the plate has them; no line where there is no motor."""

    def plate(**known: float) -> list[str]:
        values = {k: SimpleNamespace(si=v) for k, v in known.items()}
        demand: Any = SimpleNamespace(hoist=SimpleNamespace(motors=(SimpleNamespace(values=values),)))
        return [w.wanted for w in motor_contacts(demand)]

    head = "a motor rating (hp, kW or AC-3) of at least "
    assert plate(power=780, full_load_current=6.3, locked_rotor_current=31) == [
        f"{head}780 W or 6.3 A; makes 31 A"
    ]
    assert plate(power=780) == [f"{head}780 W"] and plate(full_load_current=6.3) == [f"{head}6.3 A"]
    none: Any = SimpleNamespace(hoist=SimpleNamespace(motors=()))
    assert list(motor_contacts(none)) == []


def test_coils_and_fights_are_seen_in_the_circuit() -> None:
    """The 24 V coil of 70 VA makes 2.9 A and is held by 0.33 A; both buttons without interlock short."""
    amps, inrush, kind = coil_currents(contactor_hoist(expected={"button:up": ("hoist up",)}))
    assert amps == pytest.approx(8 / 24, rel=0.02) and inrush == pytest.approx(70 / 24) and kind == "AC"
    assert not fights(contactor_hoist())
    bare = contactor_hoist(interlocks=())
    fast = tuple(
        replace(p, form="NO", by="", kind="wire") if p.name in ("K1.nc", "K2.nc") else p for p in bare.parts
    )
    assert fights(replace(bare, parts=fast))
    assert coil_currents(winch(expected={"button:in": ("winch in",)}))[2] == "DC"


def test_cores_without_roles_do_not_change_what_to_buy() -> None:
    """What to buy is the same whether the cores are known or not; for an unknown hoist it is nothing."""
    known = job_of("reversing-contactors-24", None)
    unknown = replace(known, cores=tuple(replace(c, role=None) for c in known.cores))
    assert specification(unknown, CATALOG) == specification(known, CATALOG) != ()
    assert specification(replace(known, hoist=replace(known.hoist, type=None)), CATALOG) == ()
    assert specification(replace(known, hoist=replace(known.hoist, type="nowhere")), CATALOG) == ()
    hoist = CATALOG.hoists["reversing-contactors-24"]
    assert {c.role for c in with_type_cores(unknown, hoist).cores} == {c.role for c in hoist.cores}
    before = build_before(unknown, CATALOG)
    assert "feed" in demand_of(unknown, hoist, before).missing


def test_who_switches_the_motor() -> None:
    """A handset that works contactors switches no motor, one in the motor's own line does."""
    for hoist, own in (("reversing-contactors-24", False), ("capacitor-motor-direct-120", True)):
        assert switches_motor(build_before(job_of(hoist, None), CATALOG)) is own
    assert "second step" in wants("two-speed-crane-115") and "second step" not in wants(
        "reversing-contactors-24"
    )
    assert "start" in wants("two-speed-crane-115")


def test_a_contact_is_closed_by_its_cause() -> None:
    """A closing contact is closed with its cause, a resting one without; jumpers out part their bars."""
    both: tuple[Any, ...] = tuple(SimpleNamespace(form=f, by="output:A") for f in ("NO", "NC"))
    assert [closed(p, c) for p in both for c in ({"output:A"}, set[str]())] == [True, False, False, True]
    receiver = CATALOG.receivers["eight-channel-two-speed"]
    assert set(bars(receiver)) == set(bars(receiver, ("JAB",)))


def test_a_first_way_keeps_the_jobs_own_stops_and_values() -> None:
    """A stop of the hoist stays in the proposal, one of a device that is gone goes."""
    stops = (
        StopFact("Q1", "isolator", "hoist:Q1", "near"),
        StopFact("S8", "wired emergency stop", "S8", "near"),
    )
    made = search(replace(JOB, stops=stops), CATALOG, 1).candidates[0].proposal
    assert "Q1" in {s.id for s in made.stops} and "S8" not in {s.id for s in made.stops}
