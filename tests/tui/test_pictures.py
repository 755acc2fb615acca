"""A picture of every screen at both sizes, with the engine held still."""

from __future__ import annotations

import asyncio
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from pytest_snapshot.plugin import Snapshot
from textual.content import Content
from textual.pilot import Pilot

import wiring
from tests.tui.drive import SIZES, SMALL, desk, planned, press, settled, text, until
from tui import door
from tui.steps import bench, benchtest, identify
from tui.steps.order import STEPS
from tui.widgets import types
from wiring.model.behaviour import (
    Behaviour,
    Difference,
    Event,
    FaultResult,
    Faults,
    Hazard,
    Row,
    StopRow,
    Truth,
)
from wiring.model.finding import Finding, Verdict
from wiring.model.plan import Counts, Plan, Report

HERE = Path(__file__).parent
LOOKS = 50  # at one screen, after which it counts as restless
FIND = [
    ("proof.limits-kept", "hoist up", Verdict.FAIL, 1, "up limit open, key up held: the hoist still lifts"),
    ("mode.hold-to-run", "receiver:CH1", Verdict.FAIL, 1, "set: toggle"),
    ("identity.core", "core:3", Verdict.UNKNOWN, 1, "core 3 was named by its colour"),
    ("conductor.ampacity", "W1", Verdict.UNKNOWN, 2, "rests on a recalled table row"),
    ("people.beside", "people", Verdict.UNKNOWN, 1, "how people beside the load are warned is not stated"),
    ("people.lockout", "gate", Verdict.PASS, 2, "every step recorded"),
]


def report() -> Report:
    """A report of six findings, so that no change of a rule moves a picture."""
    found = tuple(
        Finding(
            rule, subject, "after", verdict, "design", danger, said, "as the pendant did", 6.3, 5.0,
            "at-most", "A", -0.26, "a source", "read", ("a-table/row/column",), ("land CH1 on hoist:X1.2",),
            "malt.toml:9",
        )
        for rule, subject, verdict, danger, said in FIND
    )  # fmt: skip
    late = replace(found[0], rule="people.approval", verdict=Verdict.TO_SHOW, due="installed")
    counts = Counts(1, 2, 3, 0)
    return Report(Verdict.FAIL, "design", found, (late,), counts, Counts(), 6, ("wires nobody traced",))


def behaviour() -> Behaviour:
    """A few rows of each table of the proof."""
    rows = (Row((), (), (), (), ()), Row(("key:up",), (), (), ("hoist up",), ("K10.up",)))
    hazard = Hazard("no-stop", "hoist up", ("stop:Q1",), 3, 2)
    fault = FaultResult(("K10.up stuck-in",), "power contact", (hazard,), "hoist:K1 stuck-in", "worse", False,
                        ("press key:up", "K10.up welds", "release: still hoist up"))  # fmt: skip
    after = {"release": False, "stop S1": True}
    stop = StopRow("hoist up", ("K10.up stuck-in",), {"release": False}, after, "better")
    event = Event("release", "after", ("key:up",), (), (), (), (), "pass", "", ("hoist up",))
    moved = Difference(("key:up",), ("limit:up",), (), ("hoist up",), "worse")
    faults = Faults("single", 1, 1, 0, 0, 0, 0, (fault,))
    truth = Truth(True, 2, rows)
    return Behaviour(truth, truth, (moved,), (event,), faults, (stop,), (), (), (), 0.1)


@pytest.fixture
def still(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """The job of these pictures, with a plan, drawings and pages that never change."""
    engine = door.planned
    found = identify.Found(None, 2, (), (), (), (), 14, True)

    def planned(job: Any, entries: Any, faults: str, progress: Any = None) -> Plan:
        real = engine(job, entries, "none", progress)
        told = "Holds only if the hoist is a malt hoist. This has not been shown."
        shown = replace(real, job=job, report=report(), behaviour=behaviour())
        return replace(shown, digest="0123456789ab", identity_sentence=told)

    monkeypatch.setattr(door, "planned", planned)
    monkeypatch.setattr(identify, "look", lambda plan, skipped: found)
    monkeypatch.setattr(
        bench, "draw_side", lambda plan, side: "Power path\n  1  ● L ── ┤ ├ K10.up:1-2 ── ● N"
    )
    monkeypatch.setattr(wiring, "draw", lambda *args, **named: "drawing")
    monkeypatch.setattr(wiring, "written", lambda drawing, suffix: "Circuit\n  1  ● L ── ┤/├ Q1 ── ● F1.2\n")
    monkeypatch.setattr(wiring, "bench_test", lambda job, entries: SimpleNamespace(passed=frozenset()))
    monkeypatch.setattr(benchtest, "told", lambda session, said: Content("Next: hold the key"))
    monkeypatch.setattr(benchtest, "replace", lambda session, **named: session)
    monkeypatch.setattr(wiring, "commissioning", lambda plan: ())
    monkeypatch.setattr(
        types, "page_text", lambda kind, id, folder: f"{kind} {id}\n\nLook for\n  what is there\n"
    )
    file = tmp_path / "malt.toml"
    file.write_text((HERE / "malt.toml").read_text("utf-8"), "utf-8")
    return file


async def picture(pilot: Pilot[Any]) -> str:
    """The screen once work in the background is done and two looks in a row show the same."""
    last = ""
    for _ in range(LOOKS):
        await pilot.app.workers.wait_for_complete()
        await settled(pilot)
        shown = pilot.app.export_screenshot(simplify=True)
        if shown == last:
            return shown
        last = shown
        await pilot.pause(0.02)
    raise AssertionError(f"the screen never comes to rest\n{text(pilot)}")


@pytest.mark.parametrize("size", SIZES, ids=["80x24", "160x50"])
def test_every_step_looks_as_it_did(still: Path, snapshot: Snapshot, size: tuple[int, int]) -> None:
    """Each step at both sizes; the leaves behind the first at the small one, where room is short."""
    snapshot.snapshot_dir = HERE / "pictures" / f"{size[0]}x{size[1]}"
    taken: dict[str, str] = {}

    async def work() -> None:
        async with desk(still, size) as (pilot, shown):
            for step in STEPS:
                await press(pilot, step.twin)
                leaves = len(shown.pane.LEAVES) if size == SMALL else 1  # type: ignore[union-attr]
                for number in range(leaves):
                    taken[f"{step.id}-{number}.svg"] = await picture(pilot)
                    await press(pilot, "right_square_bracket")

    asyncio.run(work())
    for name, svg in taken.items():
        snapshot.assert_match(svg, name)


@pytest.mark.parametrize("size", SIZES, ids=["80x24", "160x50"])
def test_what_is_laid_over_the_desk_looks_as_it_did(
    still: Path, snapshot: Snapshot, size: tuple[int, int], monkeypatch: pytest.MonkeyPatch
) -> None:
    """First page, assistant, editor line, findings, help, quit guard, file as text, the other look."""
    snapshot.snapshot_dir = HERE / "pictures" / f"{size[0]}x{size[1]}"
    monkeypatch.chdir(still.parent)
    taken: dict[str, str] = {}

    async def work() -> None:
        async with desk(still, size) as (pilot, _):

            async def take(name: str, *keys: str) -> None:
                await press(pilot, *keys)
                taken[f"over-{name}.svg"] = await picture(pilot)

            await take("editor", "4", "right", "right", "enter")
            await take("findings", "escape", "ctrl+f")
            await take("help", "ctrl+f", "f1")
            await take("text", "escape", "ctrl+r")
            await take("paper", "f8", "6", "ctrl+t")
            await press(pilot, "ctrl+t", "4", "left", "enter", *"pink", "enter")
            await planned(pilot)
            await take("quit", "ctrl+q")
            await press(pilot, "escape", "ctrl+z", "ctrl+n")
            await until(pilot, lambda: type(pilot.app.screen).__name__ == "NewJob", "the assistant")
            await take("new", "enter", *"Hay hoist", "enter", "enter", "enter", "down")

    asyncio.run(work())
    for name, svg in taken.items():
        snapshot.assert_match(svg, name)
