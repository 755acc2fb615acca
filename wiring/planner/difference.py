"""Two jobs, and the edits of the file that turn the one into the other: as few keys as possible."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterable, Sequence
from typing import Any

from wiring.files import AddEntry, Edit, RemoveEntry, SetKey
from wiring.model.job import Connection, Job

#: Lists of a job: attribute, path in the file, the key that names an entry ("" where rows have no name).
LISTS = (
    ("cores", "core", "id"),
    ("values", "value", "of"),
    ("devices", "device", "id"),
    ("removes", "remove", ""),
    ("cables", "cable", "id"),
    ("stops", "stop", "id"),
    ("transmitters", "transmitter", "id"),
    ("bench", "bench", ""),
    ("answers", "answer", ""),
)
KEYS = {"from_": "from", "is_": "is"}
#: Blocks of a job whose keys are compared one by one.
BLOCKS = ("cord", "pendant", "supply", "hoist", "place")


def edits_between(old: Job, new: Job) -> tuple[Edit, ...]:
    """The edits that turn the file of one job into that of another. Readings, gate, records and the
    like are the user's word and never change here."""
    sets: list[Edit] = []
    removed: list[tuple[str, int]] = []
    added: list[Edit] = []
    for attribute, path, name in LISTS:
        _list(path, getattr(old, attribute), getattr(new, attribute), name, sets, removed, added)
    _receiver(old, new, sets, removed, added)
    for block in BLOCKS:
        _keys(block, getattr(old, block), getattr(new, block), sets)
    _connections(old.connections, new.connections, sets, removed, added)
    gone: list[Edit] = [
        RemoveEntry(f"{path}.{n}") for path, n in sorted(removed, key=lambda r: (r[0], -r[1]))
    ]
    return (*sets, *gone, *added)


def _receiver(
    old: Job, new: Job, sets: list[Edit], removed: list[tuple[str, int]], added: list[Edit]
) -> None:
    mine, other = old.receiver, new.receiver
    _list("receiver.output", mine.outputs, other.outputs, "id", sets, removed, added)
    _list("receiver.jumper", mine.jumpers, other.jumpers, "id", sets, removed, added)
    plain = dataclasses.replace(other, outputs=mine.outputs, jumpers=mine.jumpers)
    _keys("receiver", mine, plain, sets)


def _list(
    path: str,
    old: Sequence[Any],
    new: Sequence[Any],
    name: str,
    sets: list[Edit],
    removed: list[tuple[str, int]],
    added: list[Edit],
) -> None:
    """Entries with a name are matched by it; rows without one are kept, removed or added whole."""
    if name:
        index = {getattr(entry, name): n for n, entry in enumerate(old)}
        wanted = {getattr(entry, name) for entry in new}
        removed += [(path, n) for key, n in index.items() if key not in wanted]
        for entry in new:
            n = index.get(getattr(entry, name), -1)
            if n < 0:
                added.append(AddEntry(path, entry))
            else:
                _keys(f"{path}.{n}", old[n], entry, sets)
        return
    left = list(new)
    for n, entry in enumerate(old):
        if entry in left:
            left.remove(entry)
        else:
            removed.append((path, n))
    added += [AddEntry(path, entry) for entry in left]


def _keys(path: str, old: Any, new: Any, sets: list[Edit]) -> None:
    """Set the keys that differ; one that has become unknown is removed."""
    if old == new:
        return
    for field in dataclasses.fields(new):
        was, now = getattr(old, field.name), getattr(new, field.name)
        if was == now:
            continue
        at = f"{path}.{KEYS.get(field.name, field.name)}"
        sets.append(RemoveEntry(at) if now is None else SetKey(at, now))


def _connections(
    old: Sequence[Connection],
    new: Sequence[Connection],
    sets: list[Edit],
    removed: list[tuple[str, int]],
    added: list[Edit],
) -> None:
    """Rows that stayed stand; a new row takes over an old one that it shares most with."""
    left = list(new)
    gone: list[int] = []
    for n, row in enumerate(old):
        if row in left:
            left.remove(row)
        else:
            gone.append(n)
    for n, row in paired(old, gone, left):
        _keys(f"connection.{n}", old[n], row, sets)
        gone.remove(n)
        left.remove(row)
    removed += [("connection", n) for n in gone]
    added += [AddEntry("connection", row) for row in left]


def paired(
    old: Sequence[Connection], gone: Sequence[int], left: Sequence[Connection]
) -> list[tuple[int, Connection]]:
    """Old and new rows that share an end or a conductor, each once, the most alike first."""
    liking = [(_alike(old[n], row), n, k) for n in gone for k, row in enumerate(left)]
    chosen: list[tuple[int, Connection]] = []
    used: tuple[set[int], set[int]] = (set(), set())
    for score, n, k in sorted(liking, key=lambda one: (-one[0], one[1], one[2])):
        if score >= 2 and n not in used[0] and k not in used[1]:
            used[0].add(n)
            used[1].add(k)
            chosen.append((n, left[k]))
    return chosen


def _alike(one: Connection, other: Connection) -> int:
    """How many of the keys two rows share; the ends count double."""
    fields: Iterable[Callable[[Connection], object]] = (lambda c: c.from_, lambda c: c.to)
    score = sum(2 for get in fields if get(one) == get(other))
    score += 2 if one.conductor is not None and one.conductor == other.conductor else 0
    return score + (1 if one.number == other.number else 0)
