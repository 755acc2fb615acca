"""Catalog entries: every built-in one loads, bad ones are explained, values carry basis and spread."""

from __future__ import annotations

import pickle
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from wiring.files import InputError, catalog_root, load_catalog, load_entry
from wiring.files.entry_build import cable_type, device_type, hoist_type, receiver_type
from wiring.files.tables import clauses, table
from wiring.model.entry import CableType, DeviceType, HoistType, ReceiverType, Table

ROOT = catalog_root()
FILES = sorted(
    path
    for kind in ("hoists", "receivers", "devices", "cables", "tables")
    for path in (ROOT / kind).glob("*.toml")
)
HOIST = (ROOT / "hoists/reversing-contactors-24.toml").read_text("utf-8")
RECEIVER = (ROOT / "receivers/six-channel-stop-pair.toml").read_text("utf-8")
DEVICE = (ROOT / "devices/contactor-pair-24.toml").read_text("utf-8")
TABLE = """
id = "t"
title = "a table"
region = "us"
note = "of the table"
[source]
title = "a book"
edition = "2"
basis = "memory"
[columns]
amps = { unit = "A", title = "current" }
sure = { unit = "mm2", basis = "read" }
word = { title = "in words" }
[rows]
a = { amps = 10, sure = 1.5, word = "ten", note = "row note" }
b = { amps = { is = 10, basis = "derived", source = "a formula" }, word = true }
c = { amps = 10, basis = "read", source = "another book" }
d = { amps = { is = 10, spread = 0.5 } }
e = { amps = { is = 10, low = 9, high = 10 } }
"""


@pytest.mark.parametrize("path", FILES, ids=[f"{path.parent.name}/{path.stem}" for path in FILES])
def test_every_built_in_entry_loads(path: Path) -> None:
    """Each file of the catalog loads as what its folder says, under the name of the file."""
    kinds = {
        "hoists": HoistType,
        "receivers": ReceiverType,
        "devices": DeviceType,
        "cables": CableType,
        "tables": Table,
    }
    entry = load_entry(path)
    assert isinstance(entry, kinds[path.parent.name])
    assert entry.id == path.stem and len(entry.digest) == 12
    entries = getattr(load_catalog(), path.parent.name)
    assert path.stem in entries and entries[path.stem].id == entry.id


def test_the_clauses_load() -> None:
    """All clause files load; each clause names its standard and what it says."""
    found = load_catalog().clauses
    assert len(found) == len(list(found)) > 0
    assert all(clause.id == id and clause.text and clause.standard for id, clause in found.items())


def test_values_of_a_hoist() -> None:
    """Component values are placeholders with a wide spread; what defines the type is certain."""
    hoist = hoist_type(HOIST, "x.toml")
    coil = next(part for part in hoist.net.parts if part.id == "K1").values
    resistance = coil["resistance"]
    assert (resistance.id, resistance.basis, resistance.si) == ("K1.resistance", "placeholder", 6.2)
    assert (resistance.low, resistance.high) == (3.1, 12.4)
    assert (coil["voltage"].basis, coil["voltage"].low, coil["voltage"].high) == ("stated", 24, 24)
    assert coil["inrush_pf"].high == 1.0
    assert hoist.motors[0].values["full_load_current"].id == "motor.full_load_current"
    assert hoist.voltage.si == 400 and hoist.frequency.weak is False
    source = next(part for part in hoist.net.parts if part.kind == "source")
    assert not any(value.weak for value in source.values.values())


def test_stops_know_their_contacts() -> None:
    """A stop of a type opens every contact that it operates, in the hoist and in the handset."""
    hoist = hoist_type(HOIST, "x.toml")
    assert {stop.id: stop.parts for stop in hoist.stops} == {
        "ES": ("ES",),
        "Q1": ("Q1.1-2", "Q1.3-4", "Q1.5-6"),
    }


def test_a_part_may_have_a_source_of_its_own() -> None:
    """Basis and source of a part, or of one value, replace those of the entry."""
    text = HOIST.replace('rating = "2 A" }', 'rating = "2 A", basis = "read", source = "plate" }')
    fuse = next(part for part in hoist_type(text, "x.toml").net.parts if part.id == "F4").values["rating"]
    assert (fuse.basis, fuse.source, fuse.low) == ("read", "plate", 2.0)
    text = HOIST.replace('rating = "2 A" }', 'rating = { is = "2 A", basis = "memory", spread = 0.1 } }')
    fuse = next(part for part in hoist_type(text, "x.toml").net.parts if part.id == "F4").values["rating"]
    assert (fuse.basis, fuse.low, fuse.high) == ("memory", pytest.approx(1.8), pytest.approx(2.2))


def test_ratings_of_a_class_are_placeholders() -> None:
    """A rating block without a basis of its own is typical for the class; words stay words."""
    receiver = receiver_type(RECEIVER, "x.toml")
    assert receiver.rating["resistive"].basis == "placeholder" and receiver.rating["resistive"].low == 4
    assert receiver.rating_words["pilot"] == "B300"
    assert receiver.values["temperature_min"].si == -20
    assert receiver.outputs[0].needs_start and receiver.on_loss["momentary"] == "opens"
    assert receiver.net.terminals[0].size_max is not None and receiver.net.terminals[0].size_max.name in (
        "12",
        "2.5",
    )


def test_tables() -> None:
    """Cells are SI values with the basis of cell, row, column or table, in this order; words stay words."""
    made = table(TABLE, "t.toml")
    cell = made.cell("a", "amps")
    assert cell is not None and (cell.id, cell.basis, cell.source) == ("t/a/amps", "memory", "a book, 2")
    assert (cell.low, cell.high) == (8, 12)
    sure = made.cell("a", "sure")
    assert sure is not None and (sure.si, sure.unit, sure.basis, sure.low) == (1.5e-6, "m2", "read", 1.5e-6)
    assert (
        made.rows["a"]["word"] == "ten"
        and made.rows["b"]["word"] is True
        and made.rows["a"]["note"] == "row note"
    )
    bases = {row: (c.basis, c.source, c.low, c.high) for row in "bcde" if (c := made.cell(row, "amps"))}
    assert bases["b"] == ("derived", "a formula", 10, 10)
    assert bases["c"] == ("read", "another book", 10, 10)
    assert bases["d"] == ("memory", "a book, 2", 5, 15) and bases["e"] == ("memory", "a book, 2", 9, 10)
    assert made.cell("a", "word") is None and made.cell("z", "amps") is None
    assert made.titles["amps"] == "current" and made.notes == ("of the table",)


BAD = [
    (
        hoist_type,
        HOIST,
        'supply_system = "3ph 4-wire"',
        'supply_system = "3 phase"',
        "supply_system",
        "3ph 4-wire",
    ),
    (hoist_type, HOIST, 'earth = "PE"', 'erth = "PE"', "erth", "nearest: earth"),
    (hoist_type, HOIST, 'by = "coil:K2", role = "aux"', 'by = "coil:K3", role = "aux"', "by", "nearest: K2"),
    (hoist_type, HOIST, '["W26", "T1.X1", "F4.1"]', '["W26", "T1.X1", "F4.3"]', "wires", "F4.3"),
    (hoist_type, HOIST, '["W26", "T1.X1", "F4.1"]', '["W25", "T1.X1", "F4.1"]', "parts", "W25"),
    (hoist_type, HOIST, 'resistance = "6.2 ohm"', 'resistance = "6,2 ohm"', "resistance", "comma"),
    (hoist_type, HOIST, 'resistance = "6.2 ohm"', "resistance = 6.2", "resistance", "in quotes"),
    (hoist_type, HOIST, 'inrush = "70 VA"', 'imrush = "70 VA"', "imrush", "nearest: inrush"),
    (hoist_type, HOIST, 'rating = "2 A"', 'inrush = "2 VA"', "parts.11.inrush", "rating"),
    (hoist_type, HOIST, '"T1.X1", "T1.X2"], primary', '"T1.X1"], primary', "at", "4 pins"),
    (hoist_type, HOIST, 'by = "limit:up"', 'by = "limit:upper"', "by", "a limit of this type"),
    (hoist_type, HOIST, 'role = "up", at', 'role = "raise", at', "cord", "a role"),
    (hoist_type, HOIST, 'parts = ["motor"]', 'parts = ["moter"]', "motor.0.parts", "nearest: motor"),
    (hoist_type, HOIST, 'remove = ["W28"]', 'remove = ["W99"]', "insertion.2.remove", "W99"),
    (hoist_type, HOIST, 'open = ["stop:ES"]', 'open = ["stop:EX"]', "expect", "nearest: ES"),
    (hoist_type, HOIST, 'interlocks = [["K1", "K2"]]', 'interlocks = [["K1", "K4"]]', "interlocks", "a coil"),
    (hoist_type, HOIST, 'basis = "memory"', 'basis = "hearsay"', "source.basis", "memory"),
    (receiver_type, RECEIVER, 'by = "output:UP"', 'by = "output:UPP"', "parts.4.by", "nearest: UP"),
    (
        receiver_type,
        RECEIVER,
        'supply_terminals = ["1", "2"]',
        'supply_terminals = ["1", "22"]',
        "supply",
        "22",
    ),
    (receiver_type, RECEIVER, 'momentary = "opens"', 'toggle = "opens"', "on_loss", "momentary"),
    (receiver_type, RECEIVER, 'ac15_120 = "3 A"', 'ac15_110 = "3 A"', "rating.ac15_110", "nearest: ac15_120"),
    (receiver_type, RECEIVER, 'torque = "0.6 N m"', 'torque = "0.6 Nm"', "terminals.0.torque", "0.6 N m"),
    (device_type, DEVICE, 'letter = "Q"', 'letter = "q"', "letter", "designation"),
    (table, TABLE, 'unit = "A"', 'unit = "amp"', "columns.amps.unit", "A"),
    (table, TABLE, "sure = 1.5,", "shure = 1.5,", "rows.a.shure", "nearest: sure"),
    (table, TABLE, 'word = "ten"', "word = 10", "rows.a.word", "a unit for this column"),
    (table, TABLE, 'basis = "derived"', 'basis = "guess"', "rows.b.amps.basis", "derived"),
]


@pytest.mark.parametrize(
    ("load", "good", "old", "new", "key", "words"), BAD, ids=[f"{row[3]}" for row in BAD]
)
def test_bad_entries_are_explained(load, good: str, old: str, new: str, key: str, words: str) -> None:  # type: ignore[no-untyped-def]
    """A mistake in an entry is named with its line, key, what is allowed and what was meant."""
    assert old in good
    text = good.replace(old, new, 1)
    with pytest.raises(InputError) as caught:
        load(text, "own.toml")
    fitting = [p for p in caught.value.problems if key in p.key and words in str(p)]
    assert fitting, str(caught.value)
    assert fitting[0].file == "own.toml" and fitting[0].line > 0
    first = new.strip("[]").split(" = ")[0].split('"')[0] or new
    assert any(first in text.split("\n")[p.line - 1] or p.key == "parts" for p in fitting)


def test_a_clause_twice_is_refused() -> None:
    """A clause id stands once."""
    one = '[[clause]]\nid = "A"\nclause = "1"\ntext = "t"\n'
    head = 'standard = "S"\nregion = "iec"\n[source]\ntitle = "s"\n'
    assert clauses(head + one, "c.toml")[0].standard == "S"
    with pytest.raises(InputError, match="twice"):
        clauses(head + one + one, "c.toml")


def test_cable_families() -> None:
    """A cable entry gives insulation and voltage in SI, and its sizes."""
    text = 'id = "c-1"\ntitle = "t"\nregion = "us"\nkind = "flexible cord"\ninsulation = "140 degF"\n'
    text += 'rated_voltage = "600 V"\nsizes = ["18 AWG"]\n'
    text += 'colours = { 3 = ["black", "white", "green"] }\n[source]\ntitle = "s"\n'
    cable = cable_type(text, "c.toml")
    assert cable.insulation_c == pytest.approx(60) and cable.rated_v == 600 and cable.pendant_use is None
    assert cable.colours["3"] == ("black", "white", "green")


def test_own_entries_beside_the_job(tmp_path: Path) -> None:
    """A file beside the job is an entry under the name it was given; nothing outside the folder is."""
    inside = tmp_path / "job"
    inside.mkdir()
    shutil.copy(Path(__file__).parent / "my-contactor.toml", inside / "mine.toml")
    shutil.copy(inside / "mine.toml", tmp_path / "outside.toml")
    (inside / "link.toml").symlink_to(tmp_path / "outside.toml")
    catalog = load_catalog(inside)
    assert catalog.devices["mine.toml"].id == "my-contactor"
    assert load_catalog(inside / "job.toml").devices["mine.toml"].rating["ac3"].basis == "stated"
    assert "other.toml" not in catalog.devices and "nothing" not in catalog.devices
    for name in ("../outside.toml", str(tmp_path / "outside.toml"), "link.toml"):
        with pytest.raises(InputError, match="outside the job's folder"):
            catalog.devices[name]
    with pytest.raises(KeyError):
        load_catalog().devices["mine.toml"]


def test_entries_are_read_when_asked_for() -> None:
    """Looking at the catalog's names reads no file, and an entry is read once."""
    catalog = load_catalog()
    assert catalog.hoists["reversing-contactors-24"] is catalog.hoists["reversing-contactors-24"]
    assert "reversing-contactors-24" in list(catalog.hoists)
    assert catalog.hoists.get("nothing") is None
    again = pickle.loads(pickle.dumps(catalog))
    assert again.hoists["reversing-contactors-24"] == catalog.hoists["reversing-contactors-24"]
    assert again.devices["contactor-pair-24"].id == "contactor-pair-24"


def test_a_changed_own_entry_is_read_again(tmp_path: Path) -> None:
    """A user's file that changes while the program runs is read anew; a broken one raises each time."""
    text = (Path(__file__).parent / "my-contactor.toml").read_text("utf-8")
    own = tmp_path / "mine.toml"
    own.write_text(text, "utf-8")
    devices = load_catalog(tmp_path).devices
    first = devices["mine.toml"]
    assert devices["mine.toml"] is first
    own.write_text(text.replace("from the shelf", "from the attic, second hand"), "utf-8")
    assert devices["mine.toml"].title.endswith("second hand") and devices["mine.toml"].digest != first.digest
    own.write_text("broken", "utf-8")
    for _ in range(2):
        with pytest.raises(InputError):
            devices["mine.toml"]


def test_no_kind_of_entry(tmp_path: Path) -> None:
    """A file that is no entry of any kind says what would make it one."""
    (tmp_path / "x.toml").write_text("a = 1\n")
    with pytest.raises(InputError, match="supply_kind"):
        load_entry(tmp_path / "x.toml")


def test_the_catalog_is_found_inside_a_wheel(tmp_path: Path) -> None:
    """In an installed package the entries lie in `_catalogs` inside it, and that folder is used."""
    package = Path(load_catalog.__code__.co_filename).parents[1]
    shutil.copytree(package, tmp_path / "wiring", ignore=shutil.ignore_patterns("__pycache__"))
    (tmp_path / "wiring/_catalogs/devices").mkdir(parents=True)
    shutil.copy(ROOT / "devices/fuse.toml", tmp_path / "wiring/_catalogs/devices/fuse.toml")
    code = (
        "from wiring.files import load_catalog as l; d = l().devices; assert list(d) == ['fuse']; d['fuse']"
    )
    subprocess.run([sys.executable, "-c", code], cwd=tmp_path, env={"PYTHONPATH": str(tmp_path)}, check=True)
