"""Still screens: no animation, no blinking, one look."""

from __future__ import annotations

import os
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

import wiring

os.environ["TEXTUAL_ANIMATIONS"] = "none"
os.environ.pop("HOLDRUN_LOOK", None)

from tests.tui.drive import demo
from tui import door

PLANS: dict[tuple[str, str], Any] = {}  # the engine's answer for each distinct job, planned once
SHELVES: dict[str, Any] = {}  # the catalog, read once: no test has a type of its own beside its job
OFFERS: dict[str, Any] = {}  # the planner's likewise


@pytest.fixture
def replans() -> None:
    """Asked for by tests that look at what an edit does to the plan."""


@pytest.fixture(autouse=True)
def plans_once(monkeypatch: pytest.MonkeyPatch, request: pytest.FixtureRequest) -> None:
    """Have each distinct job planned once by the engine in a whole run of these tests.

    A test that does not ask for `replans` sees the plan of the job as it was opened; the job in it
    is the edited one.
    """
    engine, shelf = door.planned, door.catalog
    opened: dict[tuple[str, str], tuple[str, str]] = {}

    def planned(job: Any, entries: Any, faults: str, progress: Any = None) -> Any:
        key = (repr(replace(job, file="")), faults)
        if "replans" not in request.fixturenames:
            key = opened.setdefault((job.file, faults), key)
        if key not in PLANS:
            PLANS[key] = engine(job, entries, faults, progress)
        return replace(PLANS[key], job=job)

    offer = wiring.propose

    def propose(job: Any, entries: Any = None) -> Any:
        key = repr(replace(job, file=""))
        if key not in OFFERS:
            OFFERS[key] = offer(job, entries)
        return OFFERS[key]

    def catalog(beside: Path) -> Any:
        if "all" not in SHELVES:
            SHELVES["all"] = shelf(beside)
        return SHELVES["all"]

    monkeypatch.setattr(door, "planned", planned)
    monkeypatch.setattr(door, "catalog", catalog)
    monkeypatch.setattr(wiring, "propose", propose)


@pytest.fixture
def malt(tmp_path: Path) -> Path:
    """The malt hoist's second plan in a folder of its own."""
    file = tmp_path / "malt.toml"
    file.write_text(demo("malt-second-plan.toml"), "utf-8")
    return file


@pytest.fixture
def first_try(tmp_path: Path) -> Path:
    """The malt hoist's first try in a folder of its own."""
    file = tmp_path / "first-try.toml"
    file.write_text(demo("malt-first-try.toml"), "utf-8")
    return file
