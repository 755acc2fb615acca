"""The digest: what changes it, what does not, and how a change is named."""

from __future__ import annotations

import datetime
import re
from dataclasses import replace
from pathlib import Path

import pytest

from tests.rules.cases import HERE
from wiring.check import changed, digest
from wiring.files import load_catalog
from wiring.files.job import load_job
from wiring.model.job import Answer, Approval, Confirm, Job, Record

CATALOG = load_catalog(HERE)


def malt() -> Job:
    return load_job(HERE / "bases" / "malt.toml")


def test_twelve_hex_digits() -> None:
    """The digest is twelve hex digits, the same on every call."""
    whole, parts = digest(malt(), CATALOG)
    assert re.fullmatch("[0-9a-f]{12}", whole)
    assert digest(malt(), CATALOG) == (whole, parts)
    assert all(
        re.fullmatch("[0-9a-f]{4}", p) for p in (parts.circuit, parts.ratings, parts.settings, parts.catalog)
    )


@pytest.mark.parametrize(
    "field",
    [
        {"title": "another"},
        {"date": datetime.date(2027, 1, 1)},
        {"prepared_by": "somebody"},
        {"revision": "Z"},
        {"stage": "installed"},
        {"confirms": (Confirm("nec-610-14-a/14/c75_30", "26 A"),)},
        {"approvals": (Approval("E."),)},
        {"records": (Record("release-up", "0.3 s"),)},
        {"answers": (Answer("x", "y"),)},
        {"readings": ()},
        {"gate": None},
    ],
    ids=lambda f: next(iter(f)),
)
def test_what_does_not_reach_the_plan(field: dict[str, object]) -> None:
    """Titles, dates, names, confirmations, approvals, records, answers and readings change nothing."""
    assert digest(replace(malt(), **field), CATALOG) == digest(malt(), CATALOG)  # type: ignore[arg-type]


def test_what_changed_is_named() -> None:
    """Each kind of change shows in its own short hash."""
    job = malt()
    base = digest(job, CATALOG)[1]
    first = job.connections[0]
    moved = replace(job, connections=(replace(first, to="X10:2"), *job.connections[1:]))
    assert changed(base, digest(moved, CATALOG)[1]) == ("circuit",)
    value = replace(job, values=job.values[1:])
    assert changed(base, digest(value, CATALOG)[1]) == ("ratings",)
    output = replace(job.receiver.outputs[0], mode="latching")
    mode = replace(job, receiver=replace(job.receiver, outputs=(output, *job.receiver.outputs[1:])))
    assert changed(base, digest(mode, CATALOG)[1]) == ("settings",)
    entry = CATALOG.hoists[job.hoist.type or ""]
    other = replace(CATALOG, hoists={**dict(CATALOG.hoists), entry.id: replace(entry, digest="changed")})
    assert changed(base, digest(job, other)[1]) == ("catalog",)


def test_direction_of_a_connection_is_no_change() -> None:
    """A connection written from the other end is the same wire."""
    job = malt()
    first = job.connections[0]
    turned = replace(job, connections=(replace(first, from_=first.to, to=first.from_), *job.connections[1:]))
    assert digest(turned, CATALOG)[0] == digest(job, CATALOG)[0]


def test_notation_is_no_change(tmp_path: Path) -> None:
    """The same quantity in another unit is the same plan."""
    text = (HERE / "bases" / "malt.toml").read_text()
    path = tmp_path / "job.toml"
    path.write_text(text.replace('distance = "2 m"', 'distance = "200 cm"'))
    assert digest(load_job(path), CATALOG)[0] == digest(malt(), CATALOG)[0]


def test_stating_the_types_default_is_no_change() -> None:
    """Saying what the entry says anyway is the same plan."""
    job = malt()
    entry = CATALOG.receivers[job.receiver.type or ""]
    silent = replace(job, receiver=replace(job.receiver, opposing=None))
    stated = replace(job, receiver=replace(job.receiver, opposing=entry.opposing))
    assert digest(silent, CATALOG)[0] == digest(stated, CATALOG)[0]
