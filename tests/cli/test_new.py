"""Commands that start a file: a job, a hoist type."""

from __future__ import annotations

from pathlib import Path

import pytest

from wiring.cli import main
from wiring.files import load_entry, load_job

JOB = ["--title", "Test", "--country", "US", "--people", "beside"]
TYPE = [
    "--title", "Curtain winch", "--cores", "4", "--buttons", "up,down", "--stop", "yes",
    "--voltage", "230 V", "--frequency", "50 Hz", "--plate", 'a "b" [500 W]',
]  # fmt: skip


def test_new_writes_a_job_that_loads_and_never_overwrites(tmp_path: Path) -> None:
    """A new job loads, keeps every unknown, and a second `new` on the same name is refused."""
    file = tmp_path / "my.toml"
    call = ["new", str(file), *JOB, "--hoist", "unknown", "--receiver", "unknown"]
    assert main(call) == 0
    job = load_job(str(file))
    assert job.hoist.type is None and job.receiver.type is None and job.region == "us"
    assert (tmp_path / "job.schema.json").exists()
    assert main(call) == 2


def test_new_names_the_missing_option_without_a_terminal(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Where nobody can be asked, the option that is missing is named and nothing is written."""
    file = tmp_path / "my.toml"
    assert main(["new", str(file)]) == 2
    assert "--title" in capsys.readouterr().err
    assert not file.exists()


def test_new_names_the_nearest_type(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A slip in a type id is answered with the nearest one."""
    call = ["new", str(tmp_path / "j.toml"), *JOB, "--receiver", "unknown"]
    assert main([*call, "--hoist", "reversing-contactor-24"]) == 2
    assert "reversing-contactors-24" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("command", "said"),
    [("map", "No way to connect it was found."), ("fit", "The hoist type is not known")],
)
def test_a_job_that_knows_nothing_is_told_what_comes_first(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], command: str, said: str
) -> None:
    """Without a hoist type map and fit say so, name no rating, and carry the caution line."""
    file = tmp_path / "my.toml"
    main(["new", str(file), *JOB, "--hoist", "unknown", "--receiver", "unknown"])
    capsys.readouterr()
    assert main([command, str(file)]) == 3
    told = capsys.readouterr().out
    assert said in told and "Lock out and prove dead" in told and "rating above" not in told


@pytest.mark.parametrize("system", ["1ph L-N", "1ph L-L", "3ph 3-wire", "3ph 4-wire", "dc"])
@pytest.mark.parametrize("clicks", ["yes", "no"])
def test_new_type_writes_a_skeleton_that_loads_and_does_not_pass(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], system: str, clicks: str
) -> None:
    """A skeleton loads for every supply system, and its lint says that it is not complete."""
    file = tmp_path / "curtain.toml"
    assert main(["new-type", str(file), *TYPE, "--system", system, "--clicks", clicks]) == 0
    assert getattr(load_entry(file), "id", "") == "curtain"
    assert main(["catalog", "check", str(file)]) == 1
    assert "leads nowhere" in capsys.readouterr().out


def test_new_type_refuses_a_plate_that_cannot_be_read(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A voltage or frequency that is none is exit 2 naming it, and nothing is written."""
    file = tmp_path / "curtain.toml"
    call = ["new-type", str(file), *TYPE, "--system", "dc", "--clicks", "no", "--voltage", "230 A"]
    assert main(call) == 2
    assert 'curtain.toml: voltage: found "230 A"; allowed: a voltage' in capsys.readouterr().err
    assert not file.exists()
