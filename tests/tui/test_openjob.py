"""The text on the desk: edits, the way back, drafts."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.tui.drive import demo
from tui import door
from tui.draft import Draft, draft_path, found
from tui.openjob import KEPT, OpenJob


def job(tmp_path: Path) -> OpenJob:
    text = demo("malt-second-plan.toml")
    return OpenJob(tmp_path / "malt.toml", text, text)


def test_undo_and_redo_give_back_the_very_text(tmp_path: Path) -> None:
    """Every step back is the text that was, to the byte."""
    one = job(tmp_path)
    start = one.text
    one.edit([door.set_key("core.1.colour", "violet")], "colour")
    second = one.text
    one.edit([door.remove_entry("connection.0")], "taken out")
    assert one.dirty
    assert one.undo() == "taken out"
    assert one.text == second
    assert one.undo() == "colour"
    assert one.text == start
    assert not one.dirty
    assert one.undo() is None
    assert one.redo() == "colour"
    assert one.text == second


def test_a_new_edit_forgets_what_was_undone(tmp_path: Path) -> None:
    """After an edit there is nothing to do again."""
    one = job(tmp_path)
    one.put(one.text + "# a\n", "a")
    one.undo()
    one.put(one.text + "# b\n", "b")
    assert one.redo() is None


def test_an_edit_that_changes_nothing_is_no_step(tmp_path: Path) -> None:
    """Setting a key to what it is leaves no step to undo."""
    one = job(tmp_path)
    assert not one.put(one.text, "nothing")
    assert one.past == []


def test_an_edit_that_cannot_be_done_leaves_the_text(tmp_path: Path) -> None:
    """A place that is not there is said, and nothing changes."""
    one = job(tmp_path)
    start = one.text
    with pytest.raises(ValueError, match="entry 99"):
        one.edit([door.remove_entry("core.99")], "x")
    assert one.text == start


def test_the_way_back_is_long_but_ends(tmp_path: Path) -> None:
    """Old steps are let go of."""
    one = job(tmp_path)
    for n in range(KEPT + 20):
        one.put(f"# {n}\n", str(n))
    assert len(one.past) == KEPT


def test_comments_and_layout_stay_when_a_value_is_edited(tmp_path: Path) -> None:
    """One line of the file differs, no other."""
    one = job(tmp_path)
    before = one.text.splitlines()
    one.edit([door.set_key("core.1.colour", "pink")], "colour")
    after = one.text.splitlines()
    differing = [(a, b) for a, b in zip(before, after, strict=True) if a != b]
    assert differing == [
        (
            'colour = "white" # a switched core, not a neutral',
            'colour = "pink" # a switched core, not a neutral',
        )
    ]


def test_text_that_is_no_toml_is_said_and_has_no_data(tmp_path: Path) -> None:
    """A broken text is kept as it is, with what is wrong with it."""
    one = OpenJob(tmp_path / "x.toml", "[job\n", "[job\n")
    assert one.data is None
    assert "line 1" in one.syntax
    assert one.at("job.title") is None


def test_drafts_are_written_in_order_and_dropped_for_good(tmp_path: Path) -> None:
    """An older text never replaces a newer draft, and none comes back after saving."""
    file = tmp_path / "malt.toml"
    draft = Draft(file)
    draft.write(2, "new")
    draft.write(1, "old")
    assert draft_path(file).read_text() == "new"
    draft.drop(3)
    draft.write(3, "late")
    assert not draft_path(file).exists()


def test_a_draft_that_says_what_the_file_says_is_not_offered(tmp_path: Path) -> None:
    """Only a draft with something in it is worth a question."""
    file = tmp_path / "malt.toml"
    draft_path(file).write_text("same")
    assert found(file, "same") is None
    kept = found(file, "other")
    assert kept is not None
    assert kept.text == "same"
    draft_path(file).write_bytes(b"\xff\xfe")
    assert found(file, "other") is None
