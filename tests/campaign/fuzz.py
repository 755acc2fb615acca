"""Damaged input of every kind: jobs, catalog entries, readings, quantities, command lines.

Texts and bytes are damaged at random, and hypothesis draws jobs along the
format's schema and quantities of any characters. Whatever comes in, the answer
is a value or one clear message for each problem: no traceback, no run over two
seconds of the processor, no memory over 500 MB.
"""

from __future__ import annotations

import contextlib
import io
import os
import random
import resource
import tempfile
import time
import tomllib
import unicodedata
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from typing import Any
from unittest import mock

from hypothesis import strategies as st

from tests.campaign._damage import byte_damaged, damaged, mistyped, nearly, noise
from tests.campaign._shaped import TEXTS, drawn, jobs
from wiring.cli import main
from wiring.files import InputError, catalog_root, load_catalog, load_entry, read_job
from wiring.files.quantity import KINDS, QuantityError, parse, parse_any
from wiring.files.text import decode
from wiring.files.wiresize import parse_size
from wiring.identify.reply import ReplyError, parse_reply

LIMIT_SECONDS = 2.0
LIMIT_MB = 500
HERE = Path(__file__).parent
EXAMPLES = (
    HERE.parent / "files" / "example.toml",
    *sorted((catalog_root() / "demo").glob("*.toml")),
)
ENTRIES = tuple(
    path
    for kind in ("hoists", "receivers", "devices", "tables", "cables")
    for path in sorted((catalog_root() / kind).glob("*.toml"))
)
COMMANDS = (
    "demo", "new", "identify", "bench-test", "map", "fit", "remedy", "rating", "check", "prove", "draw",
    "pack", "record", "approve", "compare", "catalog", "new-type", "rules", "schema", "open", "--version", "",
    "chek", "--help", "-h",
)  # fmt: skip
OPTIONS = (
    "--json", "--write", "--all", "--faults", "none", "double", "--stage", "hand-over", "--title",
    "--country", "US", "--region", "iec", "--hoist", "--receiver", "unknown", "--people", "outside",
    "--cores", "5",
    "--clicks", "yes", "--buttons", "up,down", "--stop", "--system", "1ph L-N", "dc", "--voltage", "230 V",
    "--frequency", "50 Hz", "--plate", "--answer", "1 ohm", "OL", "--leads", "0.2", "--isolated-at", "plug",
    "--contact", "10 A resistive", "--load", "coil 12 W 24 V DC", "--starts-per-hour", "-1", "--sheet",
    "circuit", "--symbols", "us", "--state", "press key:up", "--dpi", "99999999", "-o", "x.svg", "x.pdf",
    "--sheets", "--html", "--paper", "a4", "--test", "release-up", "--measured", "0.3 s", "--by", "N. N.",
    "--licence", "1", "--date", "2026-13-01", "--recalled", "--requirements", "--diagnose", "--strict",
    "hoist", "receiver", "device", "cable", "table", "clause", "check", "job", "x.toml", "../x.toml", "/",
    ".", "/dev/null", "none.toml", "", "-", "--", "\x1b[2J", "\u202e", "é" * 40, "=cmd()", "<b>", "\udcff",
    "\n",
    "9" * 400, "nan", "-o=", "@file", "%s", "{0}", "$(id)", "reversing-contactors-24", "job.toml",
)  # fmt: skip
Case = Callable[[random.Random], str]


def one_job(rng: random.Random) -> str:
    """A damaged job: a job, or problems."""
    path = rng.choice(EXAMPLES)
    text, data = _text(path)
    way = rng.randrange(3)
    made = (
        damaged(text, rng) if way == 0 else mistyped(data, rng) if way == 1
        else byte_damaged(text.encode(), rng)
    )  # fmt: skip
    return _problems(lambda: read_job(decode(made, "job.toml"), str(path.with_name("job.toml")), CATALOG))


def one_entry(rng: random.Random) -> str:
    """A damaged catalog entry: an entry, or problems."""
    text, data = _text(rng.choice(ENTRIES))
    way = rng.randrange(3)
    made = (
        damaged(text, rng) if way == 0 else mistyped(data, rng) if way == 1
        else byte_damaged(text.encode(), rng)
    )  # fmt: skip
    FILE.write_bytes(made)
    return _problems(lambda: load_entry(FILE))


def one_reading(rng: random.Random) -> str:
    """A job with a damaged reading row, or what somebody typed for the meter's display."""
    if rng.random() < 0.5:
        try:
            parse_reply(rng.choice((noise, nearly))(rng), rng.random() < 0.3)
        except ReplyError as error:
            assert str(error).isprintable() and len(str(error)) < 600, error
            return "refused"
        return "taken"
    row = {"between": '["1", "2+3"]', "side": '"handset"', "state": '"rest"', "quantity": '"ohms"',
           "value": _quoted(nearly(rng))}  # fmt: skip
    for _ in range(rng.randrange(3)):
        row[rng.choice((*row, "by", "at", noise(rng)))] = rng.choice(
            (_quoted(noise(rng)), _quoted(nearly(rng)), noise(rng), "[]", "1")
        )
    rows = "\n".join(f"{key} = {value}" for key, value in row.items())
    text = f"{_text(EXAMPLES[0])[0]}\n[[reading]]\n{rows}\n"
    made = text.encode("utf-8", "surrogatepass")
    return _problems(lambda: read_job(decode(made, "job.toml"), str(EXAMPLES[0]), CATALOG))


def one_quantity(rng: random.Random) -> str:
    """A text as a quantity of one kind, of any kind, or as a wire size."""
    return _quantity(rng.choice((noise, nearly))(rng), rng)


def _quantity(text: str, rng: random.Random) -> str:
    try:
        way = rng.randrange(3)
        if way == 0:
            parse(text, rng.choice(sorted(KINDS)))
        elif way == 1:
            parse_any(text)
        else:
            parse_size(text)
    except QuantityError as error:
        assert str(error).isprintable() and len(str(error)) < 1200, error
        return "refused"
    return "taken"


def one_line(rng: random.Random) -> str:
    """A command line put together at random, in an empty folder and without a terminal."""
    argv = [rng.choice(COMMANDS)] + [
        rng.choice(OPTIONS) if rng.random() < 0.9 else noise(rng).replace("\0", "")
        for _ in range(rng.choice((0, 1, 2, 3, 4, 6, 10)))
    ]
    if argv[0] == "demo" or (argv[0] == "open" and "--json" not in argv):
        argv[0] = "rules"  # demo plans three jobs for seconds; open waits for a person
    argv = [word for word in argv if "/" not in word or word.startswith(("../", "/dev"))]
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = main(argv)
    said = err.getvalue()
    assert code in (0, 1, 2, 3), (code, argv, said)
    assert "Traceback" not in said, argv
    if code == 2:
        lines = said.splitlines()
        assert lines, argv
        steering = [c for c in said if unicodedata.category(c) in ("Cc", "Cf", "Cs", "Zl", "Zp")]
        assert set(steering) <= {"\n"}, said
    return f"exit {code}"


def shaped_job(data: bytes) -> str:
    """A job of the right shape and any content."""
    return _problems(lambda: read_job(decode(data, "job.toml"), str(EXAMPLES[0]), CATALOG))


def any_text(text: str) -> str:
    """A quantity of any characters."""
    return _quantity(text, random.Random(ascii(text)))


KINDS_OF_INPUT: dict[str, tuple[Case, float]] = {
    "job": (one_job, 0.30),
    "entry": (one_entry, 0.20),
    "reading": (one_reading, 0.20),
    "quantity": (one_quantity, 0.15),
    "line": (one_line, 0.05),
}
DRAWN: dict[str, tuple[Callable[[], st.SearchStrategy[Any]], Callable[[Any], str], float]] = {
    "shaped job": (jobs, shaped_job, 0.05),
    "any text": (lambda: st.text(max_size=30) | TEXTS, any_text, 0.05),
}
CATALOG = load_catalog(EXAMPLES[0].parent)
FILE = Path(os.devnull)
_TEXTS: dict[Path, tuple[str, dict[str, Any]]] = {}


def _text(path: Path) -> tuple[str, dict[str, Any]]:
    if path not in _TEXTS:
        text = path.read_text("utf-8")
        _TEXTS[path] = text, tomllib.loads(text)
    return _TEXTS[path]


def _quoted(text: str) -> str:
    return '"' + text.replace("\\", "").replace('"', "") + '"'


def _problems(read: Callable[[], object]) -> str:
    try:
        read()
    except InputError as error:
        assert error.problems
        for problem in error.problems:
            assert str(problem).isprintable() and problem.allowed and problem.line >= 0, repr(problem)
            assert len(str(problem)) < 3000, problem
        return "refused"
    return "taken"


def run(n: int, seed: int) -> dict[str, Any]:
    """n inputs of all kinds: how many were taken and refused, what broke, the slowest, the memory."""
    global FILE
    found = Found()
    here = os.getcwd()
    with tempfile.TemporaryDirectory() as folder, mock.patch("sys.stdin", io.StringIO()):
        FILE = Path(folder) / "entry.toml"
        os.chdir(_fresh(folder))
        try:
            for kind, (case, share) in KINDS_OF_INPUT.items():
                for number in range(max(1, round(n * share))):
                    key = f"{seed}/{kind}/{number}"
                    found.one(kind, key, partial(case, random.Random(key)))
                    if kind == "line" and number % 50 == 49:
                        os.chdir(_fresh(folder))
            for kind, (values, take, share) in DRAWN.items():
                _drawn(found, kind, values(), take, max(1, round(n * share)), seed)
        finally:
            os.chdir(here)
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    if memory > LIMIT_MB:
        found.failures.append({"memory": memory})
    return {
        "inputs": sum(found.done.values()),
        "outcomes": dict(sorted(found.done.items())),
        "slowest_seconds": {kind: [round(took, 3), key] for kind, (took, key) in found.slowest.items()},
        "memory_mb": memory,
        "failures": found.failures[:50],
        "failure_count": len(found.failures),
    }


def _fresh(folder: str) -> Path:
    """An empty folder with one job, for command lines that write."""
    place = Path(tempfile.mkdtemp(dir=folder))
    (place / "x.toml").write_text("[job]\ntitle = 'x'\n", "utf-8")
    return place


def _drawn(
    found: Found, kind: str, values: st.SearchStrategy[Any], take: Callable[[Any], str], count: int, seed: int
) -> None:
    """Values drawn by hypothesis, each an input."""
    drawn(values, count, seed, lambda at, value: found.one(kind, f"{seed}/{kind}/{at}", partial(take, value)))


@dataclass
class Found:
    """What became of the inputs."""

    done: Counter[str] = field(default_factory=Counter)
    failures: list[dict[str, Any]] = field(default_factory=list)
    slowest: dict[str, tuple[float, str]] = field(default_factory=dict)

    def one(self, kind: str, key: str, case: Callable[[], str]) -> None:
        """One input by its key, which gives it again; its time is that of the processor."""
        began = time.process_time()
        try:
            outcome = case()
        except Exception as error:  # noqa: BLE001 - whatever it is, it is what we look for
            outcome = "broke"
            self.failures.append({"key": key, "error": f"{type(error).__name__}: {error}"[:300]})
        took = time.process_time() - began
        if took > LIMIT_SECONDS:
            self.failures.append({"key": key, "seconds": round(took, 2)})
        if took >= self.slowest.get(kind, (0.0, ""))[0]:
            self.slowest[kind] = took, key
        self.done[f"{kind}: {outcome}"] += 1
