"""Damaged job files: whatever is in them, a job or its problems, never a crash."""

from __future__ import annotations

import copy
import random
import tomllib
from pathlib import Path
from typing import Any

import tomlkit

from wiring.files import InputError, load_catalog, read_job
from wiring.files.text import decode

HERE = Path(__file__).parent
EXAMPLE = (HERE / "example.toml").read_text("utf-8")
CATALOG = load_catalog(HERE)
SPLICES = (
    '"', "'", "[", "]", "{", "}", "=", ".", "#", "\n", "\0", "\u202e", "nan", "1e999", "-", "unknown",
    "[[core]]", "[job]", '"unknown"', "true", "0", "99999999999999999999", "2026-11-25", "{ a = 1 }", "[[]]",
    '"""', "é", "\r", "core:1", "\ud800", "=1", "hoist:", "X1.1", " ", "\t", "[job.title]", "[[job]]",
    "[receiver.output]", "[1, 2]",
)  # fmt: skip
LEAVES = (
    0, -1, 1.5, True, "", "unknown", "12 m", "core:1", "hoist:X1.1", "a/b/c", [], [1], ["1", "1"], [[]], {},
    {"id": "1"}, [{}], [{"id": "1"}], "x" * 600, "K0", "W1:1", "up", "press", "1+", "+", ":", "K0.:A1", ".",
    "x.toml", "../x.toml", "/etc/passwd.toml", ".toml",
)  # fmt: skip


def damaged(text: str, rng: random.Random) -> bytes:
    """The text after a few random damages: bytes changed, pieces cut, doubled, moved or spliced in."""
    for _ in range(rng.randint(1, 4)):
        at, to = sorted(rng.randrange(len(text) + 1) for _ in range(2))
        lines = text.split("\n")
        row = rng.randrange(len(lines))
        match rng.randrange(6):
            case 0:
                text = text[:at] + rng.choice(SPLICES) + text[at:]
            case 1:
                text = text[:at] + text[min(to, at + rng.randint(1, 60)) :]
            case 2:
                lines.insert(rng.randrange(len(lines)), lines[row])
                text = "\n".join(lines)
            case 3:
                del lines[row]
                text = "\n".join(lines)
            case 4:
                key, _, _ = lines[row].partition("=")
                lines[row] = f"{key}= {rng.choice(SPLICES)}" if "=" in lines[row] else rng.choice(SPLICES)
                text = "\n".join(lines)
            case _:
                text = text[:at] + text[to:] + text[at:to]
    data = bytearray(text.encode("utf-8", "surrogatepass"))
    if rng.random() < 0.2 and data:
        data[rng.randrange(len(data))] = rng.randrange(256)
    return bytes(data)


def mistyped(data: Any, rng: random.Random) -> bytes:
    """The data with one to three places holding something of another kind, as TOML."""
    data = copy.deepcopy(data)
    for _ in range(rng.randint(1, 3)):
        here = data
        while True:
            key = rng.choice(list(here) if isinstance(here, dict) else range(len(here)))
            inner = here[key]
            if isinstance(inner, (dict, list)) and inner and rng.random() < 0.8:
                here = inner
            else:
                break
        if rng.random() < 0.2:
            del here[key]
        else:
            here[key] = copy.deepcopy(rng.choice(LEAVES))
        if not data:
            break
    return tomlkit.dumps(data).encode()


def outcome(data: bytes) -> str:
    """ "job", or "problems" after looking at each of them."""
    try:
        read_job(decode(data, "job.toml"), "job.toml", CATALOG)
    except InputError as error:
        assert error.problems
        for problem in error.problems:
            assert str(problem).isprintable() and problem.allowed and problem.line >= 0
            assert len(str(problem)) < 3000
        return "problems"
    return "job"


def run(n: int, seed: int) -> dict[str, int]:
    """n damaged jobs from one seed: how many were still jobs, how many had problems."""
    rng = random.Random(seed)
    counts = {"job": 0, "problems": 0}
    data = tomllib.loads(EXAMPLE)
    for _ in range(n // 2):
        counts[outcome(damaged(EXAMPLE, rng))] += 1
        counts[outcome(mistyped(data, rng))] += 1
    return counts


def test_damaged_jobs() -> None:
    """300 damaged jobs give a job or clear, printable problems; both happen."""
    counts = run(300, 7)
    assert counts["job"] > 5 and counts["problems"] > 100
