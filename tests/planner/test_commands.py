"""The commands map, fit and remedy from the outside: text, JSON, exit codes, files written."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.campaign.remedy import text_of
from tests.planner.made import job_of
from wiring.cli.entry import run
from wiring.files import catalog_root

FIRST = "malt-first-try.toml"
SECOND = "malt-second-plan.toml"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with the demo jobs."""
    for name in (FIRST, SECOND):
        (tmp_path / name).write_text((catalog_root() / "demo" / name).read_text("utf-8"), "utf-8")
    return tmp_path


def test_map_prints_connections_with_reasons(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The proposal names ends, reasons, devices and the caution, and is marked as an example."""
    assert run(["map", str(folder / SECOND)]) == 0
    out = capsys.readouterr().out
    assert out.startswith("EXAMPLE, not your hoist")
    assert "core:2 -> K10.up:2" in out and "place of the handset's" in out
    assert "Lock out and prove dead" in out


def test_map_as_json_is_one_document(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Every proposal with its connections, each with why, and nothing else on standard output."""
    assert run(["map", str(folder / SECOND), "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    assert document["schema"] == "holdrun/map/1" and document["proposals"][0]["fails"] == 0
    assert all(c["why"] for c in document["proposals"][0]["connections"])


def test_map_says_why_nothing_was_found(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """With a needed core unknown the exit code is 3 and the reason stands in the output."""
    path = folder / SECOND
    path.write_text(path.read_text("utf-8").replace('role = "up"', 'role = "unknown"'), "utf-8")
    assert run(["map", str(path)]) == 3
    assert "no core is known to be up" in " ".join(capsys.readouterr().out.split())


def test_map_writes_what_it_proposed(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """--write puts the wiring into the file, and its comments stay."""
    path = folder / FIRST
    assert run(["map", str(path), "--write"]) == 0
    text = path.read_text("utf-8")
    assert "contactor-pair-120" in text and '# "red is always down"' in text
    assert "wrote" in capsys.readouterr().err


def test_remedy_has_nothing_to_say_about_a_good_job(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A job in which nothing fails gives exit code 0 and says so."""
    assert run(["remedy", str(folder / SECOND)]) == 0
    assert "nothing fails" in capsys.readouterr().out


def test_remedy_writes_the_repaired_job(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A conductor forgotten in the file is put back by --write: the file then has nothing that fails."""
    path = folder / SECOND
    text = path.read_text("utf-8")
    row = '[[connection]]\nfrom = "core:PE"\nto = "X10:PE"\nconductor = "W1:PE"\n'
    assert row in text
    path.write_text(text.replace(row, ""), "utf-8")
    assert run(["remedy", str(path), "--write", "--json", "--faults", "none"]) == 0
    document = json.loads(capsys.readouterr().out)
    assert document["fails"] > 0 and document["changes"][-1]["fails"] == 0
    assert 'conductor = "W1:PE"' in path.read_text("utf-8")
    assert run(["remedy", str(path), "--faults", "none"]) == 0


def test_fit_ranks_receivers_and_gives_the_specification(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Every receiver of the catalog with verdict and reason, and what to buy by."""
    path = tmp_path / "winch.toml"
    path.write_text(text_of(job_of("winch-permanent-magnet-12", None)), "utf-8")
    assert run(["fit", str(path), "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    verdicts = {r["receiver"]: r["verdict"] for r in document["receivers"]}
    assert verdicts["network-relay-module"] == "do not use"
    assert len(verdicts) == 10 and all(r["why"] for r in document["receivers"])
    wants = {want["what"] for want in document["specification"]}
    assert {"supply", "outputs", "mode", "signal lost", "stop"} <= wants
