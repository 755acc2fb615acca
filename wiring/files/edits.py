"""Edits of a TOML text: set a key, add an entry, remove one. tomlkit does the text."""

from __future__ import annotations

import copy
import dataclasses
import datetime
import itertools
from collections.abc import Mapping, Sequence
from typing import Any

from wiring.model.job import Remove
from wiring.model.value import Amount, WireSize

_KEYS = {"from_": "from", "is_": "is", "outputs": "output", "jumpers": "jumper", "contacts": "contact"}


class EditError(ValueError):
    """An edit names a place that the file does not have."""


@dataclasses.dataclass(frozen=True, slots=True)
class SetKey:
    """Set the key at a path ("receiver.output.0.mode") to a value; missing tables are made."""

    path: str
    value: Any


@dataclasses.dataclass(frozen=True, slots=True)
class AddEntry:
    """Add one entry at the end of a list of tables ("connection", "receiver.output").

    entry: a mapping, or a dataclass of `model.job` (`Connection`, `AddedDevice`, ...).
    """

    table: str
    entry: Any


@dataclasses.dataclass(frozen=True, slots=True)
class RemoveEntry:
    """Remove the entry, table or key at a path ("connection.3", "gate.locked")."""

    path: str


Edit = SetKey | AddEntry | RemoveEntry


def plain_value(value: Any) -> Any:
    """A value of the model as the file writes it: quantities as their text, absent keys left out."""
    if isinstance(value, (Amount, WireSize)):
        return value.text
    if isinstance(value, Remove):
        return plain_value({"wire": value.name, "why": value.why})
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        names = [field.name for field in dataclasses.fields(value)]
        return plain_value({_KEYS.get(name, name): getattr(value, name) for name in names})
    if isinstance(value, Mapping):
        kept = {key: plain_value(each) for key, each in value.items() if each is not None}
        return {key: each for key, each in kept.items() if each != {}}
    if isinstance(value, (list, tuple)):
        return [plain_value(each) for each in value]
    if isinstance(value, (str, bool, int, float, datetime.date, datetime.time)):
        return value
    raise EditError(f"a {type(value).__name__} cannot be written into a job")


def apply_plain(data: dict[str, Any], edits: Sequence[Edit]) -> dict[str, Any]:
    """The edits on plain data: what the edited text must say."""
    data = copy.deepcopy(data)
    for edit in edits:
        if isinstance(edit, AddEntry):
            steps = edit.table.split(".")
            parent = _parent(data, steps, dict)
            if not isinstance(parent, dict) or not isinstance(parent.setdefault(steps[-1], []), list):
                raise EditError(f"no list of tables can stand at {edit.table}")
            parent[steps[-1]].append(plain_value(edit.entry))
            continue
        steps = edit.path.split(".")
        parent = _parent(data, steps, dict if isinstance(edit, SetKey) else None)
        if isinstance(edit, SetKey):
            parent[_step(parent, steps[-1], edit.path)] = plain_value(edit.value)
        else:
            _drop(data, parent, steps, edit.path)
    return data


def _parent(data: Any, steps: list[str], make: Any) -> Any:
    """The table or list that holds the last step; make: how to make a missing table, None not to."""
    here = data
    for step, following in itertools.pairwise(steps):
        if make is not None and isinstance(here, Mapping) and step not in here:
            if following.isdigit():
                raise EditError(f"no entry {following} at {'.'.join(steps)}")
            here[step] = make()  # type: ignore[index]
        here = _child(here, step, ".".join(steps))
    return here


def _step(here: Any, step: str, path: str) -> Any:
    """A step as a key of a table, or as a number of a list that has so many entries."""
    if isinstance(here, list):
        if not step.isdigit() or int(step) >= len(here):
            raise EditError(f"no entry {step} at {path}")
        return int(step)
    if not isinstance(here, Mapping):
        raise EditError(f"nothing can stand at {path}")
    return step


def _child(here: Any, step: str, path: str) -> Any:
    """What stands at one step. Raises EditError where nothing does."""
    key = _step(here, step, path)
    if isinstance(here, Mapping) and key not in here:
        raise EditError(f"nothing at {path}")
    return here[key]


def _drop(data: Any, parent: Any, steps: list[str], path: str) -> None:
    """Delete at a path; a list left empty goes with its last entry."""
    key = _step(parent, steps[-1], path)
    if isinstance(parent, Mapping) and key not in parent:
        raise EditError(f"nothing at {path}")
    del parent[key]
    if isinstance(parent, list) and not parent:
        holder = _parent(data, steps[:-1], None)
        del holder[_step(holder, steps[-2], path)]


def apply_text(text: str, edits: Sequence[Edit]) -> str:
    """The edits on the text. Line ends stay as they are in the file."""
    import tomlkit

    document: Any = tomlkit.parse(text)
    for edit in edits:
        if isinstance(edit, AddEntry):
            _add(document, edit)
        elif isinstance(edit, SetKey):
            _set(document, edit)
        else:
            steps = edit.path.split(".")
            parent = _parent(document, steps, None)
            kept, holder = _heading_of_next(document, parent, steps)
            _drop(document, parent, steps, edit.path)
            for item in kept:
                holder.add(item)
    result = tomlkit.dumps(document)
    if "\r\n" in text:
        result = result.replace("\r\n", "\n").replace("\n", "\r\n")
    return result


def _heading_of_next(document: Any, parent: Any, steps: list[str]) -> tuple[list[Any], Any]:
    """The blank line and the comment lines that stand at the end of a table because they head the
    next one, and the table before it, which takes them over. Nothing where there is no such table."""
    from tomlkit.items import AoT, Comment, Table, Whitespace

    before = gone = None
    if isinstance(parent, AoT) and 0 <= (at := _step(parent, steps[-1], "")) < len(parent):
        gone, before = parent[at], parent[at - 1] if at else None
    elif parent is document:
        gone = parent.get(steps[-1])
    if not isinstance(gone, Table):
        return [], None
    whole = parent if isinstance(parent, AoT) else gone
    for _, item in document.body if before is None else ():
        if item is whole or (isinstance(item, Table) and item.value is getattr(whole, "value", None)):
            break
        last = item[-1] if isinstance(item, AoT) and len(item) else item
        before = last if isinstance(last, Table) else before
    body, count = gone.value.body, 0
    while count < len(body) and isinstance(body[-1 - count][1], Comment):
        count += 1
    if not count or before is None or count == len(body) or not isinstance(body[-1 - count][1], Whitespace):
        return [], None
    blank = not isinstance(before.value.body[-1][1], Whitespace) if before.value.body else False
    return [item for _, item in body[len(body) - count - blank :]], before


def _set(document: Any, edit: SetKey) -> None:
    """Set one key; a new one goes after the last key of its table, before the blank lines."""
    import tomlkit

    steps = edit.path.split(".")
    parent = _parent(document, steps, tomlkit.table)
    key = _step(parent, steps[-1], edit.path)
    value = _item(plain_value(edit.value))
    is_new = not isinstance(parent, list) and key not in parent
    trailing = _take_trailing(parent) if is_new and isinstance(parent, tomlkit.items.Table) else []
    parent[key] = value
    for _, item in trailing:
        parent.add(item)


def _take_trailing(table: Any) -> list[Any]:
    """Take the blank lines at the end of a table off, to put them back after a new key."""
    from tomlkit.items import Whitespace

    body = table.value.body
    if any(hasattr(item, "is_aot") and (item.is_table() or item.is_aot()) for key, item in body if key):
        return []
    taken: list[Any] = []
    while body and isinstance(body[-1][1], Whitespace):
        taken.insert(0, body.pop())
    return taken


def _add(document: Any, edit: AddEntry) -> None:
    """Append one entry to an array of tables (or to a list of inline tables)."""
    import tomlkit
    from tomlkit.items import AoT

    steps = edit.table.split(".")
    parent = _parent(document, steps, tomlkit.table)
    name = steps[-1]
    entry = plain_value(edit.entry)
    if name in parent and not isinstance(parent[name], AoT):
        parent[name].append(_item(entry))
        return
    table = tomlkit.table()
    for key, value in entry.items():
        table.add(key, _item(value))
    if name not in parent:
        if parent is document and not tomlkit.dumps(document).endswith("\n\n"):
            document.add(tomlkit.nl())
        parent[name] = tomlkit.aot()
    entries = parent[name]
    _end_with_blank(entries)
    entries.append(table)
    table.add(tomlkit.nl())


def _end_with_blank(entries: Any) -> None:
    """One blank line between the last entry and a new one."""
    import tomlkit

    last = entries[-1] if len(entries) else None
    if last is not None and not tomlkit.dumps(last).endswith("\n\n"):
        last.add(tomlkit.nl())


def _item(value: Any) -> Any:
    """A plain value as a tomlkit item; tables inline."""
    import tomlkit

    if isinstance(value, dict):
        table = tomlkit.inline_table()
        for key, each in value.items():
            table.append(key, _item(each))
        return table
    if isinstance(value, list):
        array = tomlkit.array()
        for each in value:
            array.append(_item(each))
        return array
    return tomlkit.item(value)
