"""Command-line tests share plans: the same file is planned once, whatever command asks for it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

import wiring
from wiring.model.job import Job
from wiring.model.plan import Plan

_plans: dict[tuple[str, str, str | None, str], Plan] = {}


@pytest.fixture(autouse=True)
def plans_kept(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """`wiring.plan` remembers what it made of a file's text."""
    make = wiring.plan

    def plan(job: Job, stage: str | None = None, faults: str = "none", progress: object = None) -> Plan:
        key = (job.file, Path(job.file).read_text("utf-8"), stage, faults)
        if key not in _plans:
            _plans[key] = make(job, stage=stage, faults=faults)
        return _plans[key]

    monkeypatch.setattr(wiring, "plan", plan)
    yield
