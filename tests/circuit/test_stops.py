"""Stops: what they are called, what they open, what rank they have."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.circuit.jobs import GANTRY, MALT
from wiring.circuit import build_after, build_before, build_type
from wiring.files.quantity import parse
from wiring.model.circuit import Circuit
from wiring.model.entry import Catalog
from wiring.model.job import AddedDevice, Job, Pendant, StopFact, Transmitter


def ranks(circuit: Circuit) -> dict[str, int]:
    return {stop.input: stop.rank for stop in circuit.stops}


def test_pendant_stop_is_at_hand(catalog: Catalog) -> None:
    """As found the pendant's own stop is at the operator's hand; an isolator nobody spoke of is elsewhere."""
    found = ranks(build_before(replace(GANTRY, stops=()), catalog))
    assert found == {"stop:ES": 3, "stop:Q1": 1}
    assert ranks(build_type(catalog.hoists["reversing-contactors-24"])) == {"stop:ES": 3, "stop:Q1": 1}


def test_job_stop_names_the_types(catalog: Catalog) -> None:
    """A stop of the job that names a stop of the type gives it its name, in both circuits."""
    for circuit in (build_before(GANTRY, catalog), build_after(GANTRY, catalog)):
        assert circuit.part("hoist:Q1.1-2").by == "stop:S0"
        stop = next(stop for stop in circuit.stops if stop.input == "stop:S0")
        assert (stop.kind, stop.rank, stop.where, stop.lockable) == ("isolator", 2, "by the door", True)
        assert stop.parts == ("hoist:Q1.1-2", "hoist:Q1.3-4", "hoist:Q1.5-6")


def test_a_contact_names_its_stop(catalog: Catalog) -> None:
    """A stop may be named by one of its contacts."""
    job = replace(GANTRY, stops=(StopFact("S0", device="hoist:Q1.3-4"),))
    assert build_after(job, catalog).part("hoist:Q1.1-2").by == "stop:S0"


@pytest.mark.parametrize(
    ("fact", "rank"),
    [
        ({"reach": "operator"}, 3),
        ({"reach": "near", "distance": "10 m", "path_clear": True}, 2),
        ({"reach": "near", "distance": "32.8 ft", "path_clear": True}, 2),
        ({"reach": "near", "distance": "10.1 m", "path_clear": True}, 1),
        ({"reach": "near", "distance": "4 m", "path_clear": False}, 1),
        ({"reach": "near", "distance": "4 m"}, 1),
        ({"reach": "near", "path_clear": True}, 1),
        ({"reach": "elsewhere", "distance": "1 m", "path_clear": True}, 1),
        ({}, 1),
    ],
)
def test_rank(catalog: Catalog, fact: dict[str, object], rank: int) -> None:
    """Near counts only within the stated distance and on a way stated to be clear of the load."""
    distance = fact.pop("distance", None)
    length = parse(str(distance), "length") if distance else None
    job = replace(GANTRY, stops=(StopFact("S0", "isolator", "hoist:Q1", distance=length, **fact),))  # type: ignore[arg-type]
    assert ranks(build_after(job, catalog))["stop:S0"] == rank


def test_near_rests_on_the_table(catalog: Catalog) -> None:
    """Without the figure of common practice no stop is near."""
    assert catalog.value("practice/stop-near/distance") is not None
    bare = replace(catalog, tables={})
    assert ranks(build_after(GANTRY, bare))["stop:S0"] == 1


def test_added_emergency_stop(catalog: Catalog) -> None:
    """A stop that names an added device opens that device's contacts under the stop's name."""
    circuit = build_after(MALT, catalog)
    stop = next(stop for stop in circuit.stops if stop.input == "stop:E1")
    assert (stop.rank, stop.parts) == (3, ("S1:1-2", "S1:3-4", "S1:11-12"))
    assert "stop:E1" in [input.name for input in circuit.inputs]


def test_a_stop_without_a_part_does_not_count(catalog: Catalog) -> None:
    """A stop that names no part is no stop; a stop device nobody declared is an input without rank."""
    job = replace(
        MALT, stops=(StopFact("E1", reach="operator"), StopFact("E2", device="X9", reach="operator"))
    )
    circuit = build_after(job, catalog)
    assert not {"stop:E1", "stop:E2", "stop:S1"} & set(ranks(circuit))
    assert "stop:S1" in [input.name for input in circuit.inputs]


def test_names_never_merge_two_stops(catalog: Catalog) -> None:
    """A stop of the job that has the id of another stop of the type never operates both."""
    job = replace(MALT, stops=(StopFact("Q1", "wired emergency stop", "S1", "operator"),))
    circuit = build_after(job, catalog)
    assert circuit.part("S1:1-2").by == "stop:Q1"
    assert circuit.part("hoist:Q1.1-2").by == "stop:Q1.own"
    assert build_before(job, catalog).part("hoist:Q1.1-2").by == "stop:Q1.own"


def test_plug(catalog: Catalog) -> None:
    """The plug is named as plug or by one of its pins."""
    for device in ("plug:L", "hoist:plug-L"):
        job = replace(MALT, stops=(StopFact("P1", "plug", device, "elsewhere"),))
        assert build_after(job, catalog).part("hoist:plug-N").by == "stop:P1"


def radio(job: Job, catalog: Catalog) -> int | None:
    return ranks(build_after(job, catalog)).get("key:stop")


def test_radio_stop(catalog: Catalog) -> None:
    """The radio stop counts if an output follows it and a transmitter has the key."""
    assert radio(GANTRY, catalog) == 3
    assert radio(replace(GANTRY, transmitters=(Transmitter("T1", ("up", "down")),)), catalog) is None
    assert radio(MALT, catalog) is None
    stated = StopFact("R1", "radio stop", "receiver", reach="elsewhere")
    assert radio(replace(GANTRY, stops=(stated,)), catalog) == 1


def test_kept_pendant_hangs_elsewhere_until_stated(catalog: Catalog) -> None:
    """A pendant kept as a stop box is at nobody's hand unless the job says where it hangs."""
    job = replace(GANTRY, cord=replace(GANTRY.cord, fate="kept"), pendant=Pendant("stop-kept"))
    assert ranks(build_after(job, catalog))["stop:ES"] == 1
    stated = replace(job, stops=(StopFact("S9", "local stop", "pendant:ES", "operator"),))
    assert ranks(build_after(stated, catalog))["stop:S9"] == 3
    assert ranks(build_before(stated, catalog))["stop:S9"] == 3


def test_removed_stop_is_gone(catalog: Catalog) -> None:
    """With the pendant its stop goes."""
    assert "stop:ES" not in ranks(build_after(GANTRY, catalog))
    none = replace(MALT, devices=(AddedDevice("K10", "contactor-pair-120"),))
    assert "stop:E1" not in ranks(build_after(none, catalog))
