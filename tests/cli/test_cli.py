"""The command line as a script sees it: exit codes, one document, streams."""

from __future__ import annotations

import importlib
import json
import re
from dataclasses import replace
from pathlib import Path

import pytest

from tests.jobs.plans import DEMO, planned, swapped
from wiring.cli import exits, main
from wiring.cli.parser import COMMANDS
from wiring.model.finding import Verdict
from wiring.model.plan import Plan

FIRST = DEMO / "malt-first-try.toml"
SECOND = DEMO / "malt-second-plan.toml"
CAUTION = "Lock out and prove dead before you touch a wire."

Said = pytest.CaptureFixture[str]


#: Most of these tests look at codes and streams, not at faults.
QUICK = ["--faults", "none"]


@pytest.fixture
def broken(tmp_path: Path) -> Path:
    """A job that cannot be read."""
    path = tmp_path / "broken.toml"
    path.write_text(swapped(SECOND.read_text("utf-8"), ('region = "us"', 'region = "mars"')), "utf-8")
    return path


@pytest.fixture
def passing(monkeypatch: pytest.MonkeyPatch) -> str:
    """A file whose job the check finds nothing against: the verdict itself is other tests' business."""
    module = importlib.import_module("wiring.cli.check")
    real = module.planned

    def plan(file: str, *options: str | None) -> Plan:
        if file != "clean.toml":
            found: Plan = real(file, *options)
            return found
        good = planned(SECOND)
        return replace(good, report=replace(good.report, verdict=Verdict.PASS, findings=()))

    monkeypatch.setattr(module, "planned", plan)
    return "clean.toml"


def test_verdict_codes(passing: str, broken: Path, capsys: Said) -> None:
    """0 without objection, 1 for a fail, 3 for an unknown, 2 for a file that cannot be used."""
    assert main(["check", passing, *QUICK]) == 0
    assert main(["check", str(FIRST), *QUICK]) == 1
    assert main(["check", str(SECOND), *QUICK]) == 3
    assert main(["check", str(broken), *QUICK]) == 2
    assert "broken.toml" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("codes", "wanted"),
    [
        ([0, 0], 0),
        ([0, 3], 3),
        ([3, 1, 0], 1),
        ([1, 2, 3], 2),
        ([2, 70, 1], 70),
    ],
)
def test_precedence_of_codes(codes: list[int], wanted: int) -> None:
    """Of several files the code is 70, then 2, 1, 3, 0: the first that applies."""
    assert exits.worst(codes) == wanted


def test_several_files_are_a_table(passing: str, broken: Path, capsys: Said) -> None:
    """Several files give one line each; one that cannot be read hides none and decides the code."""
    assert main(["check", passing, str(SECOND), *QUICK]) == 3
    assert main(["check", str(FIRST), str(SECOND), passing, *QUICK]) == 1
    table = capsys.readouterr().out
    assert main(["check", str(FIRST), str(broken), passing, *QUICK]) == 2
    out, err = capsys.readouterr()
    rows = [line for line in out.splitlines() if line.endswith(".toml")]
    assert [row.split()[0] for row in rows] == ["fail", "not", "pass"]
    assert "mars" in err and "mars" not in out
    assert CAUTION in out and CAUTION in table


def test_a_folder_stands_for_its_jobs(tmp_path: Path, capsys: Said) -> None:
    """A folder is every job file in it; other TOML files are left alone, an empty one is exit 2."""
    (tmp_path / "a.toml").write_text(FIRST.read_text("utf-8"), "utf-8")
    (tmp_path / "b.toml").write_text(SECOND.read_text("utf-8"), "utf-8")
    (tmp_path / "type.toml").write_text('id = "type"\n', "utf-8")
    assert main(["check", str(tmp_path), "--json", *QUICK]) == 1
    document = json.loads(capsys.readouterr().out)
    assert document["verdict"] == "fail"
    assert [job["verdict"] for job in document["jobs"]] == ["fail", "unknown"]
    (tmp_path / "empty").mkdir()
    assert main(["check", str(tmp_path / "empty")]) == 2


def test_internal_error_is_70_with_a_report(monkeypatch: pytest.MonkeyPatch, capsys: Said) -> None:
    """A crash inside is one line, a report file with the traceback, exit 70, and no verdict."""
    module = importlib.import_module("wiring.cli.check")

    def crash(*_: object) -> None:
        raise ZeroDivisionError("made for the test")

    monkeypatch.setattr(module, "planned", crash)
    assert main(["check", str(SECOND)]) == 70
    out, err = capsys.readouterr()
    assert out == "" and err.count("\n") == 1 and "no verdict" in err
    report = Path(err.split("Report: ")[1].strip())
    assert "made for the test" in report.read_text("utf-8")
    report.unlink()


def test_interrupted_is_130(monkeypatch: pytest.MonkeyPatch, capsys: Said) -> None:
    """Ctrl-C ends with 130 and without a traceback."""
    module = importlib.import_module("wiring.cli.prove")

    def stop(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(module, "planned", stop)
    assert main(["prove", str(SECOND)]) == 130
    out, err = capsys.readouterr()
    assert out == "" and err == "interrupted\n"


def test_prove_has_the_code_of_its_own_rules(capsys: Said) -> None:
    """`prove` exits with the verdict of the proof rules, and says which faults were run."""
    assert main(["prove", str(FIRST), "--json", *QUICK]) == 1
    document = json.loads(capsys.readouterr().out)
    assert document["schema"] == "holdrun/prove/1" and document["verdict"] == "fail"
    assert document["faults"] is None
    assert any("fault" in line for line in document["not_shown"])
    assert main(["prove", str(SECOND), "--faults", "single", "--json"]) in (0, 3)
    faults = json.loads(capsys.readouterr().out)["faults"]
    assert faults["kind"] == "single" and faults["worse"] == 0 and faults["count"] > 50


def test_written_is_0_and_strict_is_the_verdict(tmp_path: Path) -> None:
    """A command that writes exits 0 when it wrote; with --strict it exits with the verdict."""
    call = ["draw", str(FIRST), "-o", str(tmp_path / "a.txt")]
    assert main(call) == 0
    assert main([*call, "--strict"]) == 1
    assert main(["draw", str(SECOND), "-o", str(tmp_path / "b.txt"), "--strict"]) == 3
    assert main(["compare", str(SECOND), str(FIRST)]) == 0
    assert main(["compare", str(SECOND), str(FIRST), "--strict"]) == 1


@pytest.mark.parametrize(
    "call",
    [
        ["check", str(FIRST), *QUICK],
        ["check", str(FIRST), str(SECOND), *QUICK],
        ["prove", str(SECOND), *QUICK],
        ["rules"],
        ["rules", "proof.weld"],
        ["catalog", "hoist"],
        ["catalog", "hoist", "winch-series-12"],
        ["catalog", "table", "nec-610-14-a"],
        ["compare", str(FIRST), str(SECOND)],
        ["record", str(SECOND)],
        ["approve", str(SECOND), "--by", "N. N.", "--licence", "1"],
    ],
    ids=lambda call: " ".join(word.rpartition("/")[2] for word in call[:3]),
)
def test_json_is_one_document_and_nothing_else(call: list[str], capsys: Said) -> None:
    """With --json standard output holds one JSON document that names its schema."""
    main([*call, "--json"])
    out = capsys.readouterr().out
    document = json.loads(out)
    assert document["schema"].startswith("holdrun/")
    assert out.isascii()


@pytest.mark.parametrize("name", [name for name, _, _ in COMMANDS])
def test_every_command_is_described(name: str, capsys: Said) -> None:
    """`holdrun --help` lists the command, its own help is exit 0, and the file behind it is there."""
    module, line = next((module, line) for known, module, line in COMMANDS if known == name)
    assert main(["--help"]) == 0
    assert re.search(rf"^ +{name}\b", capsys.readouterr().out, re.M)
    assert main([name, "--help"]) == 0
    assert line[1:20] in capsys.readouterr().out
    assert callable(importlib.import_module(f"wiring.cli.{module}").run)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (["chek", "x.toml"], "nearest: check"),
        (["proove", "x.toml"], "nearest: prove"),
        (["check", "--stage", "desing", "x.toml"], "nearest: design"),
        (["prove", "x.toml", "--faults", "trible"], "single"),
        (["check", "x.toml", "--jsn"], "--jsn"),
        (["check"], "file"),
        (["rules", "proof.limit-kept"], "nearest: proof.limits-kept"),
        (["catalog", "hoist", "reversing-contactor-24"], "nearest: reversing-contactors-24"),
        (["catalog", "hoits"], "allowed: hoist"),
        (["draw", str(FIRST), "-o", "a.txt", "--state", "press key:upp"], "key:up"),
        (["check", "nowhere.toml"], "nowhere.toml"),
        (["pack", str(FIRST)], "-o OUT.pdf"),
    ],
)
def test_a_slip_is_exit_2_with_a_way_out(call: list[str], words: str, capsys: Said) -> None:
    """A wrong command, option or name is exit 2, names what is allowed, and writes nothing to stdout."""
    assert main(call) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert words in err
    assert "Traceback" not in err


def test_options_are_not_guessed(capsys: Said) -> None:
    """A shortened option is refused, so that a script never means another one later."""
    assert main(["check", str(FIRST), "--js"]) == 2
    assert main([]) == 2
    assert "usage" in capsys.readouterr().err
