"""Writing: atomic, permissions kept, comments kept."""

from __future__ import annotations

import os
import stat
import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wiring.files import (
    AddEntry,
    EditError,
    InputError,
    RemoveEntry,
    SetKey,
    atomic_write,
    edit_job,
    load_job,
    save_job,
)
from wiring.files.quantity import parse
from wiring.model.job import AddedDevice, Connection, Remove

HERE = Path(__file__).parent
TEXT = """\
# head comment
[job]
title = "t"     # say what it is
region = "us"
stage = "design"

# about the hoist
[hoist]
type = "unknown" # not yet known

[[core]]
id = "1"   # first

[[core]]
id = "2"

# the end
"""


def test_atomic_write_creates_and_replaces(tmp_path: Path) -> None:
    """A file is created with usual permissions and replaced with its own kept; nothing else is left."""
    path = tmp_path / "a.toml"
    atomic_write(path, "one")
    assert path.read_text() == "one" and stat.S_IMODE(path.stat().st_mode) == 0o666 & ~_umask()
    path.chmod(0o640)
    atomic_write(path, b"two\r\n")
    assert path.read_bytes() == b"two\r\n" and stat.S_IMODE(path.stat().st_mode) == 0o640
    assert [each.name for each in tmp_path.iterdir()] == ["a.toml"]


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask


def test_atomic_write_and_links(tmp_path: Path) -> None:
    """A link is followed and stays a link, or refused when told so."""
    real, link = tmp_path / "real", tmp_path / "link"
    real.write_text("old")
    link.symlink_to(real)
    with pytest.raises(OSError, match="symbolic link"):
        atomic_write(link, "new", symlinks="refuse")
    assert real.read_text() == "old"
    atomic_write(link, "new")
    assert link.is_symlink() and real.read_text() == "new"


@pytest.mark.parametrize("broken", ["replace", "fsync", "chmod"])
def test_a_failed_write_leaves_the_old_file(
    broken: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whatever step fails, the old content stays and no temporary file is left."""
    path = tmp_path / "a"
    path.write_text("old")

    def fail(*_: object) -> None:
        raise OSError("no space left")

    monkeypatch.setattr(os, broken, fail)
    with pytest.raises(OSError, match="no space"):
        atomic_write(path, "new")
    monkeypatch.undo()
    assert path.read_text() == "old" and len(list(tmp_path.iterdir())) == 1


def test_what_cannot_be_replaced(tmp_path: Path) -> None:
    """A folder is refused, a missing folder raises, a device is written through and stays a device."""
    with pytest.raises(IsADirectoryError):
        atomic_write(tmp_path, "x")
    with pytest.raises(OSError):
        atomic_write(tmp_path / "no" / "a", "x")
    atomic_write("/dev/null", "x")
    assert not Path("/dev/null").is_file()


def test_edits_keep_comments() -> None:
    """Set, add and remove change their lines only; comments and order stay."""
    text = edit_job(
        TEXT,
        [
            SetKey("hoist.type", "x-1"),
            SetKey("hoist.type_by", "readings"),
            SetKey("core.0.colour", "red"),
            AddEntry("core", {"id": "3"}),
            RemoveEntry("core.1"),
            SetKey("cord.length", parse("3 m", "length")),
            AddEntry("connection", Connection("core:1", "K1:1", None, "7")),
            AddEntry("device", AddedDevice("K1", "d")),
        ],
    )
    assert text.startswith('# head comment\n[job]\ntitle = "t"     # say what it is\n')
    assert '[hoist]\ntype = "x-1" # not yet known\ntype_by = "readings"\n\n[[core]]\n' in text
    assert '[[core]]\nid = "1"   # first\ncolour = "red"\n' in text
    data = tomllib.loads(text)
    assert [core["id"] for core in data["core"]] == ["1", "3"]
    assert data["connection"] == [{"from": "core:1", "to": "K1:1", "number": "7"}]
    assert data["device"] == [{"id": "K1", "type": "d"}] and data["cord"] == {"length": "3 m"}
    assert all(line in text for line in ("# about the hoist", "# say what it is", "# not yet known"))


def test_an_edit_back_and_forth_gives_the_same_text() -> None:
    """Setting a key to another value and back gives the file byte by byte."""
    text = (HERE / "example.toml").read_text("utf-8")
    changed = edit_job(text, [SetKey("receiver.output.0.mode", "toggle"), SetKey("place.risk.by", "x")])
    assert changed != text
    back = edit_job(
        changed, [SetKey("receiver.output.0.mode", "momentary"), SetKey("place.risk.by", "the yard")]
    )
    assert back == text
    assert edit_job(text, []) == text
    dos = text.replace("\n", "\r\n")
    assert edit_job(dos, [AddEntry("core", {"id": "9"})]).count("\n") == edit_job(
        dos, [AddEntry("core", {"id": "9"})]
    ).count("\r\n")


def test_removing_the_last_entry_removes_the_table(folder: Path) -> None:
    """A list of tables without entries is not left behind; the edited job loads."""
    text = (folder / "example.toml").read_text("utf-8")
    text = edit_job(text, [RemoveEntry("remove.1"), RemoveEntry("remove.0"), RemoveEntry("gate.locked"),
                           AddEntry("remove", Remove("hoist:W8", "why not"))])  # fmt: skip
    save_job(folder / "example.toml", text)
    job = load_job(folder / "example.toml")
    assert (
        [row.name for row in job.removes] == ["hoist:W8"] and job.gate is not None and job.gate.locked is None
    )


@pytest.mark.parametrize(
    "edit",
    [RemoveEntry("core.7"), RemoveEntry("nothing"), SetKey("core.7.id", "x"), SetKey("core.x", "y"),
     SetKey("job.title.more", "x"), SetKey("job.title", object())],
    ids=lambda edit: f"{type(edit).__name__} {getattr(edit, 'path', '')}",
)  # fmt: skip
def test_edits_of_what_is_not_there(edit: Any) -> None:
    """An edit of a place that is not there, or to something that no file can hold, is refused."""
    with pytest.raises(EditError):
        edit_job(TEXT, [edit])


def test_broken_text_is_neither_edited_nor_saved(tmp_path: Path) -> None:
    """What could not be read back is not written."""
    path = tmp_path / "job.toml"
    path.write_text("good = 1\n")
    for text in ("a = \n", 'a = "\x00"\n', "a = nan\n"):
        with pytest.raises(InputError):
            save_job(path, text)
        with pytest.raises(InputError):
            edit_job(text, [SetKey("a", 1)])
    assert path.read_text() == "good = 1\n"


VALUES = st.one_of(
    st.booleans(), st.integers(0, 99), st.sampled_from(['say "so"', "a\\b", "é ²", "", "#", "4 m"])
)
PLACES = st.sampled_from(
    ["job.title", "job.people", "hoist.type", "core.0.id", "core.1.role", "cord.length",
     "receiver.output.0.mode", "place.risk.by", "supply.protective_device.kind", "core.2.id",
     "new.table.deep"]
)  # fmt: skip
TABLES = st.sampled_from(["core", "connection", "receiver.output", "stop", "pendant.contact"])
EDITS = st.one_of(
    st.builds(SetKey, PLACES, VALUES),
    st.builds(
        AddEntry, TABLES, st.dictionaries(st.sampled_from(["id", "mode", "print"]), VALUES, min_size=1)
    ),
    st.builds(
        RemoveEntry, st.sampled_from(["core.0", "core.1", "connection.0", "gate", "supply.rcd", "job.title"])
    ),
)


@settings(max_examples=60, deadline=None)
@given(st.lists(EDITS, max_size=4), st.sampled_from([TEXT, (HERE / "example.toml").read_text("utf-8")]))
def test_edits_say_what_was_asked(edits: list[Any], text: str) -> None:
    """Any edits either give exactly the intended content or are refused; comments before them stay."""
    try:
        result = edit_job(text, edits)
    except EditError:
        return
    assert result.split("\n")[0] == text.split("\n")[0]
    assert tomllib.loads(result) is not None


HEADED = """[job]
title = "a"

[[core]]
id = "1"
# the role of it
role = "up"

# found at the plug
# and tagged
[[core]]
id = "2"

# never opened
[gate]
locked = true
"""


@pytest.mark.parametrize("path", ["core.0", "core.1"])
def test_a_comment_that_heads_the_next_entry_stays(path: str) -> None:
    """An entry that goes leaves the comment lines directly above the next one where they are."""
    text = edit_job(HEADED, [RemoveEntry(path)])
    assert "# never opened\n[gate]" in text
    assert ("# found at the plug\n# and tagged\n[[core]]" in text) == (path == "core.0")
    assert "\n\n\n" not in text and ("the role of it" in text) == (path == "core.1")
    assert len(tomllib.loads(text)["core"]) == 1
