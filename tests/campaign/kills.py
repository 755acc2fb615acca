"""Every writing command killed at a random moment: each file is the old one whole or the new one whole.

A command runs once unharmed, which gives what each file shall be and how long it
takes. Then it runs again and again in copies of the same folder and gets a
signal that nothing can catch, at a moment drawn anew each time; most of the
moments lie between two steps of the writing. What writes is told by the parser,
so that no way to write is forgotten.
"""

from __future__ import annotations

import os
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path
from typing import Any

from tests.tui.kills import kills as screens
from wiring.cli.parser import parser
from wiring.files import catalog_root

ROOT = Path(__file__).parents[2]
DEMO = catalog_root() / "demo"
JOB = "malt-first-try.toml"
SECOND = "malt-second-plan.toml"
BARN = "barn.toml"
UNREAD = """[job]
title = "barn"
region = "iec"
stage = "design"

[meter]
lead_resistance = "0.2 ohm"
""" + "".join(f'[[core]]\nid = "{number}"\n' for number in range(1, 5))
#: Runs `main` and stops the process dead after so many calls of the functions that touch the disk, so
#: that kills also fall between two steps of one write; 0: never.
RUN = """
import os, sys, signal
last, done = int(sys.argv[1]), 0
def counted(name):
    real = getattr(os, name)
    def call(*args, **kwargs):
        global done
        done += 1
        if done == last:
            os.kill(os.getpid(), signal.SIGKILL)
        return real(*args, **kwargs)
    setattr(os, name, call)
for name in ("open", "fsync", "chmod", "replace", "fdopen", "mkdir", "unlink"):
    counted(name)
from wiring.cli import main
code = main(sys.argv[2:])
print("steps", done, flush=True)
sys.exit(code)
"""
GATE = ("--isolated-at", "plug in my hand", "--locked", "--load-landed", "--tester-proved", "--poles-dead",
        "--tester-proved-again", "--capacitor-volts", "0", "--transmitter-battery-out")  # fmt: skip
#: Every way to write, by its name in the results.
CALLS: dict[str, tuple[str, ...]] = {
    "new": ("new", "new.toml", "--title", "t", "--country", "US", "--hoist", "unknown", "--receiver",
            "unknown", "--people", "outside"),
    "new-type": ("new-type", "kind.toml", "--title", "t", "--cores", "5", "--clicks", "yes", "--buttons",
                 "up,down", "--stop", "no", "--system", "1ph L-N", "--voltage", "230 V", "--frequency",
                 "50 Hz", "--plate", "p"),
    "map": ("map", JOB, "--write"),
    "remedy": ("remedy", JOB, "--write", "--faults", "none"),
    "identify": ("identify", BARN, "--write", "--buttons", "up,down", "--answer", "OL", *GATE),
    "bench-test": ("bench-test", JOB, "--write",
                   *(f"--answer={a}" for a in ("yes", "0.3", "0.3", "OL", "OL", "OL", "opens"))),
    "record": ("record", SECOND, "--test", "release-up", "--measured", "0.1 s", "--by", "N. N.", "--write"),
    "approve": ("approve", SECOND, "--by", "N. N.", "--licence", "1", "--date", "2026-11-25", "--write"),
    "draw -o": ("draw", SECOND, "-o", "plan.svg"),
    "pack -o": ("pack", SECOND, "-o", "pack.pdf"),
    "pack --html": ("pack", SECOND, "--html", "pack.html"),
    "pack --sheets": ("pack", SECOND, "--sheets", "sheets"),
    "demo": ("demo", "."),
    "prove --all": ("prove", SECOND, "--faults", "none", "--all", "rows.csv"),
    "check --recalled": ("check", SECOND, "--faults", "none", "--recalled", "recalled.csv"),
}  # fmt: skip
#: Commands that only print; `open` writes, and its kills are those of `tests.tui.kills`.
PRINTS = ("fit", "rating", "compare", "catalog", "rules", "schema")


def forgotten() -> list[str]:
    """What the parser offers and nothing here kills: commands, and options that name a file or say write."""
    _, parts = parser()
    found = [name for name in parts if name not in ("open", *PRINTS)]
    found = [name for name in found if not any(argv[0] == name for argv in CALLS.values())]
    for name, part in parts.items():
        for action in part._actions:
            place = any(word in str(action.metavar) for word in ("FILE", "DIR", "OUT"))
            if not action.option_strings or not (place or action.dest in ("out", "write")):
                continue
            calls = [argv for argv in CALLS.values() if argv[0] == name]
            if not any(option in argv for option in action.option_strings for argv in calls):
                found.append(f"{name} {action.option_strings[-1]}")
    return found


def run(n: int, seed: int) -> dict[str, Any]:
    """n kills of each way to write, the screens among them: how many fell before, between and after."""
    rng = random.Random(seed)
    outcomes: Counter[str] = Counter()
    failures = [f"{name}: nothing kills it" for name in forgotten()]
    with tempfile.TemporaryDirectory() as folder:
        code = Path(folder) / "code"
        for each in ("wiring", "catalogs"):  # as it is now, whatever is edited while this runs
            shutil.copytree(ROOT / each, code / each, ignore=shutil.ignore_patterns("__pycache__"))
        for name, argv in CALLS.items():
            failures += _kills(name, argv, n, Path(tempfile.mkdtemp(dir=folder)), rng, outcomes)
    with tempfile.TemporaryDirectory() as folder:
        try:
            kept = screens(Path(folder), (DEMO / SECOND).read_text("utf-8"), n, seed)
            outcomes |= {"open: file whole, draft offered": kept["drafts"]}
            outcomes |= {"open: file whole, no draft yet": kept["kills"] - kept["drafts"]}
        except AssertionError as error:
            failures.append(f"open: {error}")
    return {
        "kills": sum(outcomes.values()),
        "ways_to_write": len(CALLS) + 1,
        "outcomes": dict(sorted(outcomes.items())),
        "failures": failures,
    }


def _kills(
    name: str, argv: tuple[str, ...], n: int, folder: Path, rng: random.Random, outcomes: Counter[str]
) -> list[str]:
    """n kills of one way to write. Returns what went wrong."""
    failures: list[str] = []
    old = _files(_start(folder / "old"))
    whole = _start(folder / "whole")
    began = time.perf_counter()
    said, code = _call(argv, whole)
    took = time.perf_counter() - began
    new = _files(whole)
    if code not in (0, 1, 3) or new == old:
        return [f"{name}: exit {code}, wrote {sorted(new.keys() - old.keys())}"]
    steps = int(said.rsplit(b"steps ", 1)[1])
    for number in range(n):
        place = _start(folder / f"kill-{number}")
        _killed(argv, place, took, steps, rng)
        outcomes[f"{name}: {_judged(name, old, new, place, failures)}"] += 1
        shutil.rmtree(place)
    return failures


def _start(place: Path) -> Path:
    """A folder with three jobs, one of them readable by its owner alone."""
    place.mkdir()
    for name in (JOB, SECOND):
        shutil.copy(DEMO / name, place / name)
    (place / SECOND).chmod(0o600)
    (place / BARN).write_text(UNREAD, "utf-8")
    return place


def _files(place: Path) -> dict[str, bytes]:
    return {str(file.relative_to(place)): file.read_bytes() for file in place.rglob("*") if file.is_file()}


def _process(argv: tuple[str, ...], place: Path, last: int) -> subprocess.Popen[bytes]:
    return subprocess.Popen(
        [sys.executable, "-c", RUN, str(last), *argv], cwd=place, stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE, stderr=subprocess.DEVNULL,
        env=os.environ | {"PYTHONPATH": str(place.parents[1] / "code")},
    )  # fmt: skip


def _call(argv: tuple[str, ...], place: Path) -> tuple[bytes, int]:
    process = _process(argv, place, 0)
    said, _ = process.communicate(timeout=300)
    return said, process.returncode


def _killed(argv: tuple[str, ...], place: Path, took: float, steps: int, rng: random.Random) -> None:
    """One run that is killed: between two steps of writing, or when the clock says so."""
    if rng.random() < 0.7:
        process = _process(argv, place, rng.randint(1, steps))
    else:
        process = _process(argv, place, 0)
        try:
            process.communicate(timeout=took * rng.uniform(0.2, 1.0))
        except subprocess.TimeoutExpired:
            process.send_signal(signal.SIGKILL)
    process.communicate()


def _judged(name: str, old: dict[str, bytes], new: dict[str, bytes], place: Path, failures: list[str]) -> str:
    """old, new or between, by what the files hold; anything that is neither is a failure."""
    found = _files(place)
    for file, data in found.items():
        if Path(file).name.startswith(".") and file.endswith(".tmp"):
            continue  # a file beside it that took no name: nobody reads it
        if data != old.get(file) and not _same(data, new.get(file)):
            failures.append(f"{name}: {file} is neither the old nor the new ({len(data)} bytes)")
    failures += [f"{name}: {file} is lost" for file in old.keys() - found.keys()]
    if SECOND in found and (place / SECOND).stat().st_mode & 0o777 != 0o600:
        failures.append(f"{name}: the permissions of {SECOND} changed")
    named = {file: data for file, data in found.items() if not file.endswith(".tmp")}
    if named == old:
        return "old"
    return "new" if named.keys() == new.keys() else "between"


def _same(data: bytes, wanted: bytes | None) -> bool:
    """True for the new file whole. One that holds the time of writing is compared by its length and
    by all but its digits."""
    if wanted is None:
        return False
    digits = bytes.maketrans(b"0123456789", b"0000000000")
    return data == wanted or data.translate(digits) == wanted.translate(digits)
