"""What commands share: load and plan a job, print text or one JSON document, talk on stderr."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

from wiring.cli.entry import UsageError
from wiring.model.job import Job
from wiring.model.plan import Plan


def ascii_only() -> bool:
    """True where standard output cannot carry the verdict signs."""
    encoding = (sys.stdout.encoding or "ascii").lower()
    return not encoding.startswith("utf")


def emit(text: str) -> None:
    """Print text that may hold signs the terminal cannot show: those become `?`, nothing fails."""
    encoding = sys.stdout.encoding or "ascii"
    sys.stdout.write(text.encode(encoding, "replace").decode(encoding))


def emit_json(document: dict[str, Any]) -> None:
    """The one document on standard output, nothing else."""
    sys.stdout.write(json.dumps(document, ensure_ascii=True, indent=2) + "\n")


def talk(line: str) -> None:
    """A remark for the person, kept off standard output."""
    from wiring.cli.entry import complain

    complain(line)


def read(file: str) -> Job:
    """The job of a file. Raises InputError."""
    from wiring import load_job

    return load_job(file)


def planned(file: str, stage: str | None = None, faults: str = "none", progress: bool = False) -> Plan:
    """The plan of a file. Raises InputError."""
    from wiring import plan

    return plan(read(file), stage=stage, faults=faults, progress=ticker if progress else None)


def ticker(done: int, of: int) -> None:
    """Progress on stderr, only where somebody looks at it."""
    if sys.stderr.isatty():
        end = "\n" if done >= of else ""
        print(f"\r{done} of {of} faults", end=end, file=sys.stderr, flush=True)


def ask(args: object, name: str, question: str, choices: tuple[str, ...] = ()) -> str:
    """An option's value, or the answer typed at the terminal.

    Without a terminal a missing option is a UsageError that names it.
    """
    given = getattr(args, name.replace("-", "_"), None)
    if given is not None:
        return str(given)
    if not sys.stdin.isatty():
        allowed = f" ({' | '.join(choices)})" if choices else ""
        raise UsageError(f"no terminal to ask: give --{name}{allowed}")
    while True:
        hint = f" [{' | '.join(choices)}]" if choices else ""
        print(f"{question}{hint}: ", end="", file=sys.stderr, flush=True)
        line = sys.stdin.readline()
        if not line:
            raise UsageError(f"no answer: give --{name}")
        answer = line.strip()
        if not choices or answer in choices:
            return answer


def files_of(paths: list[str]) -> list[str]:
    """Job files named, and every *.toml with a [job] table in the folders named."""
    found: list[str] = []
    for path in map(Path, paths):
        if not path.is_dir():
            found.append(str(path))
            continue
        files = [p for p in sorted(path.glob("*.toml")) if p.is_file()]
        inside = [p for p in files if "[job]" in p.read_text("utf-8", "replace")]
        found += [str(p) for p in inside]
    if not found:
        raise UsageError(f"no job file in {', '.join(paths)}")
    return found


def write_file(path: str, data: bytes | str) -> None:
    """Write atomically; an unwritable place is a clear message, not a traceback."""
    from wiring import atomic_write

    try:
        atomic_write(Path(path), data)
    except OSError as error:
        raise UsageError(f"cannot write {path}: {error.strerror or error}") from error
