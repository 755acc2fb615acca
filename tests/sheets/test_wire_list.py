"""The wire list, its labels and the proved circuit say the same."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from dataclasses import replace

import pytest

from tests.sheets.conftest import planned
from wiring.model.finding import Verdict
from wiring.model.plan import Plan
from wiring.pipeline import material
from wiring.sheets.commissioning import commissioning
from wiring.sheets.connections import connections
from wiring.sheets.loose import loose_files
from wiring.sheets.operator_card import operator_card
from wiring.sheets.pack import sheets_of
from wiring.sheets.sheet import Labels, Material, Table, Text
from wiring.sheets.wire_labels import wire_labels
from wiring.sheets.wire_list import wire_list


def table_of(text: str, *columns: str) -> list[tuple[str, ...]]:
    """Rows of a CSV sheet, these columns only, as a person's spreadsheet would read them."""
    rows = [row for row in csv.reader(io.StringIO(text)) if not row[0].startswith("#")]
    at = [rows[0].index(column) for column in columns]
    return [tuple(row[i] for i in at) for row in rows[1:]]


def joined(pairs: Iterable[tuple[str, str]]) -> set[frozenset[str]]:
    """Groups of points that the pairs make one, by plain flooding."""
    near: dict[str, set[str]] = {}
    for one, two in pairs:
        near.setdefault(one, set()).add(two)
        near.setdefault(two, set()).add(one)
    groups, left = set(), set(near)
    while left:
        group, queue = set(), [left.pop()]
        while queue:
            point = queue.pop()
            if point not in group:
                group.add(point)
                queue += near[point]
        left -= group
        groups.add(frozenset(group))
    return groups


def from_papers(plan: Plan, left_out: int = 0) -> set[frozenset[str]]:
    """Nets derived from the printed wire list alone: wires to lay and wires that stay.
    left_out: so many of the last wires are forgotten."""
    files = loose_files((wire_list(Material(plan)),))
    laid = table_of(files["wire-list.csv"], "From", "To")
    laid = laid[: len(laid) - left_out]
    name = next(n for n, t in files.items() if n.endswith(".csv") and "Wires that stay" in t)
    stays = table_of(files[name], "From", "To")
    assert plan.after is not None
    seat = plan.after.aliases
    return joined((seat.get(a, a), seat.get(b, b)) for a, b in (*laid, *stays))


def proved(plan: Plan) -> set[frozenset[str]]:
    """Nets of the proved circuit, by its own wires."""
    assert plan.after is not None
    return joined(tuple(p.pins[:2]) for p in plan.after.parts if p.kind == "wire")  # type: ignore[misc]


@pytest.mark.parametrize("name", ["malt", "gantry"])
def test_netlist_of_the_wire_list_is_the_proved_one(name: str, request: pytest.FixtureRequest) -> None:
    """Somebody who wires by the list builds the circuit that was proved."""
    plan: Plan = request.getfixturevalue(name)
    assert from_papers(plan) == proved(plan)


def test_a_wire_left_out_is_noticed(malt: Plan) -> None:
    """The comparison fails when one connection is missing from the list."""
    assert from_papers(malt, left_out=1) != proved(malt)


def test_every_wire_has_two_labels(malt: Plan) -> None:
    """Each end of each new wire has a label that names where both ends go."""
    block = wire_labels(Material(malt)).blocks[1]
    assert isinstance(block, Labels)
    assert len(block.labels) == 2 * len(malt.job.connections)
    first = malt.job.connections[0]
    assert (first.number, first.from_, f"to {first.to}") in block.labels
    assert (first.number, first.to, f"to {first.from_}") in block.labels


def test_every_terminal_used_is_listed(malt: Plan) -> None:
    """The terminal table names each terminal a new wire lands on, with its torque or a word."""
    blocks = wire_list(Material(malt)).blocks
    table = next(b for b in blocks if isinstance(b, Table) and b.title == "Terminals")
    points = {row[0] for row in table.rows}
    wanted = {malt.after.aliases.get(e, e) for c in malt.job.connections for e in (c.from_, c.to)}  # type: ignore[union-attr]
    assert points == wanted
    assert all(row[4] for row in table.rows)


def test_all_sheets_are_there(malt: Plan) -> None:
    """The pack holds every section once, under ids that can be file names."""
    ids = [sheet.id for sheet in sheets_of(material(malt))]
    assert len(ids) == len(set(ids)) == 20
    assert all(id.replace("-", "").isalpha() for id in ids)


def test_a_failing_plan_says_do_not_build() -> None:
    """Sheets that somebody works from warn first where the plan fails; no such line where it passes."""
    first_try = planned("malt-first-try")
    for build in (wire_list, connections, commissioning, operator_card):
        block = build(Material(first_try)).blocks[0]
        assert isinstance(block, Text) and block.text.startswith("DO NOT BUILD OR USE THIS"), build.__name__
    good = replace(first_try, report=replace(first_try.report, verdict=Verdict.PASS))
    assert "DO NOT BUILD" not in str(wire_list(Material(good)).blocks)
