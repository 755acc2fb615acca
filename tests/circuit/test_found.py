"""The type alone and the hoist as found."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.circuit.jobs import GANTRY, MALT
from wiring.circuit import build_before, build_type
from wiring.model.circuit import Circuit
from wiring.model.entry import Catalog
from wiring.model.job import Core, PendantContact


def whole(circuit: Circuit) -> None:
    """Every pin is a point, every cause exists, no name twice."""
    points = [point.name for point in circuit.points]
    parts = {part.name for part in circuit.parts}
    inputs = {input.name for input in circuit.inputs}
    assert len(points) == len(set(points)) and len(parts) == len(circuit.parts)
    for part in circuit.parts:
        assert set(part.pins) <= set(points), part
        kind, _, rest = part.by.partition(":")
        if kind == "coil":
            assert rest in parts, part
        elif kind == "output":
            assert rest in {output.name for output in circuit.outputs}, part
        elif kind:
            assert part.by in inputs, part
    for motor in circuit.motors:
        assert set(motor.parts) <= parts
    assert set(circuit.aliases.values()) <= set(points)


def test_every_type_builds_whole(catalog: Catalog) -> None:
    """Each hoist type of the catalog gives a circuit in which every name leads somewhere."""
    for hoist in catalog.hoists.values():
        circuit = build_type(hoist)
        whole(circuit)
        assert circuit.motors and circuit.core_order == tuple(f"core:{core.role}" for core in hoist.cores)


def test_as_found_names(catalog: Catalog) -> None:
    """A core runs from its hoist terminal to its handset end, and its own name means the terminal."""
    circuit = build_before(GANTRY, catalog)
    whole(circuit)
    core = circuit.part("core:2")
    assert (core.kind, core.pins, core.role, core.colour) == (
        "wire",
        ("hoist:X1.2", "pendant:up"),
        "up",
        "black",
    )
    assert circuit.aliases["core:2"] == "hoist:X1.2"
    assert circuit.part("pendant:up").pins == ("pendant:g", "pendant:up")
    assert circuit.part("pendant:ES").by == "stop:ES"
    assert circuit.part("hoist:K1.21-22").by == "coil:hoist:K1"
    assert circuit.interlocks == (("hoist:K1", "hoist:K2"),)
    assert circuit.earth == "hoist:PE"
    assert circuit.expected["button:up"] == ("hoist up",)


def test_inputs_as_found(catalog: Catalog) -> None:
    """As found there are buttons and no keys, no link and no receiver supply."""
    names = [input.name for input in build_before(GANTRY, catalog).inputs]
    assert names == ["button:up", "button:down", "limit:up", "limit:down", "stop:S0", "stop:ES", "thermal:OL"]


def test_second_step_implies_first(catalog: Catalog) -> None:
    """The second step of a button implies its first."""
    circuit = build_type(catalog.hoists["two-speed-crane-115"])
    steps = {input.name: input.implies for input in circuit.inputs}
    assert steps["button:up.2"] == "button:up" and steps["button:up"] == ""


def test_core_order_is_the_jobs(catalog: Catalog) -> None:
    """Cores lie as the job says; without its word no neighbours are known."""
    order = build_before(GANTRY, catalog).core_order
    assert order == ("core:1", "core:2", "core:PE", "core:3")
    silent = replace(GANTRY, cord=replace(GANTRY.cord, order=None))
    assert build_before(silent, catalog).core_order == ()


def test_unknown_core_sits_nowhere(catalog: Catalog) -> None:
    """A core whose role is not known has ends of its own and joins nothing of the hoist."""
    job = replace(GANTRY, cores=(*GANTRY.cores[:2], Core("3", "grey", None), Core("9", "red", "spare")))
    circuit = build_before(job, catalog)
    whole(circuit)
    for id in ("3", "9"):
        assert circuit.part(f"core:{id}").pins == (f"core:{id}", f"pendant:core.{id}")
    assert all("pendant:down" not in part.pins for part in circuit.parts if part.owner == "core")


def test_two_cores_of_one_role_are_both_there(catalog: Catalog) -> None:
    """Two cores said to have one role lie side by side; the rules speak about it."""
    job = replace(GANTRY, cores=(*GANTRY.cores[:2], Core("3", "grey", "up")))
    circuit = build_before(job, catalog)
    assert circuit.part("core:2").pins == circuit.part("core:3").pins


def test_pendant_contact_replaces_its_pole(catalog: Catalog) -> None:
    """A stated contact of the handset takes the place of that pole of its button."""
    row = PendantContact("down", 2, "NC", ("1", "4"))
    job = replace(MALT, pendant=replace(MALT.pendant, contacts=(row,)))
    contact = build_before(job, catalog).part("pendant:down-second")
    assert (contact.form, contact.by) == ("NC", "button:down")
    assert contact.pins == ("pendant:feed", "pendant:down-second")


def test_pendant_contact_more(catalog: Catalog) -> None:
    """A pole that the type does not have is one contact more, also on a stop."""
    rows = (PendantContact("up", 2, "NO", ("g", "3")), PendantContact("ES", 2, "NC", ("3", "4")))
    job = replace(MALT, pendant=replace(MALT.pendant, contacts=rows))
    circuit = build_before(job, catalog)
    assert circuit.part("pendant:up.pole-2").pins == ("pendant:g", "pendant:down")
    assert circuit.part("pendant:ES.pole-2").by == "stop:ES"
    assert len(circuit.parts) == len(build_before(MALT, catalog).parts) + 2


def test_unknown_type_is_refused(catalog: Catalog) -> None:
    """Without a known hoist type there is no circuit, and the reason is said."""
    for type in (None, "no-such-type"):
        with pytest.raises(ValueError, match="hoist type"):
            build_before(replace(GANTRY, hoist=replace(GANTRY.hoist, type=type)), catalog)
