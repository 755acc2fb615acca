"""The wire list, its labels and the proved circuit say the same."""

from __future__ import annotations

import csv
import io
from collections import Counter
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

import pytest

from tests.sheets.conftest import planned
from wiring.draw import Drawing, drawing
from wiring.files import load_catalog, load_job
from wiring.model.finding import Verdict
from wiring.model.job import Parts
from wiring.model.plan import Counts, Plan, Report
from wiring.pipeline import circuits, material
from wiring.sheets.commissioning import commissioning
from wiring.sheets.connections import connections
from wiring.sheets.loose import loose_files
from wiring.sheets.operator_card import operator_card
from wiring.sheets.pack import sheets_of
from wiring.sheets.sheet import Labels, Material, Table, Text
from wiring.sheets.wire_labels import wire_labels
from wiring.sheets.wire_list import wire_list
from wiring.sheets.wires import new_wires


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


TESTS = Path(__file__).resolve().parents[1]
JOBS = sorted(
    [*(TESTS / "jobs").glob("*/*.toml"), *(TESTS.parent / "catalogs" / "demo").glob("*.toml")],
    key=lambda file: file.name,
)
JOBS = [file for file in JOBS if "[job]" in file.read_text("utf-8")]


def unjudged(file: Path) -> Plan:
    """A plan with both circuits, without behaviour and findings: all that the wire list needs."""
    job = load_job(str(file))
    catalog = load_catalog(file.parent)
    report = Report(Verdict.PASS, "design", (), (), Counts(1, 0, 0, 0), Counts(), 1, ())
    return Plan(job, catalog, *circuits(job, catalog), None, report, "0123456789ab", Parts(), "shown", "")


@pytest.mark.parametrize("file", JOBS, ids=[file.stem for file in JOBS])
def test_netlist_of_the_wire_list_is_the_proved_one(file: Path) -> None:
    """Somebody who wires any job by its list builds the circuit that was proved."""
    plan = unjudged(file)
    assert plan.after is not None and len(proved(plan)) > 5
    assert from_papers(plan) == proved(plan)


@pytest.mark.parametrize("file", JOBS, ids=[file.stem for file in JOBS])
def test_labels_and_connection_diagram_show_the_wires_of_the_list(file: Path) -> None:
    """Each wire to lay has both its labels, and stands in the connection diagram with its two ends."""
    plan = unjudged(file)
    assert plan.after is not None
    labels = Counter(label[1:] for b in wire_labels(Material(plan)).blocks if isinstance(b, Labels)
                     for label in b.labels if not b.wide)  # fmt: skip
    seat = plan.after.aliases
    drawn = Counter(
        frozenset(point for point, _ in pins)
        for name, pins in ends_drawn(drawing(plan, "connections")).items()
        if not name.startswith("core:")
    )
    listed: Counter[frozenset[str]] = Counter()
    for row in new_wires(plan):
        assert labels[(row.from_, f"to {row.to}")] and labels[(row.to, f"to {row.from_}")]
        listed[frozenset({seat.get(row.from_, row.from_), seat.get(row.to, row.to)})] += 1
    assert sum(labels.values()) == 2 * len(new_wires(plan))
    assert listed == drawn


def ends_drawn(made: Drawing) -> dict[str, set[tuple[str, int]]]:
    """Wire to the terminals at which the connection diagram prints its ends, by block and print."""
    found: dict[str, set[tuple[str, int]]] = {}
    for sheet in made.sheets:
        for strip in sheet.body.symbols:
            block = strip.parts[0]
            rows = sorted((t.y, t.text) for t in strip.texts if t.role == "terminal")
            for pin in strip.pins:
                print_ = [text for y, text in rows if y <= pin.y + 1.5][-1]
                found.setdefault(pin.refs[0][0], set()).add((point_of(block, print_), pin.refs[0][1]))
    return found


def point_of(block: str, print_: str) -> str:
    """The point that a print in a block of the connection diagram stands for."""
    if block == "hoist" and ":" in print_:
        return print_
    if block == "cord tail":
        return f"core:{print_}"
    unit, colon, rest = print_.partition(":")
    return f"{block}.{unit}:{rest}" if colon else f"{block}:{print_}"


def test_a_wire_left_out_is_noticed(malt: Plan) -> None:
    """The comparison fails when one connection is missing from the list."""
    assert from_papers(malt, left_out=1) != proved(malt)


def test_every_wire_has_two_labels(malt: Plan) -> None:
    """Each end of each new wire has a label that names where both ends go."""
    block = wire_labels(Material(malt)).blocks[1]
    assert isinstance(block, Labels)
    assert len(block.labels) == 2 * len(malt.job.connections)
    first = malt.job.connections[0]
    assert first.from_ == "core:1" and malt.job.cord.fate == "removed"  # nobody finds a core that is gone
    assert (first.number, "hoist:X1.1", f"to {first.to}") in block.labels
    assert (first.number, first.to, "to hoist:X1.1") in block.labels


def test_a_tail_that_stays_is_where_its_wire_lands() -> None:
    """Where tails of the cord are kept the new wires land on their ends, and no terminal of the hoist is
    said to take them; where the cord is removed, they land on the terminals and no core is named."""
    tails, gone = 0, 0
    for file in JOBS:
        plan = unjudged(file)
        sheet = wire_list(Material(plan))
        laid = {row[i] for b in sheet.blocks if isinstance(b, Table) and b.title == "Wires to lay"
                for row in b.rows for i in (2, 3)}  # fmt: skip
        used = {row[0] for b in sheet.blocks if isinstance(b, Table) and b.title == "Terminals"
                for row in b.rows}  # fmt: skip
        assert laid == used, file.name
        cores = {end for end in laid if end.startswith("core:")}
        if plan.job.cord.fate == "tail-kept":
            tails += len(cores)
        elif plan.job.cord.fate == "removed":
            gone += 1
            assert not cores, file.name
    assert tails and gone


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
