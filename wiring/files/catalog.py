"""The catalog: entries by id, each read from its file when it is first asked for."""

from __future__ import annotations

import functools
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any, TypeVar

from wiring.files.entry_build import cable_type, device_type, hoist_type, receiver_type
from wiring.files.problems import InputError, printable
from wiring.files.tables import clauses, table
from wiring.files.text import read_text, read_toml
from wiring.model.entry import CableType, Catalog, Clause, DeviceType, HoistType, ReceiverType, Table
from wiring.model.finding import Problem

T = TypeVar("T")
Loader = Callable[[str, str, str], T]  # text, file name, wanted id


def catalog_root() -> Path:
    """The folder of the built-in entries: inside the wheel, or beside `wiring` in a checkout."""
    package = Path(__file__).resolve().parent.parent
    inside = package / "_catalogs"
    return inside if inside.is_dir() else package.parent / "catalogs"


@functools.cache
def _listing(folder: Path) -> Mapping[str, Path]:
    """The built-in entries of a folder: id to file."""
    return {path.stem: path for path in sorted(folder.glob("*.toml"))}


@functools.cache
def _built_in(path: Path, load: Loader[Any]) -> Any:
    """A built-in entry, read once in a process; it never changes while the program runs."""
    return load(read_text(path), path.name, path.stem)


class Entries(Mapping[str, T]):
    """Entries of one kind by id. An id that ends in .toml is a user's file beside the job.

    Looking up a name that does not exist raises KeyError; a file that cannot be
    used raises InputError. Iteration gives the built-in ids. A user's file is read
    again when it has changed.
    """

    def __init__(self, folder: Path, load: Loader[T], beside: Path | None) -> None:
        self._folder = folder
        self._load = load
        self._beside = beside
        self._own: dict[str, tuple[tuple[int, int], T]] = {}  # name to (time and size of the file, entry)

    def __getitem__(self, name: str) -> T:
        if not name.endswith(".toml"):
            built_in: T = _built_in(_listing(self._folder)[name], self._load)
            return built_in
        path = beside_job(name, self._beside)
        if path is None:
            raise KeyError(name)
        state = path.stat()
        as_is = (state.st_mtime_ns, state.st_size)
        if name not in self._own or self._own[name][0] != as_is:
            self._own[name] = as_is, self._load(read_text(path), printable(name), "")
        return self._own[name][1]

    def __contains__(self, name: object) -> bool:
        if not isinstance(name, str):
            return False
        return name in _listing(self._folder) or (
            name.endswith(".toml") and beside_job(name, self._beside) is not None
        )

    def __iter__(self) -> Iterator[str]:
        return iter(_listing(self._folder))

    def __len__(self) -> int:
        return len(_listing(self._folder))

    def __reduce__(self) -> tuple[object, ...]:
        return Entries, (self._folder, self._load, self._beside)


def beside_job(name: str, beside: Path | None) -> Path | None:
    """The user's own entry file, None where there is none. Raises InputError for one outside the folder."""
    if beside is None:
        return None
    folder = beside.resolve()
    try:
        path = (folder / name).resolve()
    except (OSError, ValueError, RuntimeError):
        return None
    if not path.is_relative_to(folder):
        allowed = "a file in the folder of the job or below it"
        raise InputError([Problem(printable(name), 0, "file", "a file outside the job's folder", allowed)])
    return path if path.is_file() else None


class Clauses(Mapping[str, Clause]):
    """Clauses by id; all files are read when the first is asked for."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    @functools.cached_property
    def _all(self) -> dict[str, Clause]:
        found: dict[str, Clause] = {}
        for path in sorted(self._folder.glob("*.toml")):
            for clause in clauses(read_text(path), path.name):
                if clause.id in found:
                    problem = Problem(
                        path.name, 0, "clause.id", f'"{clause.id}" of another file', "ids used once"
                    )
                    raise InputError([problem])
                found[clause.id] = clause
        return found

    def __reduce__(self) -> tuple[object, ...]:
        return Clauses, (self._folder,)

    def __getitem__(self, name: str) -> Clause:
        return self._all[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._all)

    def __len__(self) -> int:
        return len(self._all)


def load_entry(path: Path) -> HoistType | ReceiverType | DeviceType | CableType | Table:
    """One entry from its own file; what it is can be told from its keys. Raises InputError."""
    text = read_text(path)
    data, _ = read_toml(text, path.name)
    loaders: tuple[tuple[str, Callable[[str, str], Any]], ...] = (
        ("cord", hoist_type),
        ("supply_kind", receiver_type),
        ("columns", table),
        ("letter", device_type),
        ("region", cable_type),
    )
    for key, load in loaders:
        if key in data and "clause" not in data:
            found: HoistType | ReceiverType | DeviceType | CableType | Table = load(text, path.name)
            return found
    found_here = "the clauses of a standard" if "clause" in data else "no kind of catalog entry"
    allowed = "a hoist type (has [cord]), receiver (supply_kind), device (letter), cable or table ([columns])"
    raise InputError([Problem(path.name, 0, "file", found_here, allowed)])


def load_catalog(beside: Path | None = None) -> Catalog:
    """The built-in catalog, with the user's own entries in the folder `beside` (that of the job).

    Entries are read when they are first asked for; a bad one raises InputError then.
    """
    folder = beside.parent if beside is not None and beside.suffix == ".toml" else beside
    own = folder.absolute() if folder is not None else None
    root = catalog_root()
    return Catalog(
        hoists=Entries(root / "hoists", hoist_type, own),
        receivers=Entries(root / "receivers", receiver_type, own),
        devices=Entries(root / "devices", device_type, own),
        cables=Entries(root / "cables", cable_type, own),
        tables=Entries(root / "tables", table, None),
        clauses=_clauses(root / "clauses"),
    )


@functools.cache
def _clauses(folder: Path) -> Clauses:
    return Clauses(folder)
