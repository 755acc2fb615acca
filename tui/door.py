"""The engine as the screens use it: every call that goes through the door, imported when needed.

Nothing heavy is loaded when this module is. All functions may be called from a
worker thread.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Mapping
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from wiring.model.entry import Catalog
    from wiring.model.finding import Problem
    from wiring.model.job import Job
    from wiring.model.plan import Plan

Progress = Callable[[int, int], None]


def _of(name: str, neighbour: str) -> Any:
    """A name of the door, or of the room where a door function lives."""
    import wiring

    if name in wiring.__all__:
        return getattr(wiring, name)
    return getattr(sys.modules[getattr(wiring, neighbour).__module__], name)


@cache
def room(name: str) -> bool:
    """Whether a room of the engine is there; asked without loading it."""
    from importlib.util import find_spec

    try:
        return find_spec(f"wiring.{name}.__init__") is not None
    except ModuleNotFoundError:
        return False


def with_proposal(text: str, proposal: Any) -> str:
    """The job text with a proposal in it, comments kept."""
    import tempfile

    from wiring import write_proposal

    with tempfile.TemporaryDirectory(prefix="holdrun-") as folder:
        file = Path(folder) / "job.toml"
        file.write_text(text, "utf-8")
        write_proposal(str(file), proposal)
        return file.read_text("utf-8")


def set_key(path: str, value: Any) -> Any:
    """The edit that sets a key of the job."""
    return _of("SetKey", "edit_job")(path, value)


def add_entry(table: str, entry: Any) -> Any:
    """The edit that adds an entry to a list of tables."""
    return _of("AddEntry", "edit_job")(table, entry)


def remove_entry(path: str) -> Any:
    """The edit that removes an entry or a key."""
    return _of("RemoveEntry", "edit_job")(path)


def edited(text: str, edits: Iterable[Any]) -> str:
    """The job text with the edits done, comments kept. Raises InputError or ValueError."""
    from wiring import edit_job

    return edit_job(text, list(edits))


@cache
def schema() -> Mapping[str, Any]:
    """The JSON Schema of a job file."""
    import wiring

    return wiring.schema("job")


def catalog(beside: Path) -> Catalog:
    """Catalog entries, with those of the user beside the job."""
    from wiring import load_catalog

    return load_catalog(beside)


def read(text: str, path: Path, entries: Catalog) -> Job:
    """The job in a text that is, or will be, the file at `path`. Raises InputError."""
    job: Job = _of("read_job", "load_job")(text, str(path), entries)
    return job


def planned(job: Job, entries: Catalog, faults: str, progress: Progress | None = None) -> Plan:
    """The plan of a job; faults: none | single | double."""
    from wiring import plan

    return plan(job, entries, faults=faults, progress=progress)


def problems_of(error: BaseException) -> tuple[Problem, ...] | None:
    """The problems of an input error, None for any other error."""
    from wiring import InputError

    return error.problems if isinstance(error, InputError) else None


def save(path: Path, text: str) -> None:
    """Write a job file whole. Raises OSError, InputError."""
    from wiring import save_job

    save_job(path, text)


def write(path: Path, data: bytes | str) -> None:
    """Write any file whole. Raises OSError."""
    from wiring import atomic_write

    atomic_write(path, data)
