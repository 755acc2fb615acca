"""Whole layouts: which nets become one, which stop and overload go in, what cannot be laid out."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from tests.planner.made import CATALOG, boxed, contact, job_of
from wiring.model.entry import EntryPart
from wiring.planner.channels import Pole
from wiring.planner.demand import Contact, Gap
from wiring.planner.drives import (
    Domain,
    _overload,
    _poles,
    _priority,
    nearest_capacitor,
    replacement_capacitor,
)
from wiring.planner.layout import Laid, assign, lay, receiver_supply
from wiring.planner.mapping import Search
from wiring.planner.sheet import Sheet
from wiring.planner.site import Choice, NoWay, Site, site_of
from wiring.planner.stops import both_lines

DIRECT = Choice("direct", False, False, 0)
PAIR = Choice("pair", False, False, 0)


def at(hoist: str, receiver: str = "two-channel-dry") -> Site:
    return site_of(job_of(hoist, receiver), CATALOG)


COILS = at("reversing-contactors-24")
MOTOR = at("capacitor-motor-direct-120")
LINES = at("capacitor-motor-direct-240-two-line")


def without_stop(site: Site) -> Site:
    """The hoist with a handset that has no stop: what hung behind it hangs on the feed."""
    gaps = {gap.b: gap.a for gap in site.demand.gaps}
    wants = tuple(replace(w, a=gaps.get(w.a, w.a), b=gaps.get(w.b, w.b)) for w in site.demand.wants)
    return replace(site, demand=replace(site.demand, wants=wants, gaps=()))


def types(laid: Laid) -> list[str]:
    return [d.type for d in laid.sheet.devices]


# -- stops -----------------------------------------------------------------------------------------


def test_a_motor_in_the_handset_gets_a_wired_stop_even_where_it_had_none() -> None:
    """A line that carries the motor is opened by a motor-rated stop; a hoist with contactors and no stop
    of its own gets none for its coils by itself."""
    assert "emergency-stop-motor" in types(lay(without_stop(MOTOR), PAIR))
    assert "emergency-stop-motor" in types(lay(MOTOR, PAIR))
    assert not [t for t in types(lay(without_stop(COILS), DIRECT)) if t.startswith("emergency")]
    assert "emergency-stop" in types(lay(COILS, DIRECT))


def test_a_receiver_with_stop_outputs_gets_a_gap_for_them() -> None:
    """Its stop outputs are wired in a hoist whose handset had no stop as well, behind a wired one."""
    made = lay(without_stop(at("reversing-contactors-24", "six-channel-stop-pair")), DIRECT)
    stop = next(pole for want, pole in made.assignment.chosen if want.button == "stop")
    assert stop.outputs == ("STOP1", "STOP2") and "emergency-stop" in types(made)


def test_between_two_lines_the_motors_other_end_hangs_behind_the_stop() -> None:
    """Direct, the common of the windings goes on behind the stop's second pole; a pair switches it."""
    direct, pair = lay(LINES, DIRECT), lay(LINES, PAIR)
    place = LINES.demand.place("main-contactor")
    assert place is not None
    common = f"hoist:{place.frees[3]}"
    joined = [points for points in direct.sheet.merged().values() if common in points]
    assert joined and any(p.endswith(":4") and p.startswith("S1") for p in joined[0])
    poled = [points for points in pair.sheet.merged().values() if common in points]
    assert poled and not any(p == "S1:4" for p in poled[0])
    assert {p for p in poled[0] if p.startswith("K10.")} != set()


def test_a_bridge_inside_the_handset_stays() -> None:
    """Cores that a wire of the handset joined are one net afterwards."""
    bridge = EntryPart("br", "wire", ("up", "down"))
    assert not lay(COILS, DIRECT).sheet.same.same("up", "down")
    made = lay(replace(COILS, hoist=replace(COILS.hoist, handset_parts=(bridge,))), DIRECT)
    assert made.sheet.same.same("up", "down")


def test_stop_outputs_of_a_pair_open_the_coils_feed() -> None:
    """Every coil of the pair hangs behind the stop outputs, none before them."""
    made = lay(at("capacitor-motor-direct-120", "six-channel-stop-pair"), PAIR)
    wants = {want.button: want for want, _ in made.assignment.chosen}
    assert (wants["stop"].a, wants["stop"].b) == ("coils", "coils.stopped")
    assert wants["up"].a == wants["down"].a == "coils.stopped"


# -- supply ----------------------------------------------------------------------------------------


def supplied(site: Site, control: Domain, stopped: dict[str, str], *gaps: Gap) -> Domain:
    return receiver_supply(
        Sheet(site.job), site, control, stopped, replace(site.demand, gaps=gaps)
    )[0]  # fmt: skip


def fused(site: Site, *gaps: Gap) -> str:
    """The net that the receiver's fuse is fed from."""
    sheet = Sheet(site.job)
    control = Domain("feed", "ret", 24.0, "AC")
    receiver_supply(sheet, site, control, {"feed": "behind"}, replace(site.demand, gaps=gaps))
    return next(net for net, points in sheet.nets.items() if "F11:1" in points)


def test_the_receiver_sits_behind_the_stop_where_it_takes_the_same_pole() -> None:
    """On the pole that the stop opens its supply comes from behind it, on another from the supply place."""
    low = at("reversing-contactors-24", "six-channel-stop-pair")
    assert low.tap is not None
    gap = Gap("ES", "feed", "g")
    assert fused(replace(low, same_pole=True), gap) == "behind"
    assert fused(replace(low, same_pole=False), gap) == low.tap.hot
    assert fused(replace(low, same_pole=True)) == low.tap.hot, "there is no stop"
    lines = replace(low, same_pole=False, hoist=replace(low.hoist, supply_system="1ph L-L"))
    assert fused(lines, gap) == low.tap.hot
    assert supplied(lines, Domain("feed", "second", 24.0, "AC"), {}, gap).ret == "second"


def test_an_output_fed_from_the_supply_screw_puts_its_own_net_there() -> None:
    """The screw that one of two outputs hangs on takes the net of that contact; a screw that none hangs on
    has the supply's net."""
    fed = EntryPart("supply", "supply-input", ("L", "N"))
    made = boxed(contact("A", "L A1"), contact("B", "COM B1"), fed)
    site = replace(COILS, receiver=replace(made, supply_terminals=("L", "N")))
    wants = [Contact("up", "NO", "n1", "m1"), Contact("down", "NO", "n2", "m2")]
    found, _ = assign(site, wants, Domain("hot", "ret", 24.0, "AC"), DIRECT, "AC")
    used = {o: (p.a, p.b) for _, p in found.chosen for o in p.outputs}
    assert set(used) == {"A", "B"} and found.nets["L"] in ("n1", "m1", "n2", "m2")
    assert found.nets["N"] == "ret"


# -- what stands between ---------------------------------------------------------------------------


@pytest.mark.parametrize("missing", ["motor-line", "main-contactor"])
def test_an_overload_relay_needs_its_place(missing: str) -> None:
    """Without the motor line's place, or the line's, the coils stay on the feed they had."""
    site = at("three-phase-direct-two-pole-400")
    sheet = Sheet(site.job)
    assert _overload(sheet, site, "hot") == "coils" and [d.type for d in sheet.devices] == ["overload-relay"]
    left = tuple(p for p in site.hoist.insertions if p.place != missing)
    bare = replace(site, demand=replace(site.demand, hoist=replace(site.hoist, insertions=left)))
    sheet = Sheet(site.job)
    assert _overload(sheet, bare, "hot") == "hot" and sheet.devices == []


def test_of_two_keys_with_one_contact_each_the_first_yields() -> None:
    """Three keys, or a key with two contacts, have no free resting contact to yield by."""
    up, down = Contact("up", "NO", "a", "b"), Contact("down", "NO", "a", "c")
    assert _priority({"up": [up], "down": [down]}) == {"up": "down"}
    assert _priority({"up": [up], "down": [down, down]}) == {} == _priority({"up": [up, up], "down": [down]})
    assert _priority({"up": [up]}) == {} == _priority({"up": [up], "down": [down], "in": [down]})


def test_four_lines_of_unknown_current_are_heavy() -> None:
    """What is not known is never put on the auxiliary contact."""
    wants = [Contact("up", "NO", f"a{n}", f"b{n}") for n in range(4)]
    with pytest.raises(NoWay, match="4 heavy lines"):
        _poles(Sheet(COILS.job), "K10.up", "up", wants)


def test_a_capacitor_that_is_nowhere_to_be_had_is_named() -> None:
    """The size is said in microfarads."""
    with pytest.raises(NoWay, match="no run capacitor of 500 uF"):
        nearest_capacitor(CATALOG, 500e-6)


def test_a_capacitor_goes_where_two_winding_ends_are_free() -> None:
    """Where the windings' free ends cannot be told the handset's capacitor has no place."""
    site = at("capacitor-in-handset-230")
    sheet = Sheet(site.job)
    replacement_capacitor(sheet, site)
    assert [d.type for d in sheet.devices] == ["capacitor-bleeder-16uf"]
    other: Any = EntryPart("W9", "winding", ("x", "y"))
    net = replace(site.hoist.net, parts=(*site.hoist.net.parts, other))
    with pytest.raises(NoWay, match="cannot be told"):
        replacement_capacitor(Sheet(site.job), replace(site, hoist=replace(site.hoist, net=net)))


@pytest.mark.parametrize("ends", [0, 2, 6])
def test_both_lines_are_opened_at_a_place_in_both(ends: int) -> None:
    """A type without a place in two lines cannot have them opened, and the reason says so."""
    (place,) = (p for p in LINES.hoist.insertions if p.place == "main-contactor")
    others = tuple(p for p in LINES.hoist.insertions if p is not place)
    made = (*others, replace(place, frees=(*place.frees, "x", "y")[:ends])) if ends else others
    hoist = replace(LINES.hoist, insertions=made)
    with pytest.raises(NoWay, match="no place where both lines can be opened"):
        both_lines(Sheet(LINES.job), replace(LINES, demand=replace(LINES.demand, hoist=hoist)))


def test_a_common_that_is_on_the_net_already_is_liked() -> None:
    """Of two free outputs the one whose common has the wanted net is taken first."""
    offered = [Pole((n,), "NO", common, f"{n}1") for n, common in (("A", "COM"), ("B", "OWN"), ("C", "COM"))]
    wants = (Contact("up", "NO", "n", "u"), Contact("down", "NO", "n", "d"))
    first = next(iter(Search(wants, offered, {}).run({})))
    assert [pole.outputs for _, pole in first.chosen] == [("A",), ("C",)]
    assert first.nets == {"COM": "n", "A1": "u", "C1": "d"}
