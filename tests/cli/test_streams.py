"""What reaches a terminal, a pipe, a log: plain text, signs it can show, nothing that steers it."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.spoilt import spoilt
from tests.jobs.plans import DEMO, swapped
from wiring.cli import main

ROOT = Path(__file__).parents[2]
FIRST = DEMO / "malt-first-try.toml"
SECOND = DEMO / "malt-second-plan.toml"
RUN = "import sys; from wiring.cli import main; sys.exit(main(sys.argv[1:]))"

# what --version may not load: everything that is heavy, and every room of the engine
HEAVY = ("pydantic", "numpy", "textual", "schemdraw", "typst", "pint", "tomlkit", "rich", "argparse")
LISTED = "import sys; from wiring.cli import main; main(['--version']); print(*sorted(sys.modules))"

QUICK = ["--faults", "none"]

Said = pytest.CaptureFixture[str]


def run(code: str, *args: str, **env: str) -> subprocess.CompletedProcess[bytes]:
    """Python in a process of its own, without a terminal."""
    return subprocess.run(
        [sys.executable, "-c", code, *args], capture_output=True, cwd=ROOT, timeout=120, check=False,
        env={key: value for key, value in os.environ.items() if key not in ("COLUMNS", "FORCE_COLOR")} | env,
    )  # fmt: skip


def test_version_loads_nothing_heavy() -> None:
    """`holdrun --version` prints the version and has loaded neither libraries nor a room of the engine."""
    done = run(LISTED)
    version, modules = done.stdout.decode().splitlines()
    assert done.returncode == 0 and version.startswith("holdrun 0.")
    loaded = modules.split()
    assert [name for name in loaded if name.split(".")[0] in HEAVY] == []
    assert {name for name in loaded if name.startswith("wiring.")} <= {
        "wiring.cli", "wiring.cli.entry", "wiring.cli.exits",
    }  # fmt: skip


def test_plain_text_without_a_terminal() -> None:
    """Into a pipe a check is plain lines of at most 80 columns, without colour and without progress."""
    done = run(RUN, "check", str(FIRST), *QUICK, PYTHONIOENCODING="utf-8")
    text = done.stdout.decode("utf-8")
    assert done.returncode == 1 and done.stderr == b""
    assert "\x1b" not in text and "\r" not in text
    long = [line for line in text.splitlines() if len(line) > 80 and str(FIRST) not in line]
    assert long == []


@pytest.mark.parametrize("call", [["check", "--all"], ["prove"]], ids=" ".join)
def test_ascii_output(call: list[str]) -> None:
    """Where the output cannot carry the verdict signs, letters stand for them and nothing is lost."""
    plain = run(RUN, *call, str(FIRST), *QUICK, PYTHONIOENCODING="ascii", PYTHONUTF8="0")
    signs = run(RUN, *call, str(FIRST), *QUICK, PYTHONIOENCODING="utf-8")
    assert plain.returncode == signs.returncode == 1
    assert plain.stdout.isascii() and plain.stderr == b""
    assert len(plain.stdout.splitlines()) == len(signs.stdout.decode().splitlines())
    if call[0] == "check":
        assert b"FAIL X" in plain.stdout and "FAIL ✗" in signs.stdout.decode()


def test_verdicts_are_words() -> None:
    """Every finding begins with its verdict as a word: no colour is needed to read it."""
    text = run(RUN, "check", "--all", str(FIRST), *QUICK, PYTHONIOENCODING="utf-8").stdout.decode()
    heads = [line for line in text.splitlines() if line[:1].strip() and len(line) > 12 and "." in line[10:34]]
    starts = {line.split()[0] for line in heads if line[10:34].strip().count(".") == 1 and line[9] == " "}
    assert {"FAIL", "unknown", "pass"} <= starts
    assert starts <= {"FAIL", "unknown", "pass", "n/a", "to"}


def test_a_closed_pipe_is_no_error() -> None:
    """`holdrun ... | head -1` ends without a traceback."""
    shell = f"{sys.executable} -c '{RUN}' rules | head -1"
    done = subprocess.run(["bash", "-c", shell], capture_output=True, cwd=ROOT, timeout=60, check=False)
    assert done.stdout.count(b"\n") == 1
    assert b"Traceback" not in done.stderr and b"Exception" not in done.stderr


EVIL = "\\u001b[2J\\u001b]0;x\\u0007\\u009b31m\\u202e\\r"


@pytest.fixture(scope="module")
def hostile(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A job whose texts try to steer the terminal."""
    return spoilt(
        tmp_path_factory.mktemp("hostile"),
        title=EVIL + "{}", prepared_by=EVIL, print=EVIL + "{}", where="wall" + EVIL, number=EVIL + "{}",
        colour="{}" + EVIL, source=EVIL, environment=EVIL, answer=EVIL + "IP55",
    )  # fmt: skip


def steering(text: str) -> set[str]:
    """Characters that steer a terminal or turn the reading direction."""
    return {c for c in text if (ord(c) < 32 and c != "\n") or 0x7F <= ord(c) < 0xA0 or c in "\u202e\u2028"}


@pytest.mark.parametrize(
    "call",
    [
        ["check", "JOB", *QUICK],
        ["check", "JOB", "--all", *QUICK],
        ["check", "JOB", "JOB", *QUICK],
        ["check", "JOB", "--json", *QUICK],
        ["prove", "JOB", *QUICK],
        ["compare", "JOB", str(FIRST)],
        ["record", "JOB"],
        ["approve", "JOB", "--by", "N. N.", "--licence", "1"],
        ["draw", "JOB", "-o", "OUT.txt"],
        ["draw", "JOB", "-o", "OUT.txt", "--sheet", "connections"],
        ["draw", "JOB", "-o", "OUT.svg"],
    ],
    ids=lambda call: " ".join(call),
)
def test_control_characters_never_come_out(call: list[str], hostile: Path, capsys: Said) -> None:
    """Escape sequences in the job's texts reach neither stdout nor stderr nor a drawing."""
    out = hostile.with_name("drawing")
    main([word.replace("JOB", str(hostile)).replace("OUT", str(out)) for word in call])
    said = capsys.readouterr()
    assert steering(said.out) == set() and steering(said.err) == set()
    for file in hostile.parent.glob("drawing.*"):
        assert steering(file.read_text("utf-8")) == set(), file.name


def test_control_characters_in_what_is_wrong(tmp_path: Path, capsys: Said) -> None:
    """A message about a bad value shows the value without its escape sequences."""
    path = tmp_path / "bad.toml"
    path.write_text(swapped(SECOND.read_text("utf-8"), ('region = "us"', f'region = "{EVIL}us"')), "utf-8")
    assert main(["check", str(path)]) == 2
    assert steering(capsys.readouterr().err) == set()


@pytest.mark.parametrize(
    ("suffix", "start"), [(".svg", b"<"), (".png", b"\x89PNG"), (".pdf", b"%PDF"), (".txt", b"")]
)
def test_draw_writes_each_format(suffix: str, start: bytes, tmp_path: Path, capsys: Said) -> None:
    """`draw -o` writes the format of the suffix, says so on stderr, and nothing on stdout."""
    out = tmp_path / f"plan{suffix}"
    assert main(["draw", str(SECOND), "-o", str(out), "--sheet", "connections"]) == 0
    assert out.read_bytes().startswith(start) and out.stat().st_size > 1000
    said = capsys.readouterr()
    assert said.out == "" and str(out) in said.err


@pytest.mark.parametrize("name", ["plan.dxf", "plan", "plan.svg.gz"])
def test_draw_refuses_other_formats(name: str, tmp_path: Path, capsys: Said) -> None:
    """Another suffix is exit 2, names the four that there are, and writes nothing."""
    assert main(["draw", str(SECOND), "-o", str(tmp_path / name)]) == 2
    assert ".svg .png .pdf .txt" in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


def test_draw_into_no_folder(tmp_path: Path, capsys: Said) -> None:
    """A place that cannot be written is exit 2 with one line."""
    assert main(["draw", str(SECOND), "-o", str(tmp_path / "none" / "plan.svg")]) == 2
    err = capsys.readouterr().err
    assert "cannot write" in err and err.count("\n") == 1
