"""Voltages and coils where the catalog or the hoist is out of the ordinary."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType
from typing import Any

import pytest

from tests.planner.made import CATALOG, job_of
from tests.simulate.circuits import capacitor_hoist, circuit, contactor_hoist, part
from wiring.model.entry import Catalog, DeviceType
from wiring.model.value import certain
from wiring.planner.demand import Contact, Gap, rest_contacts_closed, switches_motor
from wiring.planner.site import _same_pole, site_of
from wiring.planner.specify import coil_currents, contacts, fights, outputs, stop, supply
from wiring.planner.supply import Converter, Tap, by_coil, converters, feeds, of_kind, way_to


def coiled(id: str, volts: float, hertz: float | None = 50.0, kind: str = "relay", **more: Any) -> DeviceType:
    """A relay of the catalog under another name with a coil for other volts."""
    base = CATALOG.devices["relay-24" if kind == "relay" else "contactor-pair-24"]
    values = {"voltage": certain("c.voltage", volts, "V", "stated", "")}
    if hertz is not None:
        values["frequency"] = certain("c.frequency", hertz, "Hz", "stated", "")
    parts = tuple(
        replace(p, values=MappingProxyType(values)) if p.kind == "coil" else p for p in base.net.parts
    )
    return replace(base, id=id, kind=kind, net=replace(base.net, parts=parts, **more))


def catalog(*devices: DeviceType) -> Catalog:
    return replace(CATALOG, devices={d.id: d for d in devices})


def chosen(volts: float, current: str, *devices: DeviceType, kind: str = "relay") -> str:
    found = by_coil(catalog(*devices), kind, volts, current)
    return found.id if found else ""


def test_the_nearest_coil_is_taken_and_the_first_of_equals() -> None:
    """Of three coils in the class the nearest serves; of two as near the first of the catalog."""
    three = (coiled("relay-a", 110), coiled("relay-b", 118), coiled("relay-c", 125))
    assert chosen(120, "AC", *three) == "relay-b"
    assert chosen(120, "AC", *three[::-1]) == "relay-b"
    twins = (coiled("relay-a", 115), coiled("relay-b", 115), coiled("relay-c", 125))
    assert chosen(120, "AC", *twins) == "relay-a"
    assert chosen(120, "AC") == ""


def test_a_coil_is_for_direct_current_where_its_frequency_is_nought() -> None:
    """A coil without a frequency is for AC; one of 0 Hz for DC only."""
    both = (coiled("relay-a", 24, None), coiled("relay-d", 24, 0.0))
    assert (chosen(24, "AC", *both), chosen(24, "DC", *both)) == ("relay-a", "relay-d")
    assert chosen(24, "DC", both[0]) == "" == chosen(24, "AC", both[1])


def test_a_contactor_pair_needs_its_mechanical_interlock() -> None:
    """Two contactors that may both come in are never taken as a pair; a relay needs none."""
    loose = coiled("contactor-pair-a", 24, kind="contactor-pair", interlocks=())
    locked = coiled("contactor-pair-b", 24, kind="contactor-pair")
    assert chosen(24, "AC", loose, locked, kind="contactor-pair") == "contactor-pair-b"
    assert chosen(24, "AC", loose, kind="contactor-pair") == ""
    assert chosen(24, "AC", coiled("relay-a", 24, interlocks=())) == "relay-a"


def test_devices_of_a_kind_are_known_by_name_and_kind() -> None:
    """A device whose id begins with the word and is of another kind is no such device."""
    other = replace(coiled("relay-x", 24), kind="overload-relay")
    assert [d.id for d in of_kind(catalog(other, coiled("relay-y", 24)), "relay")] == ["relay-y"]


def test_what_is_not_on_direct_current_is_converted() -> None:
    """From 120 V AC to a 24 V receiver one step is enough, to one for DC a supply unit; two at most."""
    dc = CATALOG.receivers["four-channel-dry-dc"]
    path = way_to(CATALOG, 120.0, "AC", dc)
    assert path is not None and [(c.kind, c.wished) for c in path] == [("DC", "T11")]
    assert feeds(dc, path[-1].volts, "DC")
    assert way_to(CATALOG, 120.0, "AC", dc, most=0) is None
    steps = list(converters(CATALOG, 400.0, "AC"))
    assert {s.wished for s in steps} == {"T10"} and all(s.kind == "AC" for s in steps)
    assert all((s.inputs, s.outputs) == (("L1", "L2"), ("X1", "X2")) for s in steps)
    two = way_to(CATALOG, 400.0, "AC", dc)
    assert two is not None and len(two) == 2 and two[-1].kind == "DC"
    assert way_to(CATALOG, 400.0, "AC", dc, most=1) is None


# -- what is read from the hoist as found ----------------------------------------------------------


def test_a_button_that_is_not_there_switches_nothing() -> None:
    """A motion expected of a button without a contact adds no current, and no motor is switched by it."""
    ghost = {"button:ghost": ("hoist up",)}
    assert coil_currents(contactor_hoist(expected=ghost))[:2] == (0.0, 0.0)
    assert switches_motor(capacitor_hoist(expected={"button:up": ("hoist up",)}))
    assert not switches_motor(capacitor_hoist(expected=ghost))


def test_buttons_that_the_handset_keeps_apart_fight_all_the_same() -> None:
    """Both windings of a capacitor motor at once stall it, whether or not both buttons can be pressed."""
    assert fights(capacitor_hoist(expected={"button:up": ("hoist up",), "button:down": ("hoist down",)}))
    assert not fights(contactor_hoist(expected={"button:up": ("hoist up",)}))


def test_a_drives_inputs_need_a_light_contact() -> None:
    """Where a button moves no coil the contact is for milliamperes; a coil asks for its class and current."""
    job = job_of("drive-npn", "four-channel-dry-dc")
    site = site_of(job, CATALOG)
    (light,) = contacts(site.demand, site.before, CATALOG)
    assert light.wanted.startswith("for small loads") and "gold" in light.wanted
    winch = site_of(job_of("winch-permanent-magnet-12", "four-channel-dry-dc"), CATALOG)
    (coil,) = contacts(winch.demand, winch.before, CATALOG)
    assert coil.wanted == "DC-13 at 12 V DC: 1.20 A"


def test_outputs_are_counted_by_key_and_form() -> None:
    """Each button with its closing and its resting contacts; a stop of the handset is told by its name."""
    site = site_of(job_of("reversing-contactors-24", "two-channel-dry"), CATALOG)
    wants = (
        Contact("up", "NO", "a", "b"), Contact("up", "NO", "c", "d"), Contact("up", "NC", "e", "f"),
        Contact("down", "NC", "g", "h"),
    )  # fmt: skip
    made = replace(site.demand, wants=wants)
    assert next(iter(outputs(made, site.before))).wanted == "up: 2 NO + 1 NC; down: 1 NC"
    assert "pendant's stop ES" in next(iter(stop(site.demand))).why
    assert "no stop of its own" in next(iter(stop(replace(made, gaps=())))).why
    assert made.buttons() == ("up", "down") and replace(made, wants=wants[:1]).buttons() == ("up",)


def test_a_resting_contact_counts_for_every_other_key() -> None:
    """With three keys a contact that one of them opens is closed by the two others."""
    wants = (
        Contact("up", "NO", "L", "A"), Contact("down", "NO", "L", "B"), Contact("in", "NC", "L", "C", 2.0),
        Contact("in", "NO", "L", "D"),
    )  # fmt: skip
    assert rest_contacts_closed(wants) == (
        *wants[:2], Contact("up", "NO", "L", "C", 2.0), Contact("down", "NO", "L", "C", 2.0), wants[3],
    )  # fmt: skip


@pytest.mark.parametrize("volts", [24.0, 48.0])
def test_a_voltage_that_fits_needs_no_converter(volts: float) -> None:
    """A coil for the voltage at hand is fed as it is, on AC only."""
    assert way_to(CATALOG, volts, "AC", None, volts) == ()
    assert way_to(CATALOG, volts, "DC", None, volts) is None


def test_two_converters_in_a_row_are_the_most(monkeypatch: pytest.MonkeyPatch) -> None:
    """What only a third converter would make is not made; the shorter way is taken."""
    receiver = CATALOG.receivers["two-channel-dry"]

    def double(_: Any, volts: float, kind: str) -> list[Converter]:
        return [Converter("x", ("1", "2"), ("3", "4"), volts, 2 * volts, kind, "T1")]

    monkeypatch.setattr("wiring.planner.supply.converters", double)
    for wanted, steps in ((20.0, 1), (40.0, 2), (80.0, None)):
        monkeypatch.setattr("wiring.planner.supply.feeds", lambda _, volts, kind, w=wanted: volts == w)
        path = way_to(CATALOG, 10.0, "AC", receiver)
        assert (len(path) if path is not None else None) == steps


def test_a_hoist_without_a_place_for_a_supply_is_specified_all_the_same() -> None:
    """Contacts are described without the volts, no supply is asked for, no pair is worked out."""
    words = {"reversing-contactors-24": "the control voltage", "capacitor-motor-direct-120": "780 W"}
    for hoist, wanted in words.items():
        site = site_of(job_of(hoist, "two-channel-dry"), CATALOG)
        bare = replace(site.demand, hoist=replace(site.hoist, insertions=()))
        (want,) = contacts(bare, site.before, CATALOG)
        assert wanted in want.wanted and list(supply(bare, site.before)) == []


def test_a_supply_behind_a_contact_that_rests_open_is_another_pole() -> None:
    """Only what is joined at rest is one pole: a contactor's open contact between parts the two."""
    site = site_of(job_of("reversing-contactors-24", "two-channel-dry"), CATALOG)
    assert site.tap is not None
    for form, same in (("NO", False), ("NC", True)):
        made = circuit([part("K", "contact", f"{site.tap.hot} core:F", "coil:K0", form)], "")
        demand = replace(site.demand, points={"feed": "core:F"}, gaps=(Gap("ES", "feed", "g"),))
        assert _same_pole(demand, made, site.taps) is same
        assert not _same_pole(demand, made, ()) and not _same_pole(replace(demand, gaps=()), made, site.taps)
        assert not _same_pole(replace(demand, points={}), made, site.taps)


def test_above_three_hundred_volts_control_has_a_transformer() -> None:
    """300 V may be a control voltage, 301 V may not."""
    site = site_of(job_of("reversing-contactors-24", "two-channel-dry"), CATALOG)
    for volts, needs in ((300.0, False), (301.0, True)):
        assert replace(site, taps=(Tap("a", "b", volts, "AC"),)).needs_transformer is needs
    assert not replace(site, taps=()).needs_transformer
