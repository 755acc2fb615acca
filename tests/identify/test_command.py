"""`holdrun identify`: gate, answers from options and pipes, what it prints and writes."""

from __future__ import annotations

import argparse
import io
import json
from pathlib import Path

import pytest

from tests.identify.made import GATE, session, truth
from wiring.cli import main
from wiring.cli.asking import gate_of
from wiring.cli.entry import UsageError
from wiring.cli.identify import asked_again
from wiring.files import load_job
from wiring.model.value import Amount

STEPS = ("locked", "load-landed", "tester-proved", "poles-dead", "tester-proved-again")
GIVEN = ["--isolated-at", "plug", "--capacitor-volts", "2", "--transmitter-battery-out"]
GIVEN += [f"--{step}" for step in STEPS]
JOB = """[job]
title = "barn"
region = "iec"
stage = "design"

[supply]
system = "3ph 4-wire"

[meter]
lead_resistance = "0.2 ohm"

# by position, not by colour
[[core]]
id = "1"
colour = "green"
[[core]]
id = "2"
[[core]]
id = "3"
[[core]]
id = "4"
"""
AT = {"feed": "3", "up": "1", "down": "4", "earth": "2"}


def answers() -> list[str]:
    """What a person would type, leads still in the number, to every question of the session."""
    made = session("reversing-contactors-24", 4)
    given = []
    while (wanted := made.isolated(GATE).wanted()) is not None and wanted.probe is not None:
        answer = truth("reversing-contactors-24", AT, wanted.probe)
        shown = answer.word or f"{(answer.ohms or 0.0) + 0.2:.3f}"
        given.append(shown)
        made = made.reply(wanted.probe, shown)
    return given


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "barn.toml"
    path.write_text(JOB, "utf-8")
    return path


def test_without_the_gate_nothing_is_asked(job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Answers without the gate's options are exit 2 and the option is named."""
    monkeypatch.setattr("sys.stdin", io.StringIO(""))
    assert main(["identify", str(job), "--answer", "0.3"]) == 2


def test_found_and_written(
    job: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A whole session from a pipe ends with exit 0; type, roles, readings and gate stand in the file."""
    monkeypatch.setattr("sys.stdin", io.StringIO("\n".join(answers()) + "\n"))
    code = main(["identify", str(job), "--buttons", "up,down,stop", "--write", "--json", *GIVEN])
    shown = json.loads(capsys.readouterr().out)
    assert code == 0 and shown["certain"] and shown["wanted"] is None
    written = load_job(job)
    assert written.hoist.type == "reversing-contactors-24" and written.hoist.type_by == "readings"
    assert {core.role: core.id for core in written.cores} == AT
    assert {core.by for core in written.cores} == {"readings"}
    assert written.gate is not None and written.gate.poles_dead and written.gate.at is not None
    assert len(written.readings) == shown["readings"] and "# by position, not by colour" in job.read_text()


def test_a_written_job_is_found_again(
    job: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The readings written into the file lead to the same answer when the file is read again."""
    monkeypatch.setattr("sys.stdin", io.StringIO("\n".join(answers()) + "\n"))
    main(["identify", str(job), "--buttons", "up,down,stop", "--write", *GIVEN])
    capsys.readouterr()
    monkeypatch.setattr("sys.stdin", io.StringIO(""))
    code = main(["identify", str(job), "--json"])
    shown = json.loads(capsys.readouterr().out)
    assert code == 0 and {role["core"]: role["role"] for role in shown["roles"]} == {
        core: role for role, core in AT.items()
    }


def test_unfinished_is_exit_3_and_writes_no_role(job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """After two answers nothing is certain: exit 3, the readings are kept, no role and no type."""
    monkeypatch.setattr("sys.stdin", io.StringIO("\n".join(answers()[:2]) + "\n"))
    assert main(["identify", str(job), "--buttons", "up,down,stop", "--write", *GIVEN]) == 3
    written = load_job(job)
    assert written.hoist.type is None and all(core.role is None for core in written.cores)
    assert len(written.readings) == 2


def test_leads_are_subtracted(
    job: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The meter's own leads are taken off what is typed and put back into what is written."""
    monkeypatch.setattr("sys.stdin", io.StringIO(""))
    given = ["--answer", "3.1", "--write"]
    main(["identify", str(job), "--buttons", "up,down,stop", *given, *GIVEN])
    assert str(load_job(job).readings[0].value) == "3.1 ohm"
    made = session("reversing-contactors-24", 4).with_leads(Amount(0.2, "resistance", "0.2 ohm"))
    wanted = made.wanted()
    assert wanted is not None and wanted.probe is not None
    ohms = made.reply(wanted.probe, "3.1").taken[-1].answer.ohms
    assert ohms == pytest.approx(2.9)


@pytest.mark.parametrize("typed", ["beep", "1.2.3", "-4", "yes", "12 bananas"])
def test_what_is_no_reading_is_refused(
    job: Path, typed: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """An answer that is no reading is exit 2 with what is allowed, and nothing is written."""
    monkeypatch.setattr("sys.stdin", io.StringIO(""))
    assert main(["identify", str(job), f"--answer={typed}", "--write", *GIVEN]) == 2
    assert "allowed: ohms such as" in capsys.readouterr().err
    assert job.read_text("utf-8") == JOB


def test_a_job_without_cores_is_exit_2(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Without [[core]] rows there is nothing to ask about, and the message says what to add."""
    path = tmp_path / "bare.toml"
    path.write_text(JOB.partition("# by position")[0], "utf-8")
    assert main(["identify", str(path)]) == 2
    assert "[[core]]" in capsys.readouterr().err


def test_after_a_pause_the_options_of_the_gate_do_not_answer_again() -> None:
    """Once the gate was passed its options are spent: a second time every step is asked for."""
    given = argparse.Namespace(file="x", leads="0.2", locked=True, poles_dead=True, isolated_at="plug")
    spent = asked_again(given)
    assert (spent.locked, spent.poles_dead, spent.isolated_at) == (None, None, None)
    assert spent.leads == "0.2" and given.locked is True
    with pytest.raises(UsageError, match="--locked"):
        gate_of(spent, GATE, ("locked",))


def test_a_contradiction_names_the_reading_to_repeat(
    job: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Readings are numbered as they are asked for, and of those that clash one is named with its place."""
    wrong = answers()
    monkeypatch.setattr("sys.stdin", io.StringIO("\n".join(["OL", *wrong[1:3], *wrong[:6]]) + "\n"))
    main(["identify", str(job), "--buttons", "up,down,stop", *GIVEN])
    told = capsys.readouterr()
    assert "reading 1: " in told.err and "reading 4: " in told.err
    assert "cannot all be true." in told.out and "To repeat, if it is not asked for" in told.out
