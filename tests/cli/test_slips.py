"""Slips on the command line: what was found, what is allowed, what was most likely meant."""

from __future__ import annotations

import argparse
import shutil
from pathlib import Path

import pytest

from tests.jobs.plans import DEMO
from wiring.cli import main
from wiring.cli.parser import COMMANDS, parser

FIRST = DEMO / "malt-first-try.toml"
OWN = Path(__file__).parents[1] / "jobs" / "own-types" / "barn-curtain-winch.toml"
CLAUSES = DEMO.parent / "clauses" / "iec.toml"
NAMES = [name for name, _, _ in COMMANDS]

Said = pytest.CaptureFixture[str]


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (["chek", "x.toml"], "nearest: check"),
        (["check", "x.toml", "--falts", "none"], "no option --falts; nearest: --faults"),
        (["check", "--requirments"], "nearest: --requirements"),
        (["draw", "x.toml", "--ot", "y.svg"], "no option --ot; nearest: --out"),
        (["draw", "x.toml", "--out=y.svg", "--sheat=circuit"], "nearest: --sheet"),
        (["draw", "x.toml", "-o", "y.svg", "--sheet", "conections"], "nearest: connections"),
        (["pack", "x.toml", "-p"], "no option -p; all: holdrun pack --help"),
        (["rules", "people.scope", "two"], "found two; all: holdrun rules --help"),
        (["--jsn"], "no option --jsn"),
        (["schema", "resiver"], "nearest: receiver"),
        (["catalog", "hoits"], "nearest: hoist"),
        (["catalog", "check", str(CLAUSES)], "found the clauses of a standard; allowed: a hoist type"),
        (["catalog", "receiver", "none.toml"], "no receiver none.toml; all: holdrun catalog receiver"),
        (["rating", "--contact", "10 A", "--load", "x", "--starts-per-hour", "-1"], "from 1 to 10000"),
        (["draw", "x.toml", "-o", "y.png", "--dpi", "99999999"], "from 1 to 600"),
        (["check"], "missing: file; all: holdrun check --help"),
        (["check", "x.toml", "--json=1"], "--json: found '1'; it takes no value"),
        (["check", "x.toml", "--recalled", "--requirements"], "does not go together with --recalled"),
        (["draw", "x.toml", "-o"], "-o/--out: found no value; it takes one"),
        (["identify", str(FIRST), "--buttons", "up,dwn"], "found dwn; allowed: up, down"),
        (["identify", str(FIRST), "--leads", "5 V"], "--leads: found '5 V'; allowed: ohms such as 0.2"),
        (["open", "x.toml"], "needs a terminal; without one use: holdrun check"),
        (["draw", "x.toml", "-o", "y.png", "--dpi", "٣٠٠"], "from 1 to 600"),
    ],
    ids=lambda value: " ".join(value) if isinstance(value, list) else "",
)
def test_the_nearest_word_is_named(call: list[str], said: str, capsys: Said) -> None:
    """A mistyped command, option, choice or kind is exit 2 with one line that names the nearest."""
    assert main(call) == 2
    out, err = capsys.readouterr()
    assert out == "" and err.count("\n") == 1 and said in err, err


def test_what_follows_two_dashes_is_no_option(tmp_path: Path) -> None:
    """After `--` a name may begin with dashes."""
    file = Path(shutil.copy(FIRST, tmp_path / "--x.toml"))
    assert main(["approve", "--by", "N. N.", "--licence", "1", "--", str(file)]) == 0


@pytest.mark.parametrize("name", NAMES)
def test_every_option_says_what_it_is(name: str) -> None:
    """Each argument of each command has a line of help, in words that begin small and end without a stop."""
    for action in parser()[1][name]._actions:
        line = action.help
        assert line, (name, action.dest)
        if line != argparse.SUPPRESS and action.dest != "help":
            assert not line.endswith(".") or line.endswith((".png", ".txt", ".pdf")), (name, action.dest)
            assert not line[0].isupper() or line.startswith("JSON"), (name, action.dest)


def test_own_types_anywhere_have_a_page(capsys: Said) -> None:
    """`catalog hoist FILE.toml` shows a user's own type, wherever it lies, like a built-in one."""
    assert main(["catalog", "hoist", str(OWN)]) == 0
    page = capsys.readouterr().out
    assert page.startswith("barn-curtain-winch\n") and "Meter readings to expect" in page


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (["catalog", "receiver", str(OWN)], "found a hoist type; allowed: a receiver type"),
        (["catalog", "hoist", str(FIRST)], "found a job file; allowed: a hoist type"),
        (["catalog", "check", str(FIRST)], "found a job file"),
        (["catalog", "cable", str(OWN)], "found a hoist type; allowed: a cable type"),
    ],
    ids=["receiver", "job", "check", "cable"],
)  # fmt: skip
def test_a_file_of_another_kind_is_one_message(call: list[str], said: str, capsys: Said) -> None:
    """A file of another kind is told as such in one line, not as a list of unknown keys."""
    assert main(call) == 2
    err = capsys.readouterr().err
    assert said in err and err.count("\n") == 1


def test_a_picture_too_big_to_make(tmp_path: Path, capsys: Said) -> None:
    """More dots than memory allows are refused before the picture is made."""
    out = tmp_path / "x.png"
    assert main(["draw", str(DEMO / "malt-second-plan.toml"), "-o", str(out), "--dpi", "600"]) == 2
    assert "allowed: at most" in capsys.readouterr().err and not out.exists()
