"""Good job files: everything that is written arrives, with the line it stands on."""

from __future__ import annotations

import datetime
import tomllib
from pathlib import Path
from typing import Any, get_args

import pytest

from wiring.files import InputError, load_job
from wiring.files.fields import Block
from wiring.files.job_format import JobFile
from wiring.files.lines import line_of
from wiring.model.value import Amount

HERE = Path(__file__).parent


def test_the_example_loads(folder: Path) -> None:
    """The example with every key loads, and its facts arrive in SI."""
    job = load_job(folder / "example.toml")
    assert (job.title, job.region, job.example) == ("Engine gantry, slipway shed", "iec", True)
    assert job.date == datetime.date(2026, 11, 25)
    assert job.hoist.hook_speed is not None and job.hoist.hook_speed.si == pytest.approx(8 / 60)
    assert job.place is not None and job.place.clearance["up"].si == 0.4
    assert job.place.outside_scope == ()
    assert job.cord.size is not None and job.cord.size.name == "1.5"
    assert job.values[0].is_ == Amount(3.4, "current", "3.4 A")
    assert job.connections[0].from_ == "core:1" and job.connections[1].conductor is None
    assert [row.name for row in job.removes] == ["hoist:W7", "hoist:F4"]
    assert isinstance(job.receiver.on_signal_loss, Amount) and job.receiver.on_signal_loss.si == 0.4
    assert (
        job.receiver.outputs[0].rating is not None
        and job.receiver.outputs[0].rating.electrical_life == 100000
    )
    assert job.bench[0].at_most and job.bench[0].time == Amount(1.0, "time", "1 s")
    assert job.readings[1].value == "OL"
    assert job.approvals[0].parts is not None and job.approvals[0].parts.ratings == "4e7f"
    assert hash(job.connections) and job.pendant.contacts[0].pole == 2


def test_unknown_equals_absent(folder: Path) -> None:
    """The word unknown gives the same job as leaving the key out."""
    text = (folder / "example.toml").read_text("utf-8")
    said = load_job(folder / "example.toml")
    assert said.supply.fault_current is None
    (folder / "without.toml").write_text(text.replace('fault_current = "unknown"\n', "\n"), "utf-8")
    without = load_job(folder / "without.toml")
    assert without.supply == said.supply


def test_any_optional_key_may_be_unknown(folder: Path) -> None:
    """Every optional key of the example may say unknown: the job loads and the fact is not there."""
    data = tomllib.loads((HERE / "example.toml").read_text("utf-8"))
    lines = (HERE / "example.toml").read_text("utf-8").split("\n")
    changed = 0
    for path, line in line_of("\n".join(lines)).items():
        steps = path.split(".")
        block = _block(JobFile, steps[:-1])
        field = {f.alias or n: f for n, f in block.model_fields.items()}.get(steps[-1]) if block else None
        row = lines[line - 1]
        if field is None or field.is_required() or "=" not in row or row.split(" = ")[0] != steps[-1]:
            continue
        if steps[-1] in ("wire", "part", "order"):
            continue  # one of two is needed; the order of a cable is what its conductors are judged by
        text = "\n".join([*lines[: line - 1], f'{steps[-1]} = "unknown"', *lines[line:]])
        (folder / "job.toml").write_text(text, "utf-8")
        load_job(folder / "job.toml")
        changed += 1
    assert changed > 100 and data["job"]["title"]


def _block(block: type[Block], steps: list[str]) -> type[Block] | None:
    """The block at a key path of the job format."""
    here: type[Block] | None = block
    for step in steps:
        if step.isdigit() or here is None:
            continue
        field = {f.alias or n: f for n, f in here.model_fields.items()}.get(step)
        here = _inner(field.annotation) if field else None
    return here


def _inner(annotation: Any) -> type[Block] | None:
    if isinstance(annotation, type) and issubclass(annotation, Block):
        return annotation
    return next((found for each in get_args(annotation) if (found := _inner(each))), None)


def _all_keys(block: type[Block], at: str = "") -> set[str]:
    found: set[str] = set()
    for name, field in block.model_fields.items():
        key = f"{at}.{field.alias or name}".strip(".")
        inner = _inner(field.annotation)
        found |= _all_keys(inner, key) if inner else {key}
    return found


def test_the_example_uses_every_key() -> None:
    """No key of the format is missing from the example, so each is loaded by a test."""
    used = {
        ".".join(step for step in path.split(".") if not step.isdigit())
        for path in line_of((HERE / "example.toml").read_text("utf-8"))
    }
    # one block serves both places where a rating, or the parts of a digest, can stand
    twins = ("device.rating.", "record.parts.")
    assert {key for key in _all_keys(JobFile) if not key.startswith(twins)} <= used


def test_where_names_the_line(folder: Path) -> None:
    """Every key can be pointed at by file and line, also in good files; a missing one by its parent."""
    job = load_job(folder / "example.toml")
    lines = (folder / "example.toml").read_text("utf-8").split("\n")

    def at(key: str) -> str:
        name, _, line = job.where(key).partition(":")
        assert name == "example.toml"
        return lines[int(line) - 1]

    assert at("connection.1.from") == 'from = "K0:1"'
    assert at("receiver.output.0.mode") == 'mode = "momentary"'
    assert at("core.2") == "[[core]]" and at("core.2.id") == 'id = "3"'
    assert at("place.risk.by").startswith("risk = {")
    assert at("receiver.output.1.rating.ac3") == "[[receiver.output]]"
    assert job.where("nothing.of.it") == "example.toml"


def test_what_is_a_finding_is_no_load_error(folder: Path) -> None:
    """A core without role, two cores with one role and an end with nothing on it load."""
    text = (folder / "example.toml").read_text("utf-8")
    text = text.replace('role = "down"', 'role = "up"').replace('role = "earth"\n', "")
    text = text.replace('[[connection]]\nfrom = "K0:1"\nto = "hoist:F1.2"\n', "")
    (folder / "job.toml").write_text(text, "utf-8")
    job = load_job(folder / "job.toml")
    assert [core.role for core in job.cores] == ["feed", "up", "up", None]


def test_unknown_types_are_allowed(folder: Path) -> None:
    """A job that knows neither hoist nor receiver loads; what depends on them is not judged."""
    text = (folder / "example.toml").read_text("utf-8")
    text = text.replace('"reversing-contactors-24"', '"unknown"').replace(
        '"six-channel-stop-pair"', '"unknown"'
    )
    (folder / "job.toml").write_text(text.replace('to = "receiver:3"', 'to = "receiver:COM7"'), "utf-8")
    job = load_job(folder / "job.toml")
    assert job.hoist.type is None and job.receiver.type is None


def test_smallest_job(tmp_path: Path) -> None:
    """Three keys make a job: everything else is not known."""
    (tmp_path / "job.toml").write_text('[job]\ntitle = "t"\nregion = "us"\nstage = "design"\n')
    job = load_job(tmp_path / "job.toml")
    assert job.gate is None and job.place is None and job.cores == () and job.people is None
    assert job.supply.voltage is None and not job.example


def test_line_ends_and_byte_order_mark(folder: Path) -> None:
    """A file from another system, with CR LF and a byte-order mark, is the same job."""
    text = (folder / "example.toml").read_text("utf-8")
    (folder / "dos.toml").write_bytes(b"\xef\xbb\xbf" + text.replace("\n", "\r\n").encode())
    assert load_job(folder / "dos.toml").connections == load_job(folder / "example.toml").connections


def test_every_problem_survives_a_process_border(folder: Path) -> None:
    """An InputError can be pickled, so that several files can be checked in parallel."""
    import pickle

    (folder / "job.toml").write_text("[job]\n")
    with pytest.raises(InputError) as caught:
        load_job(folder / "job.toml")
    again = pickle.loads(pickle.dumps(caught.value))
    assert isinstance(again, InputError) and again.problems == caught.value.problems


def test_a_catalog_entry_given_as_a_job_is_one_problem() -> None:
    """A hoist type handed over as a job is named as what it is, in one message."""
    types = HERE.parent / "jobs" / "own-types" / "boatyard-pillar-crane.toml"
    with pytest.raises(InputError) as caught:
        load_job(types)
    assert len(caught.value.problems) == 1
    assert "catalog entry" in str(caught.value)
