"""What can be typed into a field, and what the job then says."""

from __future__ import annotations

import datetime
import tomllib
from pathlib import Path

import pytest

from tests.tui.drive import demo
from tui import door
from tui.fields import Field, FieldError, block_of, fields_of, read, resolved, shown
from tui.openjob import OpenJob
from tui.steps.order import STEPS, step_of_key
from tui.writing import free_id, setting

BLOCKS = [block for step in STEPS for block in step.blocks]


def field(block: str, path: str) -> Field:
    return next(f for f in fields_of(door.schema(), block) if f.path == path)


def test_every_table_of_the_job_format_is_edited_in_a_step() -> None:
    """A key of the job file that no step edits does not exist."""
    schema = door.schema()
    top = {name for name in schema["properties"] if not name.startswith("$")}
    inner = {"receiver.output", "receiver.jumper", "pendant.contact"}
    assert top | inner == set(BLOCKS)
    for block in BLOCKS:
        listed = {f.path.partition(".")[0] for f in fields_of(schema, block)}
        lists = {b.rpartition(".")[2] for b in inner if b.startswith(f"{block}.")}
        assert listed | lists == set(block_of(schema, block)["properties"])
        assert step_of_key(f"{block}.0") is not None


@pytest.mark.parametrize(
    ("block", "path", "typed", "value"),
    [
        ("core", "role", "UP", "up"),
        ("gate", "locked", "yes", True),
        ("gate", "locked", "n", False),
        ("cord", "length", " 12 ft ", "12 ft"),
        ("hoist", "starts_per_hour", "30", 30),
        ("job", "date", "2026-11-25", datetime.date(2026, 11, 25)),
        ("gate", "at", "2026-11-25 09:10", datetime.datetime(2026, 11, 25, 9, 10)),
        ("cord", "order", "1, 2,PE", ["1", "2", "PE"]),
        ("place", "outside_scope", "none", []),
        ("reading", "between", "1, plug:L", ["1", "plug:L"]),
        ("receiver", "on_signal_loss", "stays", "stays"),
        ("receiver", "on_signal_loss", "0.4 s", "0.4 s"),
        ("supply", "voltage", "", None),
        ("supply", "voltage", "unknown", None),
    ],
)
def test_typed_text_becomes_the_value_of_the_file(block: str, path: str, typed: str, value: object) -> None:
    """What is typed is what the file says, unknown is unknown."""
    got = read(field(block, path), typed)
    assert got == value
    assert type(got) is type(value)


@pytest.mark.parametrize(
    ("block", "path", "typed"),
    [
        ("core", "role", "upp"),
        ("cord", "length", "12"),
        ("cord", "length", "twelve ft"),
        ("hoist", "starts_per_hour", "-1"),
        ("gate", "at", "yesterday"),
        ("job", "title", ""),
        ("job", "title", "x" * 501),
        ("reading", "between", "1"),
        ("place", "outside_scope", "explosive, dull"),
        ("device", "id", "10K"),
        ("hoist", "type_source", "\udc80"),
    ],
)
def test_text_that_the_field_cannot_hold_is_refused_with_a_reason(block: str, path: str, typed: str) -> None:
    """The reason says what the field can hold."""
    with pytest.raises(FieldError, match=r"\w"):
        read(field(block, path), typed)


def test_every_value_of_the_demo_jobs_is_shown_and_read_back_the_same() -> None:
    """Opening a field and leaving it changes nothing."""
    schema = door.schema()
    for name in ("malt-first-try.toml", "malt-second-plan.toml", "slipway-gantry.toml"):
        job = OpenJob(Path(name), demo(name), "")
        for block in BLOCKS:
            rows = job.at(block)
            count = len(rows) if isinstance(rows, list) else None
            for one in fields_of(schema, block):
                for n in [None] if count is None else range(count):
                    path = f"{block}.{one.path}" if n is None else f"{block}.{n}.{one.path}"
                    value = job.at(path)
                    if value is not None:
                        assert setting(job, path, read(one, shown(value))) == []


def test_references_of_the_schema_are_followed_and_unknown_left_out() -> None:
    """A key that may be unknown is described as what it holds when known."""
    schema = door.schema()
    node = resolved(schema, schema["properties"]["place"])
    assert "sees_load" in node["properties"]


def test_clearing_a_value_writes_unknown_and_keeps_the_comment(tmp_path: Path) -> None:
    """The word unknown stands where the value stood, with its comment."""
    text = '[job]\ntitle = "t"\nregion = "us"\nstage = "design"\n[supply]\nvoltage = "120 V" # plate\n'
    job = OpenJob(tmp_path / "t.toml", text, text)
    assert job.edit(setting(job, "supply.voltage", None), "supply voltage")
    assert 'voltage = "unknown" # plate' in job.text


def test_a_value_in_a_table_that_is_not_there_makes_the_table_inline(tmp_path: Path) -> None:
    """A rating is written in one line, in its output."""
    text = '[job]\ntitle = "t"\nregion = "us"\nstage = "design"\n[[receiver.output]]\nid = "CH1"\n'
    job = OpenJob(tmp_path / "t.toml", text, text)
    job.edit(setting(job, "receiver.output.0.rating.resistive", "10 A"), "rating")
    job.edit(setting(job, "gate.locked", True), "locked")
    assert 'rating = {resistive = "10 A"}' in job.text.replace("{ ", "{").replace(" }", "}")
    assert tomllib.loads(job.text)["gate"] == {"locked": True}


@pytest.mark.parametrize(
    ("taken", "example", "free"),
    [
        (["1", "2", "PE"], "1", "3"),
        ([], "1", "1"),
        (["K10"], "K10", "K11"),
        ([], "K10", "K1"),
        (["PE"], "1", ""),
    ],
)
def test_the_next_free_id_goes_on_from_the_last(taken: list[str], example: str, free: str) -> None:
    """Cores count on, devices keep their letter."""
    assert free_id(taken, example) == free
