"""Every hoist type of the catalog, and every one beside a test job, proves itself; a spoilt one does not."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from wiring.circuit import build_type
from wiring.files import load_catalog, load_entry
from wiring.model.entry import EntryPart, HoistType
from wiring.simulate.selftest import self_test

OWN = Path(__file__).parents[1] / "jobs" / "own-types"
CATALOG = load_catalog()
BUILT_IN = sorted(CATALOG.hoists)
BESIDE = ("boatyard-pillar-crane", "barn-curtain-winch", "sawmill-two-motor-gantry")
WINCHES = tuple(name for name in BUILT_IN if name.startswith("winch-"))


def hoist(name: str) -> HoistType:
    """A type by id, built in or beside the test jobs."""
    if name in BESIDE:
        entry = load_entry(OWN / f"{name}.toml")
        assert isinstance(entry, HoistType)
        return entry
    return CATALOG.hoists[name]


def with_parts(type_: HoistType, change: Callable[[EntryPart], EntryPart]) -> HoistType:
    """The type with every part put through `change`."""
    return replace(type_, net=replace(type_.net, parts=tuple(change(part) for part in type_.net.parts)))


@pytest.mark.parametrize("name", (*BUILT_IN, *BESIDE))
def test_each_type_moves_as_its_rows_say(name: str) -> None:
    """The self-test of a hoist type has no failed row."""
    assert [str(failure) for failure in self_test(hoist(name))] == []


@pytest.mark.parametrize("name", (*BUILT_IN, *BESIDE))
def test_each_type_tests_every_input_it_has(name: str) -> None:
    """Rest, every button, limit, stop and thermal device of a type stands in an expected row."""
    type_ = hoist(name)
    assert any(not row.press and not row.open for row in type_.expected)
    pressed = {button for row in type_.expected for button in row.press}
    pressed |= {"start"} if any(row.start for row in type_.expected) else set()
    assert {button.id for button in type_.buttons if button.motion} <= pressed
    opened = {name for row in type_.expected for name in row.open}
    assert {f"limit:{limit.id}" for limit in type_.limits} <= opened
    assert {f"stop:{stop.id}" for stop in type_.stops} <= opened
    assert {f"thermal:{id}" for id, _ in type_.thermals} <= opened


@pytest.mark.parametrize("name", (*BUILT_IN, *BESIDE))
def test_the_self_test_notices_motors_that_turn_the_other_way(name: str) -> None:
    """With the two directions of every motor exchanged the self-test fails."""
    type_ = hoist(name)
    turned = tuple(replace(m, positive=m.negative, negative=m.positive) for m in type_.motors)
    assert self_test(replace(type_, motors=turned))


@pytest.mark.parametrize("name", (*BUILT_IN, *BESIDE))
def test_the_self_test_notices_each_limit_that_is_bridged(name: str) -> None:
    """With the contacts of one limit always closed the self-test fails, for each limit of the type."""
    type_ = hoist(name)
    for limit in type_.limits:
        cause = f"limit:{limit.id}"

        def bridge(part: EntryPart, cause: str = cause) -> EntryPart:
            return replace(part, kind="wire", form="", by="") if part.by == cause else part

        assert self_test(with_parts(type_, bridge)), f"{name}: {cause} bridged and not noticed"


@pytest.mark.parametrize("name", (*BUILT_IN, *BESIDE))
def test_the_self_test_notices_each_stop_that_is_bridged(name: str) -> None:
    """With the contacts of one stop always closed the self-test fails, for each stop of the type."""
    type_ = hoist(name)
    for stop in type_.stops:
        cause = f"stop:{stop.id}"

        def bridge(part: EntryPart, cause: str = cause) -> EntryPart:
            return replace(part, kind="wire", form="", by="") if part.by == cause else part

        spoilt = with_parts(type_, bridge)
        kept = tuple(contact for contact in type_.contacts if contact.by != cause)
        wires = tuple(
            EntryPart(f"bridge-{contact.id}", "wire", contact.between)
            for contact in type_.contacts
            if contact.by == cause
        )
        spoilt = replace(spoilt, contacts=kept, handset_parts=(*type_.handset_parts, *wires))
        assert self_test(spoilt), f"{name}: {cause} bridged and not noticed"


@pytest.mark.parametrize("name", BUILT_IN)
def test_each_type_is_complete(name: str) -> None:
    """A built-in type has three colourings, signs to know it by, insertion places, a way off the supply."""
    type_ = CATALOG.hoists[name]
    assert len(type_.colourings) == 3
    assert all(len(core.colours) == 3 for core in type_.cores)
    assert len(type_.recognise) >= 3
    places = {insertion.place for insertion in type_.insertions}
    assert {"main-contactor", "receiver-supply", "isolator"} <= places
    kinds = {stop.kind for stop in type_.stops}
    # a battery winch has neither plug nor isolator as found: its own finding, and the place for one
    assert kinds & {"plug", "isolator"} or name in WINCHES
    assert any(part.kind == "fuse" for part in type_.net.parts)


@pytest.mark.parametrize("name", BUILT_IN)
def test_insertion_places_free_the_ends_of_the_wires_they_remove(name: str) -> None:
    """Both ends of each wire that an insertion place takes off are listed as freed."""
    type_ = CATALOG.hoists[name]
    ends = {wire.id: wire.ends for wire in type_.net.wires}
    for insertion in type_.insertions:
        for wire in insertion.remove:
            assert set(ends[wire]) <= set(insertion.frees), f"{insertion.place}: {wire}"


@pytest.mark.parametrize("name", (*BUILT_IN, *BESIDE))
def test_no_terminal_is_joined_to_another_but_by_a_wire(name: str) -> None:
    """Two parts share a point only where it is a listed terminal, an inside junction or one device's own."""
    type_ = hoist(name)
    listed = {terminal.id for terminal in type_.net.terminals} | set(type_.net.junctions)
    seen: dict[str, list[str]] = {}
    for part in type_.net.parts:
        for pin in part.at:
            seen.setdefault(pin, []).append(part.id)
    for pin, parts in seen.items():
        if len(parts) > 1 and pin not in listed:
            assert pin.partition(".")[0] in {"motor", "KI", "KO", "H", "T"}, f"{pin} joins {parts}"


def test_every_generic_circuit_is_there() -> None:
    """The catalog covers each kind of motor, each way of switching it, and each control circuit."""
    kinds = {motor.kind for type_ in CATALOG.hoists.values() for motor in type_.motors}
    assert kinds == {
        "capacitor",
        "main-auxiliary",
        "three-phase",
        "dc-permanent-magnet",
        "series",
        "drive",
    }
    assert len(BUILT_IN) >= 21
    systems = {type_.supply_system for type_ in CATALOG.hoists.values()}
    assert systems >= {"1ph L-N", "1ph L-L", "3ph 4-wire", "dc"}
    assert any(part.kind == "capacitor" for type_ in CATALOG.hoists.values() for part in type_.handset_parts)


@pytest.mark.parametrize("name", BUILT_IN)
def test_nothing_in_a_type_is_a_serial_number_of_a_list(name: str) -> None:
    """Ids, titles and labels are plain words, not codes of a letter and two digits."""
    type_ = CATALOG.hoists[name]
    labels = [type_.id, type_.title, *(part.label for part in type_.net.parts)]
    for label in (*labels, *type_.notes, *type_.recognise):
        assert not re.search(r"\b[ARC]\d{1,2}\b|\bT\d\d\b", label), label


@pytest.mark.parametrize("name", (*BUILT_IN, *BESIDE))
def test_a_type_builds_with_every_core_on_its_terminal(name: str) -> None:
    """The circuit of a type alone has one core per role, from the hoist terminal to the handset."""
    type_ = hoist(name)
    circuit = build_type(type_)
    for core in type_.cores:
        assert circuit.part(f"core:{core.role}").pins == (f"hoist:{core.at}", f"pendant:{core.role}")
