"""Files made to hurt: outside paths, links, too much of everything. One clear message each, quickly."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest

from tests.campaign import fuzz
from wiring.files import InputError, load_catalog, load_entry, load_job, schema
from wiring.files.entry_build import LIMITS as ENTRY_LIMITS
from wiring.files.job import LIMITS, MOST_COILS
from wiring.files.text import LIMIT_BYTES, LIMIT_DEPTH, LIMIT_ENTRIES, LIMIT_TEXT, LIMIT_VALUES

HERE = Path(__file__).parent
EXAMPLE = (HERE / "example.toml").read_text("utf-8")


def refused(path: Path) -> str:
    """The one message of a file that cannot be used."""
    with pytest.raises(InputError) as caught:
        load_job(path)
    assert len(caught.value.problems) == 1 and str(caught.value).isprintable()
    return str(caught.value)


def many(name: str, count: int) -> str:
    return "".join(f'\n[[{name}]]\nid = "n{number}"\n' for number in range(count))


@pytest.mark.parametrize(
    ("text", "limit"),
    [
        ("#" * (LIMIT_BYTES + 1), str(LIMIT_BYTES)),
        (EXAMPLE + many("core", 10_000), str(LIMIT_ENTRIES)),
        (EXAMPLE + many("answer", LIMIT_ENTRIES + 1), str(LIMIT_ENTRIES)),
        ("connection = [" + "{}," * 300_000 + "]\n", str(LIMIT_ENTRIES)),
        ("\n".join(f"k{n} = 1" for n in range(LIMIT_VALUES + 1)), str(LIMIT_VALUES)),
        ("x = " + "[" * 100 + "]" * 100, str(LIMIT_DEPTH)),
        ("x = " + "[" * 400_000 + "]" * 400_000, str(LIMIT_DEPTH)),
        ("x = " + "{a=" * 100 + "1" + "}" * 100, str(LIMIT_DEPTH)),
        ("a" + ".a" * 300_000 + " = 1", str(LIMIT_DEPTH)),
        ("[" + "a." * 300_000 + "a]", str(LIMIT_DEPTH)),
        ("x = { a" + ' . "a"' * 100_000 + " = 1 }", str(LIMIT_DEPTH)),
        (f'[job]\ntitle = "{"x" * (LIMIT_TEXT + 1)}"\n', str(LIMIT_TEXT)),
        ("a = b" + " " * 900_000 + "!", "TOML"),
        ('a = "' + "\\" * 900_000, "TOML"),
        ("a = " + "9" * 900_000, "numbers"),
    ],
    ids=["bytes", "cores", "entries", "connections", "values", "arrays", "deep arrays", "tables",
         "dotted key", "dotted header", "inline key", "text", "blanks", "backslashes", "digits"],
)  # fmt: skip
def test_too_much(text: str, limit: str, tmp_path: Path) -> None:
    """Too many bytes, entries, levels or characters: one message naming the limit, in two seconds."""
    path = tmp_path / "job.toml"
    path.write_text(text, "utf-8")
    began = time.process_time()
    assert limit in refused(path)
    assert time.process_time() - began < 2.0


@pytest.mark.parametrize("name", sorted(LIMITS))
def test_more_than_a_hoist_has(name: str, tmp_path: Path) -> None:
    """Lists that add states and faults have a limit of their own, and the message names it."""
    path = tmp_path / "job.toml"
    head = '[job]\ntitle = "t"\nregion = "us"\nstage = "design"\n'
    path.write_text(head + many(name, LIMITS[name] + 1), "utf-8")
    assert f"{name}: found {LIMITS[name] + 1} entries; allowed: at most {LIMITS[name]}" in refused(path)


@pytest.mark.parametrize("name", sorted(ENTRY_LIMITS))
def test_more_than_a_type_has(name: str, tmp_path: Path) -> None:
    """Lists of a type that add parts, states and faults have limits, and the message names them."""
    count = ENTRY_LIMITS[name] + 1
    path = tmp_path / "own.toml"
    path.write_text('id = "own"\n' + f"{name} = [{'{}, ' * count}]\n" + "letter = 'K'\n", "utf-8")
    with pytest.raises(InputError) as caught:
        load_entry(path)
    assert f"{name}: found {count} entries; allowed: at most {ENTRY_LIMITS[name]}" in str(caught.value)


def test_more_coils_than_can_be_settled(tmp_path: Path) -> None:
    """Devices whose coils are too many together are one message, and one device fewer is none."""
    path = tmp_path / "job.toml"
    head = '[job]\ntitle = "t"\nregion = "us"\nstage = "design"\n'
    pair = '\n[[device]]\nid = "K{n}"\ntype = "contactor-pair-24"\n'
    path.write_text(head + "".join(pair.format(n=n) for n in range(MOST_COILS // 2 + 1)), "utf-8")
    assert f"found {MOST_COILS + 2} coils" in refused(path) and f"at most {MOST_COILS}" in refused(path)
    path.write_text(head + "".join(pair.format(n=n) for n in range(MOST_COILS // 2)), "utf-8")
    assert len(load_job(path).devices) == MOST_COILS // 2


@pytest.mark.parametrize(
    "name", ["../x.toml", "../../etc/x.toml", "/etc/x.toml", "sub/../../x.toml", "link.toml", "loop.toml"]
)
def test_types_outside_the_folder(name: str, tmp_path: Path) -> None:
    """A type named by a path out of the job's folder, or by a link out of it, is refused unread."""
    folder = tmp_path / "job"
    folder.mkdir()
    secret = tmp_path / "x.toml"
    secret.write_text('secret = "do not show"\n', "utf-8")
    os.symlink(secret, folder / "link.toml")
    os.symlink(folder / "loop.toml", folder / "loop.toml")
    path = folder / "job.toml"
    head = '[job]\ntitle = "t"\nregion = "us"\nstage = "design"\n'
    for block in (f'[hoist]\ntype = "{name}"\n', f'[receiver]\ntype = "{name}"\n',
                  f'[[device]]\nid = "K1"\ntype = "{name}"\n',
                  f'[[cable]]\nid = "W1"\ntype = "{name}"\nlength = "1 m"\n'):  # fmt: skip
        path.write_text(head + block, "utf-8")
        with pytest.raises(InputError) as caught:
            load_job(path)
        said = str(caught.value)
        assert len(caught.value.problems) <= 2, "what is wrong with the type, and which key names it"
        assert "do not show" not in said and "secret" not in said
        assert "folder" in said or "loop" in said, said


def test_entries_of_no_built_in_folder() -> None:
    """A path given as the id of a built-in entry finds nothing."""
    catalog = load_catalog(None)
    for name in ("../hoists/reversing-contactors-24", "/etc/passwd", "reversing-contactors-24.toml", ""):
        assert name not in catalog.hoists


def test_schemas_need_no_newest_library() -> None:
    """The schema of every kind of file can be written in a fresh process, whatever was built before."""
    assert all(schema(kind)["properties"] for kind in ("job", "hoist", "receiver", "device", "cable"))


@pytest.mark.parametrize("kind", ["job", "hoist", "receiver", "device"])
def test_the_schema_names_the_limits(kind: str) -> None:
    """The schema says how many entries each limited list may have, and how big a file may be."""
    made = schema(kind)
    limits = LIMITS if kind == "job" else ENTRY_LIMITS
    named = {key: part["maxItems"] for key, part in made["properties"].items() if "maxItems" in part}
    assert named and named == {key: most for key, most in limits.items() if key in made["properties"]}
    assert str(LIMIT_BYTES) in made["description"] and str(LIMIT_TEXT) in made["description"]


def test_fuzz() -> None:
    """800 damaged inputs of every kind: values or clear messages, no run over two seconds."""
    found = fuzz.run(800, 11)
    wrong = [each for each in found["failures"] if "memory" not in each]  # that is the whole suite's
    assert wrong == []
    assert found["inputs"] == 800
    taken = {kind for kind in found["outcomes"] if kind.endswith("taken")}
    assert {"job: taken", "entry: taken", "reading: taken", "quantity: taken", "any text: taken"} <= taken
