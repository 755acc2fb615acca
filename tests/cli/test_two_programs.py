"""Two programs on one job file, and places that cannot be written: refused, said, nothing lost."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

import wiring
from tests.jobs.plans import DEMO
from wiring.cli import main
from wiring.files import AddEntry, InputError, load_job, rewrite_job, save_job

FIRST = DEMO / "malt-first-try.toml"
Said = pytest.CaptureFixture[str]


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """A demo job in a folder of its own."""
    return Path(shutil.copy(FIRST, tmp_path / "job.toml"))


def test_a_job_changed_since_it_was_read_is_not_overwritten(job: Path) -> None:
    """Neither saving nor editing goes over what another program wrote since the job was read."""
    stamp = load_job(job).stamp
    text = job.read_text("utf-8")
    other = text + "# written by somebody else\n"
    job.write_text(other, "utf-8")
    with pytest.raises(InputError, match="changed by another program"):
        save_job(job, text + "# ours\n", stamp)
    with pytest.raises(InputError, match="changed by another program"):
        rewrite_job(job, [AddEntry("core", {"id": "99"})], stamp)
    assert job.read_text("utf-8") == other
    save_job(job, text, load_job(job).stamp)
    assert job.read_text("utf-8") == text


def test_an_approval_of_an_older_text_is_not_written(
    job: Path, capsys: Said, monkeypatch: pytest.MonkeyPatch
) -> None:
    """`approve --write` refuses where the job was changed while it was looked at."""
    review = wiring.review_text

    def meanwhile(plan: object) -> str:
        job.write_text(job.read_text("utf-8") + "# meanwhile\n", "utf-8")
        return review(plan)  # type: ignore[arg-type]

    monkeypatch.setattr("wiring.cli.approve.review_text", meanwhile)
    assert main(["approve", str(job), "--by", "N. N.", "--licence", "1", "--write"]) == 2
    said = capsys.readouterr().err
    assert "changed by another program" in said and said.count("\n") == 1
    assert "[[approval]]" not in job.read_text("utf-8")


def test_line_ends_and_mark_at_the_start(job: Path) -> None:
    """An edit of a file with CRLF line ends leaves every one of them; a byte-order mark is no obstacle."""
    text = job.read_text("utf-8").replace("\n", "\r\n")
    job.write_bytes(b"\xef\xbb\xbf" + text.encode())
    rewrite_job(job, [AddEntry("answer", {"rule": "x", "answer": "yes", "by": "me"})], load_job(job).stamp)
    after = job.read_bytes()
    assert after.count(b"\n") == after.count(b"\r\n") > text.count("\r\n")


@pytest.mark.parametrize(
    "call",
    [
        ["demo", "JOB/demo"],
        ["new", "JOB/new.toml", "--title", "t", "--country", "US", "--hoist", "unknown", "--receiver",
         "unknown", "--people", "outside"],
        ["check", "JOB", "--faults", "none", "--recalled", "JOB/list.csv"],
        ["prove", "JOB", "--faults", "none", "--all", "JOB/rows.csv"],
        ["draw", "JOB", "-o", "JOB/plan.svg"],
        ["pack", "JOB", "--html", "JOB/plan.html"],
        ["pack", "JOB", "--sheets", "JOB/sheets"],
        ["demo", "/proc/none"],
    ],
    ids=lambda call: " ".join(call[:4]),
)  # fmt: skip
def test_a_file_where_a_folder_should_be(call: list[str], job: Path, capsys: Said) -> None:
    """Writing below something that is no folder is exit 2 with one message, and the job stays as it was."""
    before = job.read_bytes()
    assert main([word.replace("JOB", str(job)) for word in call]) == 2
    said = capsys.readouterr().err
    assert said.splitlines()[-1].startswith(f"holdrun {call[0]}: ") and "Traceback" not in said
    assert job.read_bytes() == before and [each.name for each in job.parent.iterdir()] == ["job.toml"]
