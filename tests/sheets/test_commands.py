"""Commands pack, record, approve, compare as a person runs them."""

from __future__ import annotations

import json
import shutil
import tomllib
from dataclasses import replace
from pathlib import Path

import pytest

from tests.sheets.conftest import DEMO
from wiring.cli import main
from wiring.model.job import Record
from wiring.model.plan import Plan
from wiring.pipeline import diagnose
from wiring.sheets.diagnosis_text import diagnosis_json, diagnosis_text


@pytest.fixture
def job(tmp_path: Path) -> Path:
    return Path(shutil.copy(DEMO / "malt-second-plan.toml", tmp_path / "job.toml"))


def test_pack_writes_what_is_asked(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """PDF, page and loose sheets; the exit code says written."""
    folder = job.parent
    code = main(["pack", str(job), "-o", str(folder / "p.pdf"), "--html", str(folder / "p.html"),
                 "--sheets", str(folder / "sheets")])  # fmt: skip
    assert code == 0
    assert (folder / "p.pdf").read_bytes().startswith(b"%PDF")
    names = {path.name for path in (folder / "sheets").iterdir()}
    assert {"cover.txt", "wire-list.csv", "as-converted.txt", "connections-1.svg"} <= names
    assert "operator-card.txt" in names
    for path in (folder / "sheets").glob("*.txt"):
        assert "Lock out and prove dead" in path.read_text("utf-8"), path.name
    assert capsys.readouterr().out == ""


def test_pack_asks_for_an_output(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Nothing to write, or a wrong ending, is exit 2 with the way out."""
    assert main(["pack", str(job)]) == 2
    assert "--sheets DIR" in capsys.readouterr().err
    assert main(["pack", str(job), "-o", "pack.docx"]) == 2


def test_record_keeps_comments_and_digest(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A written record carries the digest and its parts; every comment of the file stays."""
    before = job.read_text("utf-8")
    options = ["--test", "release-up", "--measured", "0.28 s", "--by", "tester", "--write"]
    assert main(["record", str(job), *options]) == 0
    after = job.read_text("utf-8")
    comments = [line for line in before.splitlines() if "#" in line]
    assert [line for line in after.splitlines() if "#" in line] == comments
    entry = tomllib.loads(after)["record"][-1]
    assert (entry["test"], entry["measured"], entry["by"]) == ("release-up", "0.28 s", "tester")
    assert len(entry["digest"]) == 12 and set(entry["parts"]) == {"circuit", "ratings", "settings", "catalog"}
    capsys.readouterr()
    assert main(["record", str(job), "--json"]) == 3
    rows = {row["test"]: row for row in json.loads(capsys.readouterr().out)["tests"]}
    assert rows["release-up"]["answer"] == "accept"


def test_rejected_record_is_exit_one(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A result outside its limit ends with exit 1 and names a cause."""
    assert main(["record", str(job), "--test", "earth-S1", "--measured", "4 ohm", "--by", "t"]) == 1
    assert "joint or wrong core" in capsys.readouterr().out


def test_record_names_the_nearest_test(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A slip in a test's name, or a missing name of the person, is exit 2."""
    assert main(["record", str(job), "--test", "relese-up", "--measured", "1 s", "--by", "t"]) == 2
    assert "release-up" in capsys.readouterr().err
    assert main(["record", str(job), "--test", "release-up", "--measured", "1 s"]) == 2
    assert "--by" in capsys.readouterr().err


def test_approval_holds_until_the_plan_changes(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """An approval is written with today's digest; a longer cable voids it and compare says so."""
    signed = ["approve", str(job), "--by", "E. Person", "--licence", "7", "--date", "2026-12-01"]
    assert main(signed) == 0
    assert "approval" not in tomllib.loads(job.read_text("utf-8"))
    assert main([*signed, "--write"]) == 0
    assert "review" in capsys.readouterr().out
    later = job.with_name("later.toml")
    later.write_text(job.read_text("utf-8").replace('length = "25 ft"', 'length = "60 ft"'), encoding="utf-8")
    assert main(["compare", str(job), str(later), "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["changed"] == ["ratings"]
    assert found["void"]["approvals"] == ["E. Person"]
    assert {row["value"] for row in found["values"]} >= {"W1:1.resistance"}


def test_swapped_wires_are_named(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Two wires swapped: compare names both wires and the motions that changed."""
    text = job.read_text("utf-8")
    swapped = text.replace('from = "core:2"', 'from = "core:X"').replace('from = "core:3"', 'from = "core:2"')
    later = job.with_name("later.toml")
    later.write_text(swapped.replace('from = "core:X"', 'from = "core:3"'), encoding="utf-8")
    assert main(["compare", str(job), str(later), "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert {row["part"] for row in found["moved"]} == {"W1:2", "W1:3"}
    up = next(row for row in found["motions"] if row["pressed"] == ["key:up"] and not row["open"])
    assert (up["old"], up["new"]) == (["hoist up"], ["hoist down"])
    assert found["changed"] == ["circuit"]


def test_same_job_has_nothing_to_say(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A job compared with itself: same digest, nothing void."""
    assert main(["compare", str(job), str(job)]) == 0
    out = capsys.readouterr().out
    assert "Same digest" in out and "no approval" in out and "no record" in out


def test_sheets_of_an_unknown_hoist(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """With hoist and receiver unknown the pack is written all the same and says what is not known."""
    job = tmp_path / "new.toml"
    job.write_text('[job]\ntitle = "Not known yet"\nregion = "iec"\nstage = "design"\n', encoding="utf-8")
    assert main(["pack", str(job), "--sheets", str(tmp_path / "s"), "-o", str(tmp_path / "p.pdf")]) == 0
    assert "type not known" in (tmp_path / "s" / "cover.txt").read_text("utf-8")
    assert "NOT HANDED OVER" in (tmp_path / "s" / "cover.txt").read_text("utf-8")
    assert main(["record", str(job)]) == 2


def test_records_are_diagnosed(malt: Plan) -> None:
    """DOWN dead without coil volts, UP good: output, interlock or coil feed of DOWN, and the next look."""
    results = {
        "direction-up": "hoist up",
        "direction-down": "no motion",
        "volts-K10.down-down": "0 V",
        "volts-K10.up-up": "118 V",
    }
    records = tuple(Record(t, text, "t", malt.digest, malt.parts) for t, text in results.items())
    found = diagnose(replace(malt, job=replace(malt.job, records=records)))
    assert set(found.alarms) == {"hold-down", "volts-K10.down-down"}
    assert found.explanations[0].misses == 0
    assert "K10.up:21-22 stuck-open" in found.explanations[0].faults
    text = diagnosis_text(malt, found)
    assert "K10.up:21-22 stuck-open" in text and f"Next: {found.next}"[:30] in text
    assert diagnosis_json(malt, found)["next"] == found.next
    first = text.partition("best first\n")[2].split("\n  2  ")[0].splitlines()
    assert len(first) == 1 + min(len(found.explanations[0].faults), 7)  # one fault a line


def test_diagnosis_without_records(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Without a record on this plan there is nothing to go by, and that is not a pass."""
    assert main(["record", str(job), "--diagnose"]) == 3
    assert "Nothing to go by" in capsys.readouterr().out
