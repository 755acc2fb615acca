"""Broken job files: clear messages, all at once, nothing written."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from wiring.files import InputError, load_job

HERE = Path(__file__).parent
EXAMPLE = (HERE / "example.toml").read_text("utf-8")
CASES = tomllib.loads((HERE / "broken.toml").read_text("utf-8"))["case"]
FILLINGS = {"NEST": "[" * 5000 + "]" * 5000, "DIGITS": "9" * 5000}


def broken_text(case: dict[str, Any]) -> str:
    """The text of a case. Fails where a replacement would change nothing."""
    if "text" in case:
        text: str = case["text"]
        for word, filling in FILLINGS.items():
            text = text.replace(word, filling)
        return text
    text = EXAMPLE
    for old, new in case["replace"]:
        if "device called like" in case["name"]:
            text = text.replace("K0", "plug")
        else:
            assert text.count(old) >= 1, old
            text = text.replace(old, new, 1)
    return text


def snapshot(folder: Path) -> dict[str, tuple[bytes, int]]:
    return {each.name: (each.read_bytes(), each.stat().st_mtime_ns) for each in folder.iterdir()}


def refused(path: Path) -> InputError:
    with pytest.raises(InputError) as caught:
        load_job(path)
    return caught.value


def test_there_are_enough_broken_jobs() -> None:
    """At least 25 broken jobs are kept, each with a name of its own."""
    assert len({case["name"] for case in CASES}) == len(CASES) >= 25


@pytest.mark.parametrize("case", CASES, ids=[case["name"] for case in CASES])
def test_broken_job_is_refused_clearly(case: dict[str, Any], folder: Path) -> None:
    """A broken job is refused with file, line, key, what was found and allowed; no file is touched."""
    path = folder / "job.toml"
    text = broken_text(case)
    path.write_text(text, "utf-8")
    before = snapshot(folder)
    problems = refused(path).problems
    assert snapshot(folder) == before
    for at, key, *words in case["problems"]:
        fitting = [p for p in problems if key in p.key and all(word in str(p) for word in words)]
        assert fitting, "\n".join(map(str, problems))
        assert not at or any(at in text.split("\n")[p.line - 1] for p in fitting), str(fitting[0])
    assert len(problems) == case.get("only", len(problems)), "\n".join(map(str, problems))
    for problem in problems:
        assert problem.file and problem.found and problem.allowed
        assert str(problem).isprintable() and len(str(problem)) < 2000


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b'[job]\ntitle = "a\0b"\n', "NUL"),
        (b'[job]\ntitle = "caf\xe9"\n', "UTF-8"),
        (b'[job]\ntitle = "\x07"\n', "U+0007"),
        (b"x = 1\n" * 200_000, "at most 1000000 bytes"),
        (bytes(range(256)) * 4000, "at most 1000000 bytes"),
        (bytes(range(1, 128)) * 7800, "control character"),
    ],
    ids=["NUL", "Latin-1", "bell", "too long", "1 MB of junk", "short of 1 MB of junk"],
)
def test_bytes_that_are_no_job(data: bytes, words: str, tmp_path: Path) -> None:
    """Bytes that no editor of text writes are named for what they are, with the line."""
    path = tmp_path / "job.toml"
    path.write_bytes(data)
    assert words in str(refused(path))
    assert path.read_bytes() == data


def test_paths_that_are_no_file(tmp_path: Path) -> None:
    """A missing file names its nearest neighbour; a folder is called a folder."""
    (tmp_path / "malt.toml").write_text("")
    missing = refused(tmp_path / "mlat.toml").problems[0]
    assert "no file" in missing.found and missing.nearest == "malt.toml"
    assert "a folder" in refused(tmp_path).problems[0].found
    assert refused(tmp_path / "a\0b").problems


def test_names_are_judged_beside_wrong_values(folder: Path) -> None:
    """A wrong quantity does not hide a wrong name, and a wrong id invents no further problems."""
    text = EXAMPLE.replace('distance = "4 m"', 'distance = "4"').replace('key = "down"', 'key = "dwn"')
    (folder / "job.toml").write_text(text, "utf-8")
    assert [p.key for p in refused(folder / "job.toml").problems] == [
        "receiver.output.1.key",
        "stop.0.distance",
    ]
    (folder / "job.toml").write_text(EXAMPLE.replace('id = "K0"', 'id = "0 K"'), "utf-8")
    assert [p.key for p in refused(folder / "job.toml").problems] == ["device.0.id"]


def test_a_broken_type_beside_the_job_is_named_in_its_own_file(folder: Path) -> None:
    """Problems of a user's own entry carry that entry's file and line, and the job's line that uses it."""
    own = folder / "my-contactor.toml"
    own.write_text(own.read_text().replace('by = "coil:"', 'by = "coil:K"'))
    problems = refused(folder / "example.toml").problems
    assert {p.file for p in problems} == {"example.toml", "my-contactor.toml"}
    assert any(p.file == "my-contactor.toml" and p.line == 8 for p in problems)


def test_a_file_that_is_not_there_has_no_line(tmp_path: Path) -> None:
    """The message names the file and the nearest one beside it, and no line of what does not exist."""
    (tmp_path / "loft.toml").write_text("", "utf-8")
    with pytest.raises(InputError) as caught:
        load_job(tmp_path / "loff.toml")
    said = str(caught.value)
    assert "loff.toml: file: found no file of this name" in said and said.endswith("nearest: loft.toml")
