"""Every trade table, clause and cable: it loads, names its source, and its cells can be addressed."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from wiring.files import load_catalog
from wiring.model.value import Value

CATALOG = load_catalog()
FOLDER = Path(__file__).parents[2] / "catalogs"
TABLES = sorted(CATALOG.tables)
GUIDE_WORDS = {"proof", "question"}
COMMISSIONING = {
    "battery-low", "both-keys", "dead", "direction", "drop", "earth", "insulation", "limit", "load", "loss",
    "range", "release", "restart", "second-transmitter", "stop", "switch-on",
}  # fmt: skip


@pytest.mark.parametrize("name", TABLES)
def test_table_names_its_source(name: str) -> None:
    """A table has a title, a region, rows, and a source with the place it was read at."""
    table = CATALOG.tables[name]
    assert table.title and table.rows and table.region in {"us", "iec", "both"}
    assert table.source.title and table.source.basis in {"read", "derived", "practice", "memory"}
    text = (FOLDER / "tables" / f"{name}.toml").read_text(encoding="utf-8")
    columns = tomllib.loads(text)["columns"]
    assert all(column.get("title") for column in columns.values())


@pytest.mark.parametrize("name", TABLES)
def test_every_cell_is_found_by_its_address(name: str) -> None:
    """The id of each number is the address under which the catalog gives that same number."""
    table = CATALOG.tables[name]
    for row, cells in table.rows.items():
        for column, cell in cells.items():
            if not isinstance(cell, Value):
                continue
            assert cell.id == f"{name}/{row}/{column}"
            assert CATALOG.value(cell.id) is cell
            assert cell.source and cell.low <= cell.si <= cell.high


@pytest.mark.parametrize("name", TABLES)
def test_spread_goes_with_weak_figures(name: str) -> None:
    """A recalled figure has a spread; a read one is taken as printed unless its cell says otherwise."""
    text = (FOLDER / "tables" / f"{name}.toml").read_text(encoding="utf-8")
    for row, cells in CATALOG.tables[name].rows.items():
        for column, cell in cells.items():
            if isinstance(cell, Value) and cell.si != 0.0:
                if cell.weak:
                    assert cell.low < cell.high, (row, column)
                elif "spread" not in text and "low =" not in text:
                    assert cell.low == cell.si == cell.high, (row, column)


def test_no_address_is_ambiguous() -> None:
    """No table id holds a slash and no column does, so an address splits in a single way."""
    for name in TABLES:
        assert "/" not in name
        for cells in CATALOG.tables[name].rows.values():
            assert not any("/" in column for column in cells)


def test_clauses_are_answered() -> None:
    """Every clause has its own words, a standard, and at least one way in which it is answered."""
    assert len(CATALOG.clauses) >= 170
    for clause in CATALOG.clauses.values():
        assert clause.text and clause.standard and clause.answered_by and clause.where_read, clause.id
        for answer in clause.answered_by:
            kind, _, test = answer.partition(":")
            if kind == "commissioning":
                assert test in COMMISSIONING, (clause.id, answer)
            else:
                assert answer in GUIDE_WORDS or re.fullmatch(r"[a-z]+\.[a-z-]+", answer), (clause.id, answer)


def test_each_region_has_its_lists() -> None:
    """Clauses of one region never stand in the list of the other."""
    regions: dict[str, set[str]] = {}
    for clause in CATALOG.clauses.values():
        regions.setdefault(clause.id[:-2], set()).add(clause.region)
    assert all(len(found) == 1 for found in regions.values())
    assert regions["US-"] == regions["B30-"] == {"us"} and regions["D"] == regions["T"] == {"iec"}


@pytest.mark.parametrize("name", sorted(CATALOG.cables))
def test_cable_types(name: str) -> None:
    """A cable type has sizes of its region's resistance table, and one colour for each conductor."""
    cable = CATALOG.cables[name]
    resistance = CATALOG.tables["copper-awg" if cable.region == "us" else "copper-mm2"]
    assert cable.sizes and cable.source.title
    for size in cable.sizes:
        assert size.split(" ")[0] in resistance.rows, size
    for count, colours in cable.colours.items():
        assert len(colours) == len(set(colours)) == int(count)
        assert sum(colour in {"green/yellow", "green", "bare"} for colour in colours) <= 1 or "signal" in name


def test_only_cords_hang() -> None:
    """No wire for fixed runs and no light cord is allowed as a pendant."""
    for cable in CATALOG.cables.values():
        if cable.pendant_use:
            assert cable.kind == "flexible cord"
            assert cable.rated_v is not None and cable.rated_v >= 300
    assert CATALOG.cables["cord-light-us"].pendant_use is False
    assert CATALOG.cables["cord-light-iec"].pendant_use is False


def test_nothing_points_outside_the_product() -> None:
    """No table, clause or cable names a code host or a path of the machine it was written on."""
    for folder in ("tables", "clauses", "cables"):
        for path in (FOLDER / folder).glob("*.toml"):
            text = path.read_text(encoding="utf-8")
            found = re.search(r"[Gg]it[Hh]ub|shared/|/work/", text)
            assert found is None, (path.name, found and found.group())
