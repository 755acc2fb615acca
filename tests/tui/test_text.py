"""Any text in any field: nothing crashes, nothing is lost."""

from __future__ import annotations

import asyncio
import tempfile
import tomllib
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from tests.tui.drive import SMALL, WIDE, demo, desk, press, settled
from tui import door
from tui.fields import FieldError, fields_of, read, shown
from tui.openjob import OpenJob
from tui.steps.order import STEPS
from tui.widgets.editor import EditorLine, Typing
from tui.writing import setting

NASTY = (
    "a [/] b", "[red]x[/red]", "[b +", "[link=file:///x]y[/link]", "$text-error", "&amp; & <b>", "👷🏽‍♀️🏗️🪝",
    "x" * 500, "مرحبا كبل", "\u202eabc\u202c", "tab\there", "bell\x07 esc\x1b[31m", "\x00", "zero\u200bwidth",
    '"""', "\\", "'''", "# no comment", "ẞß", "　", "unknown?", "\x85\u2028", "=]\n[x]",
)  # fmt: skip
TEXT = st.one_of(st.sampled_from(NASTY), st.text(max_size=60), st.text("[]&$\\\"'#=", max_size=40))
FREE = [
    (block, field)
    for step in STEPS
    for block in step.blocks
    for field in fields_of(door.schema(), block)
    if field.kind == "text" and not field.pattern and not field.choices
]


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(TEXT, st.integers(0, len(FREE) - 1))
def test_a_text_that_a_field_takes_is_in_the_file_to_the_letter(typed: str, at: int) -> None:
    """What is typed is read back the same from the TOML text, or it is refused with a reason."""
    block, field = FREE[at]
    job = OpenJob(Path("malt.toml"), demo("malt-second-plan.toml"), "")
    rows = job.at(block)
    path = f"{block}.0.{field.path}" if isinstance(rows, list) else f"{block}.{field.path}"
    if rows is None and block not in (
        "job",
        "place",
        "gate",
        "hoist",
        "supply",
        "receiver",
        "pendant",
        "cord",
    ):
        return
    try:
        value = read(field, typed)
    except FieldError as refused:
        assert str(refused)
        return
    job.edit(setting(job, path, value), "typed")
    now = tomllib.loads(job.text)
    assert now == job.data
    if value is not None:
        assert job.at(path) == value
        assert read(field, shown(job.at(path))) == value


@settings(max_examples=1, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.lists(TEXT, min_size=12, max_size=12), st.just(SMALL))
@example(list(NASTY), WIDE)
def test_every_step_shows_a_job_full_of_any_text(texts: list[str], size: tuple[int, int]) -> None:
    """Every text field of the job is filled; every step and leaf is looked at."""
    with tempfile.TemporaryDirectory() as folder:
        asyncio.run(shows(Path(folder), texts, size))


async def shows(folder: Path, texts: list[str], size: tuple[int, int]) -> None:
    job = OpenJob(folder / "full.toml", demo("malt-second-plan.toml"), "")
    for number, (block, field) in enumerate(FREE):
        rows = job.at(block)
        path = f"{block}.0.{field.path}" if isinstance(rows, list) else f"{block}.{field.path}"
        if rows is None or field.path in ("id", "type") or block == "record":
            continue
        text = texts[number % len(texts)]
        try:
            job.edit(setting(job, path, read(field, text)), path)
        except FieldError:
            continue
    job.path.write_text(job.text, "utf-8")
    async with desk(job.path, size) as (pilot, there):
        for step in STEPS:
            await press(pilot, step.twin)
            assert there.pane is not None
            for _ in there.pane.LEAVES if size == SMALL else ():
                await press(pilot, "right_square_bracket")
        assert pilot.app.is_running
        assert there.sight.open.text == job.text


def test_any_text_typed_into_the_line_is_taken_or_refused_and_nothing_crashes(
    malt: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each of the nasty texts through the editor line, in a key, a cell and a list."""
    entries = door.catalog(malt.parent)
    one = door.planned(door.read(malt.read_text("utf-8"), malt, entries), entries, "none")
    monkeypatch.setattr(door, "planned", lambda job, *_: replace(one, job=job))

    async def work() -> None:
        async with desk(malt, SMALL) as (pilot, there):
            await press(pilot, "1")
            for text in NASTY:
                await press(pilot, "enter")
                there.query_one(Typing).value = text
                await settled(pilot)
                await press(pilot, "enter")
                if there.query_one(EditorLine).ask is not None:
                    await press(pilot, "escape")
                else:
                    assert there.sight.open.at("job.title") == there.query_one(Typing).value
            await press(pilot, "4", "right")
            for text in NASTY[:4]:
                await press(pilot, "enter")
                there.query_one(Typing).value = text
                await press(pilot, "enter", "escape")
            assert pilot.app.is_running

    asyncio.run(work())
