"""Corners of the layout: where supply, stops, relays and earths land when a type is out of the ordinary."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest

from tests.planner.made import CATALOG, boxed, contact, job_of
from wiring.model.entry import EntryPart
from wiring.model.job import AddedDevice, Connection, JumperSetting, ReceiverOutput, Transmitter
from wiring.planner import demand as demands
from wiring.planner.channels import Pole, bars
from wiring.planner.demand import Contact, Gap, demand_of
from wiring.planner.drives import Domain, _poles, bleeder, diode, keep_suppressors, relays
from wiring.planner.layout import (
    assign,
    best_transformer,
    control_domain,
    earth,
    receiver_facts,
    receiver_supply,
    stop_path,
    supply_ends,
    transmitters,
)
from wiring.planner.mapping import Assignment, Search
from wiring.planner.sheet import Sheet
from wiring.planner.site import Choice, NoWay, Site, site_of
from wiring.planner.stops import line_isolator, main_contactor, split_feed, wired_stop
from wiring.planner.supply import Tap, taps

JOB = job_of("reversing-contactors-24", "six-channel-stop-pair")
SITE = site_of(JOB, CATALOG)
DIRECT = Choice("direct", False, False, 0)


def fresh() -> Sheet:
    return Sheet(JOB)


def on(sheet: Sheet, net: str) -> list[str]:
    return list(sheet.nets.get(net, ()))


# -- contacts that are wanted ----------------------------------------------------------------------


def test_the_supply_side_of_a_stop_is_the_side_with_a_core(monkeypatch: pytest.MonkeyPatch) -> None:
    """However the type writes its stop, the gap begins at the net of a core and ends in the handset."""
    for between in (("feed", "g"), ("g", "feed")):
        listed = [SimpleNamespace(by="stop:ES", between=between, form="NC")]
        monkeypatch.setattr(demands, "handset_contacts", lambda *_, found=listed: found)
        assert demand_of(JOB, SITE.hoist, SITE.before).gaps == (Gap("ES", "feed", "g"),)
    listed = [SimpleNamespace(by="stop:ES", between=("h", "g"), form="NC")]
    monkeypatch.setattr(demands, "handset_contacts", lambda *_: listed)
    assert demand_of(JOB, SITE.hoist, SITE.before).gaps == (Gap("ES", "h", "g"),), "as written"


def test_gaps_are_made_in_the_lines_that_contacts_hang_on() -> None:
    """A feed, and a neutral that some contact switches, get a gap each; a winding's common gets none."""

    def gaps(*ends: tuple[str, str]) -> list[tuple[str, str]]:
        wants = tuple(Contact("up", "NO", a, b) for a, b in ends)
        return [(g.a, g.b) for g in split_feed(replace(SITE.demand, wants=wants, gaps=())).gaps]

    assert gaps(("feed", "up"), ("common", "down")) == [("feed", "feed.stopped")]
    assert gaps(("feed", "up"), ("neutral", "down")) == [
        ("feed", "feed.stopped"), ("neutral", "neutral.stopped"),
    ]  # fmt: skip
    assert gaps(("neutral", "up")) == []


# -- assignments -----------------------------------------------------------------------------------


def test_an_output_that_has_another_key_is_taken_last() -> None:
    """The output the job gave the key comes first, one that it gave another key after one it gave none."""
    offered = [Pole((name,), "NO", f"{name}0", f"{name}1") for name in "ABC"]
    wants = (Contact("up", "NO", "x", "y"),)
    search = Search(wants, offered, {}, {"A": "down", "C": "up"})
    assert [found.chosen[0][1].outputs[0] for found in search.run({})][::2] == ["C", "B", "A"]


def test_a_jumper_between_commons_is_taken_out_where_they_have_to_part() -> None:
    """Two commons on different nets need the bridge between their screws out, on one net it stays; a
    bridge inside the receiver is never taken out."""
    made = boxed(
        EntryPart("JA", "wire", ("COM1", "COM2"), role="jumper"), contact("A", "COM1 A1"),
        EntryPart("JX", "wire", ("p", "q"), role="jumper"), contact("B", "COM2 B1"),
        EntryPart("supply", "supply-input", ("L", "N")),
    )  # fmt: skip
    site = replace(SITE, receiver=replace(made, supply_terminals=("L", "N")))
    apart = [Contact("up", "NO", "n1", "m1"), Contact("down", "NO", "n2", "m2")]
    domain = Domain("hot", "ret", 24.0, "AC")
    found, off = assign(site, apart, domain, DIRECT, "AC")
    assert off == ("JA",) and {found.nets["COM1"], found.nets["COM2"]} == {"n1", "n2"}
    together = [replace(want, a="n1") for want in apart]
    assert assign(site, together, domain, DIRECT, "AC")[1] == ()
    stated = replace(JOB, receiver=replace(JOB.receiver, jumpers=(JumperSetting("JA", False),)))
    assert assign(replace(site, job=stated), together, domain, DIRECT, "AC")[1] == ("JA",), "out already"
    with pytest.raises(NoWay, match="for 4 contacts was not found"):
        assign(site, apart * 2, domain, DIRECT, "AC")


def test_jumpers_and_keys_are_written_into_the_receiver() -> None:
    """What is taken out is stated as out; an output that lost its key has none, a new row is momentary."""
    outputs = tuple(ReceiverOutput(id, key) for id, key in (("U", "up"), ("D", "down"), ("S", "stop")))
    bridges = (JumperSetting("JA", True), JumperSetting("JC", True))
    facts = replace(JOB.receiver, jumpers=bridges, outputs=outputs)
    site = replace(SITE, job=replace(JOB, receiver=facts))
    made = receiver_facts(site, Assignment({}, (), {"U": "up", "X": "down"}), ("JA", "JB"))
    assert [(j.id, j.fitted) for j in made.jumpers] == [("JA", False), ("JC", True), ("JB", False)]
    assert [(o.id, o.key) for o in made.outputs] == [("U", "up"), ("D", None), ("S", "stop"), ("X", "down")]
    assert made.outputs[0].mode == made.outputs[3].mode == "momentary"


def test_the_first_transmitter_gets_the_keys_that_are_missing() -> None:
    """Keys that some transmitter has are not given twice; a job without one gets T1."""
    used = Assignment({}, (), {"U": "up", "D": "down"})
    assert transmitters(SITE, used) == (Transmitter("T1", ("up", "down", "stop", "start")),)
    mine = (Transmitter("A", ("down",)), Transmitter("B", ("stop", "start")))
    site = replace(SITE, job=replace(JOB, transmitters=mine))
    assert transmitters(site, used) == (Transmitter("A", ("down", "up")), mine[1])
    whole = (Transmitter("A", ("down", "up", "stop")), Transmitter("B", ("start",)))
    assert transmitters(replace(site, job=replace(JOB, transmitters=whole)), used) == whole


# -- supply ----------------------------------------------------------------------------------------


def at(site: Site, *found: Tap, **hoist: Any) -> Site:
    return replace(site, taps=found, hoist=replace(site.hoist, **hoist))


def test_a_supply_place_without_a_fitting_transformer_is_refused() -> None:
    """From 690 V nothing of the catalog makes a control voltage, and the reason says the volts."""
    with pytest.raises(NoWay, match="no control transformer for 690 V"):
        best_transformer(SITE, Tap("a", "b", 690.0, "AC"))
    assert best_transformer(SITE, Tap("a", "b", 400.0, "AC")).volts == 24.0


def test_coils_are_fed_from_the_line_the_stop_opens() -> None:
    """The control voltage begins before the first gap, whatever its line is called."""
    sheet, gap = fresh(), Gap("ES", "line", "g")
    domain, demand = control_domain(sheet, replace(SITE, demand=replace(SITE.demand, gaps=(gap,))))
    assert domain.hot == "line" and demand.gaps == (gap,)
    bare, _ = control_domain(fresh(), replace(SITE, demand=replace(SITE.demand, gaps=())))
    assert bare.hot == "feed"


def test_between_two_lines_the_receivers_return_lies_behind_the_stop() -> None:
    """A stop with a pole in each line takes the receiver's return with it, and opens both."""
    site = site_of(job_of("capacitor-motor-direct-240-two-line", "two-channel-dry"), CATALOG)
    assert site.hoist.supply_system == "1ph L-L" and site.tap is not None
    sheet = Sheet(site.job)
    control, demand = control_domain(sheet, site)
    gapped = replace(demand, gaps=(Gap("", "feed", "feed.stopped"),))
    stopped, control, common = stop_path(sheet, site, gapped, control)
    assert stopped == {} and control.ret == "line2.stopped" and common.startswith("hoist:")
    for same in (True, False):
        domain, count = receiver_supply(sheet, replace(site, same_pole=same), control, stopped, gapped)
        assert domain.ret == "line2.stopped" and count == 0
    three = replace(SITE, same_pole=False, demand=replace(SITE.demand, gaps=(Gap("", "feed", "g"),)))
    control = Domain("feed", "elsewhere", 24.0, "AC")
    assert three.tap is not None
    assert receiver_supply(fresh(), three, control, {}, three.demand)[0].ret == three.tap.ret


@pytest.mark.parametrize(
    ("frees", "poles", "count"),
    [
        ({}, 0, 0),
        ({"receiver-supply": 2}, 0, 1),
        ({"main-contactor": 4}, 0, 1),
        ({"main-contactor": 2}, 0, 0),
        ({"main-contactor": 6, "receiver-supply": 2}, 0, 2),
        ({"main-contactor": 4, "isolator": 4}, 0, 2),
        ({"main-contactor": 4, "isolator": 6}, 0, 1),
    ],
)
def test_places_with_voltage(
    frees: dict[str, int], poles: int, count: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The supply place, two lines before the main contactor, a line and the isolator's far neutral: each
    where the type has it, and only where there is voltage."""
    seen: list[tuple[str, str]] = []

    def volts(_: Any, one: str, other: str) -> tuple[float, str]:
        seen.append((one, other))
        return 24.0, "AC"

    monkeypatch.setattr("wiring.planner.supply.volts_between", volts)
    places = {n: SimpleNamespace(frees=tuple(f"{n}.{k}" for k in range(c))) for n, c in frees.items()}
    made: Any = SimpleNamespace(place=places.get)
    assert len(taps(made, SITE.before)) == count == len(seen)
    if "isolator" in frees and count == 2:
        assert seen[1] == ("hoist:main-contactor.0", "hoist:isolator.3")
    if "main-contactor" in frees and count:
        assert ("hoist:main-contactor.0", "hoist:main-contactor.2") in seen
    monkeypatch.setattr("wiring.planner.supply.volts_between", lambda *_: (0.5, "AC"))
    assert taps(made, SITE.before) == ()


def test_a_supply_screw_that_an_output_shares_keeps_the_outputs_net() -> None:
    """The live screw is tied to the load's feed and its small fuse goes; the return screw to the load's."""
    bar = bars(SITE.receiver)
    live, ret = SITE.receiver.supply_terminals[:2]

    def landed(hot: str, **given: str) -> Sheet:
        sheet = fresh()
        for net in (hot, "back", "load"):
            sheet.put(net, net)
        sheet.device("F11", "fuse")
        sheet.put("feed", "F11:1")
        sheet.put("rx.fused", "F11:2")
        nets = {bar[{"live": live, "ret": ret}[end]]: net for end, net in given.items()}
        supply_ends(sheet, SITE, Assignment(nets, (), {}), Domain(hot, "back", 24.0, "AC"))
        return sheet

    plain = landed("rx.fused")
    assert f"receiver:{live}" in on(plain, "rx.fused") and f"receiver:{ret}" in on(plain, "back")
    assert [d.type for d in plain.devices] == ["fuse"]
    shared = landed("rx.fused", live="load")
    assert f"receiver:{live}" in on(shared, "load") and shared.same.same("rx.fused", "load")
    assert shared.devices == [] and "F11:1" not in on(shared, "feed")
    assert landed("rx.0+", live="load").same.same("rx.0+", "load")
    back = landed("rx.fused", ret="load")
    assert back.same.same("load", "back") and f"receiver:{ret}" in on(back, "load")
    assert len(back.devices) == 1


def test_the_earth_begins_at_its_core_or_at_the_hoist() -> None:
    """The earth core heads the net of protective terminals; without one the hoist's own earth does."""
    sheet = fresh()
    sheet.put("earth", "S1:PE")
    earth(sheet, SITE)
    assert on(sheet, "earth") == [SITE.demand.points["earth"], "S1:PE", "receiver:PE"]
    points = {net: point for net, point in SITE.demand.points.items() if net != "earth"}
    sheet = fresh()
    earth(sheet, replace(SITE, demand=replace(SITE.demand, points=points)))
    assert SITE.hoist.earth and on(sheet, "earth") == [f"hoist:{SITE.hoist.earth}", "receiver:PE"]
    plastic = replace(SITE.receiver, net=replace(SITE.receiver.net, terminals=()))
    sheet = fresh()
    earth(sheet, replace(SITE, receiver=plastic))
    assert "earth" not in sheet.nets


# -- relays, diodes, poles -------------------------------------------------------------------------

RELAYED = Domain("hot", "ret", 24.0, "DC")


def test_a_key_with_three_contacts_works_two_relays() -> None:
    """Two contacts a relay: a third goes on the next, whose coil lies beside the first's."""
    sheet = fresh()
    wants = [Contact("up", "NO", f"a{n}", f"b{n}") for n in range(3)]
    assert relays(sheet, SITE, wants, RELAYED, low_side=False, bleed=False) == [
        Contact("up", "NO", "hot", "relay.up")
    ]
    assert [d.type for d in sheet.devices].count("relay-24dc") == 2
    one, two = (d.id for d in sheet.devices if d.type == "relay-24dc")
    assert [on(sheet, n)[0] for n in ("a0", "a1", "a2")] == [f"{one}:11", f"{one}:21", f"{two}:11"]
    assert {f"{one}:A1", f"{two}:A1"} <= set(on(sheet, "relay.up"))
    assert {f"{one}:A2", f"{two}:A2"} <= set(on(sheet, "ret"))
    diodes = [d.id for d in sheet.devices if d.type == "suppressor-diode"]
    assert len(diodes) == 2 and all(f"{d}:1" in on(sheet, "relay.up") for d in diodes)
    assert all(f"{d}:2" in on(sheet, "ret") for d in diodes)


def test_a_relay_needs_a_coil_for_the_voltage() -> None:
    """At 90 V direct current no relay of the catalog has a coil, and nothing is laid out."""
    with pytest.raises(NoWay, match="no relay with a coil for 90 V DC"):
        relays(fresh(), SITE, [Contact("up", "NO", "a", "b")], replace(RELAYED, volts=90.0), False, False)


def test_parts_beside_a_coil_lie_on_both_its_nets() -> None:
    """Cathode of the diode and one end of the bleeder on the live net, the others on the return."""
    for put, type in ((diode, "suppressor-diode"), (bleeder, "bleeder-resistor")):
        sheet = fresh()
        put(sheet, "K20", "live", "ret")
        (device,) = sheet.devices
        assert device.type == type
        assert (on(sheet, "live"), on(sheet, "ret")) == ([f"{device.id}:1"], [f"{device.id}:2"])


@pytest.mark.parametrize(
    ("amps", "stands"),
    [((9.0, 9.0, 9.0), True), ((9.0, 1.0, 9.0, 9.0), True), ((9.0, 9.0, 9.0, 1.1), False),
     ((None, 0.5, None, None), True),
     ((9.0, 9.0, None, 9.0), False), ((9.0, 9.0, 9.0, None), False), ((9.0, 0.1, 0.1, 0.1, 0.1), False)],
)  # fmt: skip
def test_a_fourth_line_goes_on_the_auxiliary_contact_if_it_is_light(
    amps: tuple[float | None, ...], stands: bool
) -> None:
    """Three main poles for the heavy lines, one ampere for the auxiliary, no fifth contact."""
    sheet = fresh()
    wants = [Contact("up", "NO", f"a{n}", f"b{n}", a) for n, a in enumerate(amps)]
    if not stands:
        with pytest.raises(NoWay, match="heavy lines"):
            _poles(sheet, "K10.up", "up", wants)
        return
    _poles(sheet, "K10.up", "up", wants)
    assert sheet.nets["a0"] == {"K10.up:1": None}
    if len(amps) == 4:
        assert on(sheet, "a1") == ["K10.up:13"] and on(sheet, "b1") == ["K10.up:14"]


def test_a_suppressor_stays_across_what_is_still_there() -> None:
    """One of two suppressors has both its ends in the new wiring and stays; other devices are left out."""
    kinds = {"R1": "suppressor-rc", "R2": "suppressor-rc", "K1": "relay-24"}
    devices = tuple(AddedDevice(id, type) for id, type in kinds.items())
    rows = (
        Connection("K10.up:A1", "R1:1"), Connection("R1:2", "hoist:K1.A2"),
        Connection("gone:A1", "R2:1"), Connection("R2:2", "hoist:K1.A2"),
        Connection("K1:A1", "K10.up:A1"), Connection("K1:A2", "hoist:K1.A2"),
    )  # fmt: skip
    sheet = fresh()
    sheet.put("coil.up", "K10.up:A1")
    keep_suppressors(sheet, replace(SITE, job=replace(JOB, devices=devices, connections=rows)))
    assert sheet.devices == [devices[0]]
    assert on(sheet, "coil.up") == ["K10.up:A1", "R1:1"]
    assert on(sheet, "hoist:K1.A2") == ["hoist:K1.A2", "R1:2"]


# -- stops -----------------------------------------------------------------------------------------


def placed(name: str, frees: tuple[str, ...]) -> Site:
    found = tuple(p for p in SITE.hoist.insertions if p.place != name)
    if frees:
        found = (*found, replace(SITE.hoist.insertions[0], place=name, frees=frees, remove=("W1",)))
    return replace(SITE, demand=replace(SITE.demand, hoist=replace(SITE.hoist, insertions=found)))


def test_a_main_contactor_opens_as_many_lines_as_its_place_has() -> None:
    """One to three lines get a pole each; a type without the place, or with four lines, gets none."""
    for lines in (1, 2, 3):
        sheet = fresh()
        id = main_contactor(sheet, placed("main-contactor", ("a", "b", "c", "d", "e", "f")[: 2 * lines]),
                            "hot", "ret", 24.0, "AC")  # fmt: skip
        pins = {p for points in sheet.nets.values() for p in points if p.startswith(f"{id}:")}
        assert pins == {f"{id}:A1", f"{id}:A2", *(f"{id}:{n}" for n in range(1, 2 * lines + 1))}
        assert on(sheet, "hoist:b") == [f"{id}:2", "hoist:b"]
    for frees in ((), tuple("abcdefgh")):
        with pytest.raises(NoWay, match="no place for a main contactor"):
            main_contactor(fresh(), placed("main-contactor", frees), "hot", "ret", 24.0, "AC")
    with pytest.raises(NoWay, match="coil for 60 V DC"):
        main_contactor(fresh(), placed("main-contactor", ("a", "b")), "hot", "ret", 60.0, "DC")


def test_a_battery_line_gets_one_isolator() -> None:
    """One pole in the line, in the hoist's box; no place, or two lines, is refused with the reason."""
    sheet = fresh()
    line_isolator(sheet, placed("isolator", ("a", "b")))
    (device,) = sheet.devices
    assert device.type == "battery-isolator" and sheet.inside == {device.id}
    assert on(sheet, "hoist:a") == ["hoist:a", f"{device.id}:1"]
    assert on(sheet, "hoist:b") == [f"{device.id}:2", "hoist:b"]
    assert [r.name for r in sheet.removes] == ["hoist:W1"] and sheet.stops[0].kind == "isolator"
    with pytest.raises(NoWay, match="no place for an isolator"):
        line_isolator(fresh(), placed("isolator", ()))
    with pytest.raises(NoWay, match="with 2 poles"):
        line_isolator(fresh(), placed("isolator", ("a", "b", "c", "d")))


def test_control_has_a_line_of_its_own_only_where_the_motor_line_cannot_serve() -> None:
    """One motor line serves the coils as well; behind a winding, or with two lines, a third block does."""
    gap = (Gap("ES", "feed", "g"),)
    assert set(wired_stop(fresh(), gap, True)) == {"feed"}
    assert set(wired_stop(fresh(), gap, True, own_control=True)) == {"feed", "control.feed"}
    assert set(wired_stop(fresh(), gap, False, own_control=True)) == {"feed"}
