"""The desk by keyboard: steps, editing, undo, saving, leaving."""

from __future__ import annotations

import time
import tomllib
from pathlib import Path
from typing import Any

import pytest
from textual.widgets import OptionList

from tests.tui.drive import SIZES, SMALL, WIDE, desk, lines, planned, press, run, text, until
from tui import door
from tui.draft import draft_path
from tui.screens.ask import Page, Pick
from tui.screens.desk import Desk
from tui.screens.raw import RawText
from tui.steps.order import STEPS
from tui.widgets.editor import EditorLine
from wiring.sheets.words import CAUTION


def said(pilot: object) -> str:
    """The screen as one run of words."""
    return " ".join(" ".join(lines(pilot)).split())  # type: ignore[arg-type]


@pytest.mark.parametrize("size", SIZES)
def test_every_step_by_number_key_and_by_twin_with_verdict_and_caution(
    first_try: Path, size: tuple[int, int]
) -> None:
    """Verdict with stage and the caution line stand on every step at both sizes."""

    async def work() -> None:
        async with desk(first_try, size) as (pilot, shown):
            for step in STEPS:
                await press(pilot, "minus" if step.key == "-" else step.key)
                assert shown.step is step
                assert CAUTION in said(pilot)
                assert "design · OBJECTIONS:" in said(pilot)
            for step in STEPS:
                await press(pilot, step.twin)
                assert shown.step is step

    run(work())


@pytest.mark.usefixtures("replans")
def test_a_value_is_edited_completed_and_planned_anew_without_the_mouse(first_try: Path) -> None:
    """The third core's role is typed in part, completed, taken; undo and redo go back and forth."""

    async def work() -> None:
        async with desk(first_try) as (pilot, shown):
            await press(pilot, "4", "down", "down", "right", "right", "enter")
            assert shown.query_one(EditorLine).ask is not None
            await press(pilot, *"spa")
            await press(pilot, "down", "enter")
            assert shown.sight.open.at("core.2.role") == "spare"
            await planned(pilot)
            assert shown.sight.plan is not None
            assert shown.sight.plan.job.cores[2].role == "spare"
            assert "not saved" in said(pilot)
            await press(pilot, "ctrl+z")
            assert shown.sight.open.at("core.2.role") == "down"
            await press(pilot, "ctrl+y")
            assert shown.sight.open.at("core.2.role") == "spare"

    run(work())


def test_tab_goes_on_through_the_fields_and_escape_leaves_as_it_was(malt: Path) -> None:
    """Two values typed in a row; the third is left."""

    async def work() -> None:
        async with desk(malt) as (pilot, shown):
            await press(pilot, "7", "enter", "tab", "tab")
            await press(pilot, *"12 AWG", "tab", *"30 ft", "tab")
            await press(pilot, *"900 °C".replace("°", "d"), "escape")
            assert shown.sight.open.at("cable.0.size") == "12 AWG"
            assert shown.sight.open.at("cable.0.length") == "30 ft"
            assert shown.sight.open.at("cable.0.ambient") == "86 °F"

    run(work())


def test_a_wrong_text_is_not_taken_and_the_reason_is_shown(malt: Path) -> None:
    """A length without unit stays in the line with what it may hold."""

    async def work() -> None:
        async with desk(malt) as (pilot, shown):
            await press(pilot, "7", "right", "right", "right", "enter", *"30", "enter")
            assert "✗ such as 12 m" in said(pilot)
            assert shown.query_one(EditorLine).ask is not None
            await press(pilot, "escape")
            assert shown.sight.open.at("cable.0.length") == "25 ft"

    run(work())


def test_a_name_that_does_not_exist_is_shown_where_it_is(malt: Path) -> None:
    """The engine's problem stands on the verdict line, at the cell and beside the step."""

    async def work() -> None:
        async with desk(malt, WIDE) as (pilot, shown):
            await press(pilot, "6", "right_square_bracket", "right", "enter")
            await press(pilot, *"X10:99", "enter")
            await planned(pilot)
            assert shown.sight.problem_at("connection.0.to") is not None
            assert "1 problem in the file, no verdict" in said(pilot)
            assert "✗ X10:99" in text(pilot)
            await press(pilot, "3", "ctrl+f", "enter")
            assert shown.step.name == "Connections"

    run(work())


def test_rows_are_added_by_questions_and_taken_out(malt: Path) -> None:
    """A stop is added with its proposed id, and taken out again; undo brings it back."""

    async def work() -> None:
        async with desk(malt) as (pilot, shown):
            await press(pilot, "5", "right_square_bracket", "right_square_bracket", "right_square_bracket")
            await press(pilot, "right_square_bracket", "a", "enter")
            assert [row["id"] for row in shown.sight.open.at("transmitter")] == ["T1", "T2"]
            await press(pilot, "d")
            assert [row["id"] for row in shown.sight.open.at("transmitter")] == ["T1"]
            await press(pilot, "ctrl+z")
            assert len(shown.sight.open.at("transmitter")) == 2

    run(work())


@pytest.mark.usefixtures("replans")
@pytest.mark.parametrize("size", SIZES)
def test_two_points_are_connected_and_parted_by_keyboard(malt: Path, size: tuple[int, int]) -> None:
    """Enter on a point, Enter on the other, Enter for no conductor; d parts them."""

    async def work() -> None:
        async with desk(malt, size) as (pilot, shown):
            await press(pilot, "6")
            before = len(shown.sight.open.at("connection"))
            await press(pilot, "down", "enter", "down", "enter", "enter")
            added = shown.sight.open.at("connection")[-1]
            assert len(shown.sight.open.at("connection")) == before + 1
            assert added["from"] == "core:2"
            assert added["to"].startswith("receiver:")
            await planned(pilot)
            assert "new FAIL" in said(pilot)
            await press(pilot, "d")
            assert len(shown.sight.open.at("connection")) == before

    run(work())


def test_two_points_are_connected_by_mouse(malt: Path) -> None:
    """A click on a point, a click on the other."""

    async def work() -> None:
        async with desk(malt, WIDE) as (pilot, shown):
            await press(pilot, "6")
            before = len(shown.sight.open.at("connection"))
            await pilot.click("#left", offset=(6, 1))
            await pilot.click("#right", offset=(6, 2))
            await press(pilot, "enter")
            assert len(shown.sight.open.at("connection")) == before + 1

    run(work())


def test_saving_writes_the_file_whole_with_its_comments_and_drops_the_draft(malt: Path) -> None:
    """Every line but the edited one is as it was."""

    async def work() -> None:
        async with desk(malt) as (pilot, shown):
            before = malt.read_text("utf-8")
            await press(pilot, "4", "right", "enter", *"pink", "enter")
            await until(pilot, draft_path(malt).exists, "the draft")
            await press(pilot, "ctrl+s")
            assert not shown.sight.open.dirty
            after = malt.read_text("utf-8")
            assert after == before.replace('colour = "black"', 'colour = "pink"', 1)
            await until(pilot, lambda: not draft_path(malt).exists(), "no draft")

    run(work())


def test_leaving_with_something_not_saved_asks_first(malt: Path) -> None:
    """Stay stays; keep leaves the file as it was and the draft beside it."""

    async def work() -> None:
        async with desk(malt) as (pilot, shown):
            before = malt.read_text("utf-8")
            await press(pilot, "4", "right", "enter", *"pink", "enter", "ctrl+q")
            await until(pilot, lambda: isinstance(pilot.app.screen, Pick), "the question")
            await press(pilot, "escape")
            assert pilot.app.screen is shown
            await until(pilot, draft_path(malt).exists, "the draft")
            await press(pilot, "ctrl+q", "down", "enter")
            assert malt.read_text("utf-8") == before
            assert 'colour = "pink"' in draft_path(malt).read_text("utf-8")

    run(work())


def test_a_draft_is_offered_at_the_next_start_and_taken(malt: Path) -> None:
    """What was never saved comes back, as a step that can be undone."""
    draft_path(malt).write_text(malt.read_text("utf-8") + "# typed later\n", "utf-8")

    async def work() -> None:
        async with desk(malt, plan=False) as (pilot, shown):
            await until(pilot, lambda: isinstance(pilot.app.screen, Pick), "the offer")
            await press(pilot, "enter")
            assert shown.sight.open.text.endswith("# typed later\n")
            await press(pilot, "ctrl+z")
            assert not shown.sight.open.dirty

    run(work())


def test_a_file_changed_by_another_program_is_not_written_over_unasked(malt: Path) -> None:
    """The question comes first, and no is no."""

    async def work() -> None:
        async with desk(malt) as (pilot, shown):
            await press(pilot, "4", "right", "enter", *"pink", "enter")
            malt.write_text("# another\n", "utf-8")
            await press(pilot, "ctrl+s")
            await until(pilot, lambda: isinstance(pilot.app.screen, Pick), "the question")
            await press(pilot, "escape")
            assert malt.read_text("utf-8") == "# another\n"
            assert shown.sight.open.dirty
            await press(pilot, "ctrl+s", "enter")
            assert tomllib.loads(malt.read_text("utf-8"))["core"][0]["colour"] == "pink"

    run(work())


def test_a_file_that_is_no_toml_opens_says_so_and_is_repaired_as_text(tmp_path: Path) -> None:
    """Nothing crashes; the text is put right and planned."""
    file = tmp_path / "broken.toml"
    file.write_text('[job]\ntitle = "t\n', "utf-8")

    async def work() -> None:
        async with desk(file) as (pilot, shown):
            assert "no job file" in said(pilot)
            for step in STEPS:
                await press(pilot, step.twin)
            await press(pilot, "f2", "enter", *"x", "enter")
            assert shown.sight.open.text == '[job]\ntitle = "t\n'
            await press(pilot, "ctrl+r")
            assert isinstance(pilot.app.screen, RawText)
            pilot.app.screen.query_one("TextArea").text = '[job]\ntitle="t"\nregion="us"\nstage="design"\n'  # type: ignore[attr-defined]
            await press(pilot, "escape")
            await planned(pilot)
            assert shown.sight.plan is not None
            await press(pilot, "ctrl+z")
            assert shown.sight.open.syntax

    run(work())


def test_findings_of_the_step_are_one_key_away_on_a_small_screen(first_try: Path) -> None:
    """Ctrl+F shows them, Enter goes to the key that the finding is about."""

    async def work() -> None:
        async with desk(first_try, SMALL) as (pilot, shown):
            await press(pilot, "5", "ctrl+f")
            assert shown.query_one("#beside").has_focus
            assert "do:" in said(pilot)
            await press(pilot, "ctrl+f")
            assert not shown.query_one("#beside").has_focus
            await press(pilot, "ctrl+f", "enter")
            assert isinstance(pilot.app.screen, Desk)

    run(work())


def test_help_names_every_key_of_the_place_and_the_palette_every_step(malt: Path) -> None:
    """Help is made from the bindings; the palette runs them."""

    async def work() -> None:
        async with desk(malt, WIDE) as (pilot, shown):
            await press(pilot, "4", "f1")
            page = pilot.app.screen
            assert isinstance(page, Page)
            for word in ("take out", "add", "undo", "Connections", "quit", "light or dark"):
                assert word in page.text
            await press(pilot, "escape", "ctrl+p")
            await pilot.pause(0.1)
            await press(pilot, *"Papers")
            await pilot.pause(0.3)
            await press(pilot, "enter")
            await until(pilot, lambda: shown.step.name == "Papers", "the step")

    run(work())


def test_the_other_look_keeps_words_and_signs(first_try: Path) -> None:
    """Light or dark, the same text stands there."""

    async def work() -> None:
        async with desk(first_try) as (pilot, _):
            await press(pilot, "6")
            before = text(pilot)
            await press(pilot, "ctrl+t")
            assert pilot.app.theme == "paper"
            assert text(pilot) == before

    run(work())


def test_the_gate_stands_before_the_first_guided_reading(malt: Path) -> None:
    """A job without the gate gets what is to be done, not a reading."""
    malt.write_text(malt.read_text("utf-8").replace("poles_dead = true", "poles_dead = false"), "utf-8")

    async def work() -> None:
        async with desk(malt, WIDE) as (pilot, _):
            await press(pilot, "4", "right_square_bracket")
            assert "No reading, no screw, no cover" in said(pilot)
            await press(pilot, "2")
            assert "FAIL" in said(pilot) or "unknown ?" in said(pilot)

    run(work())


def test_findings_are_filtered_by_words_and_by_verdict(first_try: Path) -> None:
    """Only what was asked for is listed; Enter goes where it can be changed."""

    async def work() -> None:
        async with desk(first_try, WIDE) as (pilot, shown):
            await press(pilot, "9", "right_square_bracket", "slash", *"hold-to-run", "enter")
            await pilot.pause()
            rows = [line for line in lines(pilot) if "mode.hold-to-run" in line and "FAIL" in line]
            assert rows
            assert not any("identity.core" in line[:100] for line in lines(pilot)[5:20])
            await press(pilot, "enter")
            assert shown.step.name == "Receiver"
            assert isinstance(pilot.app.focused, object)

    run(work())


def test_double_faults_show_how_far_they_are_and_are_given_up(
    malt: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The palette starts them, the verdict line counts, giving up stops the engine; typing goes on."""
    ended: list[str] = []
    engine = door.planned

    def slow(job: Any, entries: Any, faults: str, progress: Any) -> Any:
        if faults == "none":
            return engine(job, entries, faults, progress)
        try:
            for done in range(100000):
                progress(done, 27500)
                time.sleep(0.002)
        except Exception as stop:
            ended.append(type(stop).__name__)
            raise
        return None

    monkeypatch.setattr(door, "planned", slow)

    async def work() -> None:
        async with desk(malt, WIDE) as (pilot, shown):
            shown.action_faults("double")
            await until(pilot, lambda: "of 27500" in said(pilot), "how far it is")
            await press(pilot, "4", "right", "enter", *"pink", "enter")
            assert shown.sight.open.at("core.0.colour") == "pink"
            await planned(pilot)
            assert ended == ["Stopped"]
            shown.action_faults("double")
            await until(pilot, lambda: "of 27500" in said(pilot), "how far it is")
            shown.action_faults("")
            await until(pilot, lambda: len(ended) == 2, "the end")
            assert "of 27500" not in said(pilot)

    run(work())


def test_a_type_is_recognised_and_taken(tmp_path: Path) -> None:
    """Under the cursor: what to look for and the circuit as text; Enter takes it."""
    file = tmp_path / "new.toml"
    file.write_text('[job]\ntitle = "t"\nregion = "us"\nstage = "design"\n', "utf-8")

    async def work() -> None:
        async with desk(file, SMALL) as (pilot, shown):
            await press(pilot, "3", "right_square_bracket", "down", "down")
            await until(pilot, lambda: "Look for" in text(pilot), "the page of the type")
            taken = shown.pane.query_one("#types", OptionList).highlighted  # type: ignore[union-attr]
            await press(pilot, "enter")
            assert taken == 2
            assert isinstance(shown.sight.open.at("hoist.type"), str)

    run(work())
