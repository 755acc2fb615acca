"""The whole job from an empty folder to the written papers, by keyboard only."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

import wiring
from tests.tui.drive import SIZES, SMALL, planned, press, run, settled, text, until
from tui.app import HoldrunApp
from tui.screens.begin import Begin
from tui.screens.desk import Desk
from tui.screens.new import NewJob
from tui.steps.order import BY_NAME
from wiring.sheets.words import CAUTION

NEXT = "right_square_bracket"
pytestmark = pytest.mark.usefixtures("replans")


async def new_job(pilot: Pilot[Any], hoist: int, receiver: int) -> Desk:
    """Answer the assistant; hoist and receiver as places in its lists (0 is unknown)."""
    app = pilot.app
    await until(pilot, lambda: isinstance(app.screen, Begin), "the first page")
    await press(pilot, "enter")
    await until(pilot, lambda: isinstance(app.screen, NewJob), "the assistant")
    await settled(pilot)
    assert "LOCKOUT" in text(pilot)
    await press(pilot, "enter", *"Hay hoist", "enter", "enter", "down", "enter")
    assert "click at the hoist" in " ".join(text(pilot).split())
    await press(pilot, *["down"] * hoist, "enter", *["down"] * receiver, "enter")
    assert "hay-hoist.toml" in text(pilot)
    await press(pilot, "enter")
    return await planned(pilot)


async def write_gate(pilot: Pilot[Any], shown: Desk) -> None:
    """Isolate: every line, one after the other with Tab."""
    await press(pilot, "2", "enter", *"plug, in my hand", "tab", *"yes", "tab", *"yes", "tab", *"yes", "tab")
    await press(
        pilot, *"yes", "tab", *"yes", "tab", *"2 V", "tab", *"yes", "tab", *"2026-11-25 09:10", "enter"
    )
    await planned(pilot)
    assert "The gate is recorded" in text(pilot)
    assert shown.sight.open.at("gate.tester_proved_again") is True


async def name_cores(pilot: Pilot[Any], shown: Desk, roles: list[str]) -> None:
    """Cores: colour, role, how known, by Tab through the rows."""
    await press(pilot, "4")
    for number, role in enumerate(roles):
        colour = ("black", "white", "red", "blue", "green")[number if role != "earth" else 4]
        await press(pilot, "right" if number == 0 else "down", "enter", *colour, "tab", *role, "tab")
        await press(pilot, *"traced", "enter", "left", "left")
    assert [core["role"] for core in shown.sight.open.at("core")] == roles
    await planned(pilot)


@pytest.mark.parametrize("size", SIZES)
def test_a_whole_job_from_an_empty_folder_to_the_papers(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, size: tuple[int, int]
) -> None:
    """New, isolate, cores, connections by the planner, bench, papers, saved; caution on every screen."""
    monkeypatch.chdir(tmp_path)
    entries = wiring.load_catalog()
    hoist = [*entries.hoists].index("reversing-contactors-24") + 1
    receiver = [*entries.receivers].index("six-channel-stop-pair") + 1
    roles = [core.role for core in entries.hoists["reversing-contactors-24"].cores]

    async def work() -> None:
        app = HoldrunApp(None, auto_faults=False)
        async with app.run_test(size=size) as pilot:
            shown = await new_job(pilot, hoist, receiver)
            file = tmp_path / "hay-hoist.toml"
            assert file.exists()
            await write_gate(pilot, shown)
            await name_cores(pilot, shown, roles)
            await press(pilot, "6", NEXT, NEXT, "p")
            await until(pilot, lambda: "Enter takes one" in text(pilot), "proposals")
            await press(pilot, "enter")
            await planned(pilot)
            assert len(shown.sight.open.at("connection")) > 4
            assert shown.sight.plan is not None
            assert shown.sight.plan.after is not None
            await press(pilot, "8", "space")
            await until(pilot, lambda: "HOIST" in text(pilot), "a motion on the bench")
            await press(pilot, "escape", "ctrl+s")
            assert not shown.sight.open.dirty
            await press(pilot, "minus", "w")
            await until(pilot, lambda: "wrote 9 papers" in text(pilot), "the papers")
            assert CAUTION in " ".join(text(pilot).split())
            papers = {path.name for path in (tmp_path / "hay-hoist-papers").iterdir()}
            assert {"job-pack.pdf", "lockout.txt", "circuit.pdf", "review.txt"} <= papers
            assert (tmp_path / "hay-hoist-papers" / "job-pack.pdf").read_bytes()[:4] == b"%PDF"
            await press(pilot, "ctrl+q")
        job = wiring.load_job(file)
        assert [core.role for core in job.cores] == roles
        assert job.gate is not None
        assert job.gate.at is not None
        assert "# `unknown` means not known yet" in file.read_text("utf-8")

    run(work())


def test_readings_are_asked_for_one_at_a_time_and_what_is_left_shrinks(first_try: Path) -> None:
    """The guided session: a typed reading stands in the file, fewer answers are left, undo takes it back."""
    body = first_try.read_text("utf-8").partition("[[reading]]")[0]
    now = datetime.datetime.now().replace(microsecond=0).isoformat()
    first_try.write_text(body.replace("at = 2026-11-18T09:10:00", f"at = {now}"), "utf-8")

    async def work() -> None:
        app = HoldrunApp(str(first_try), auto_faults=False)
        async with app.run_test(size=SMALL) as pilot:
            shown = await planned(pilot)
            await press(pilot, "4", NEXT)
            await until(pilot, lambda: "Next:" in text(pilot), "the first reading")
            leaf = shown.pane.query_one("Identify")  # type: ignore[union-attr]
            first = leaf.found.left  # type: ignore[attr-defined]
            await press(pilot, "enter", *"OL", "enter")
            assert shown.sight.open.at("reading.0.value") == "OL"
            await until(pilot, lambda: leaf.found.readings == 1, "the next reading")  # type: ignore[attr-defined]
            assert leaf.found.left < first  # type: ignore[attr-defined]
            await press(pilot, "enter", *"0.3", "enter")
            assert "✗" in text(pilot)
            await press(pilot, "escape", "ctrl+z")
            assert shown.sight.open.at("reading") is None

    run(work())


def test_a_remedy_is_found_shown_as_lines_and_taken(malt: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """One setting is spoilt; the remedy puts it right and is one step to undo."""
    engine = wiring.remedy
    monkeypatch.setattr(wiring, "remedy", lambda plan, text: engine(plan, text, "none"))
    malt.write_text(malt.read_text("utf-8").replace('mode = "momentary"', 'mode = "latching"', 1), "utf-8")

    async def work() -> None:
        app = HoldrunApp(str(malt), auto_faults=False)
        async with app.run_test(size=SIZES[1]) as pilot:
            shown = await planned(pilot)
            await press(pilot, "9", NEXT, NEXT, "m")
            await until(
                pilot, lambda: "Enter takes one" in text(pilot) and "answers:" in text(pilot), "remedies"
            )
            assert "mode.hold-to-run" in text(pilot)
            await press(pilot, "enter")
            assert shown.step is BY_NAME["Findings"]
            assert shown.sight.open.at("receiver.output.0.mode") == "momentary"
            await press(pilot, "ctrl+z")
            assert shown.sight.open.at("receiver.output.0.mode") == "latching"

    run(work())


def test_the_receiver_is_tested_on_the_bench_step_by_step(first_try: Path) -> None:
    """A wrong answer is refused with the reason, a right one stands in the file, undo takes it back."""

    async def work() -> None:
        app = HoldrunApp(str(first_try), auto_faults=False)
        async with app.run_test(size=SMALL) as pilot:
            shown = await planned(pilot)
            before = len(shown.sight.open.at("bench"))
            await press(pilot, "5", NEXT, NEXT, NEXT, NEXT, NEXT)
            await until(pilot, lambda: "Next:" in text(pilot), "the first step")
            await press(pilot, "enter", *"maybe", "enter")
            assert "allowed: yes" in text(pilot)
            await press(pilot, "enter", *"yes", "enter")
            leaf = shown.pane.query_one("BenchTest")  # type: ignore[union-attr]
            for _ in range(20):
                wanted = leaf.session.wanted()  # type: ignore[attr-defined]
                if wanted.step.kind not in ("closed", "split", "jumper", "which", "bare"):
                    break
                await press(pilot, "s")
            await press(pilot, "enter", *"opens", "enter")
            await until(pilot, lambda: len(shown.sight.open.at("bench")) == before + 1, "the result")
            assert shown.sight.open.at("bench")[-1]["result"] == "opens"
            await press(pilot, "ctrl+z")
            assert len(shown.sight.open.at("bench")) == before

    run(work())


def test_every_receiver_type_is_judged_and_one_is_taken(malt: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The leaf lists the planner's answers, best first; Enter writes the type."""
    from wiring.model.proposal import Fit, Want

    fits = (Fit("six-channel-stop-pair", "with devices", None, ("a fuse",), ("a mode",), "because"),)
    monkeypatch.setattr(wiring, "fit", lambda job, entries: fits)
    monkeypatch.setattr(wiring, "specification", lambda job, entries: (Want("outputs", "2", "two motions"),))

    async def work() -> None:
        app = HoldrunApp(str(malt), auto_faults=False)
        async with app.run_test(size=SMALL) as pilot:
            shown = await planned(pilot)
            await press(pilot, "5", "left_square_bracket", "j")
            await until(pilot, lambda: "1 types judged" in text(pilot), "the answers")
            assert "with devices" in text(pilot)
            assert "two motions" in text(pilot)
            await press(pilot, "enter")
            assert shown.sight.open.at("receiver.type") == "six-channel-stop-pair"

    run(work())


def test_a_measured_result_is_compared_and_recorded_with_the_digest(malt: Path) -> None:
    """Commissioning: test, result, name; the record carries this plan's digest."""

    async def work() -> None:
        app = HoldrunApp(str(malt), auto_faults=False)
        async with app.run_test(size=SIZES[1]) as pilot:
            shown = await planned(pilot)
            before = len(shown.sight.open.at("record") or ())
            await press(pilot, "minus", NEXT)
            await until(pilot, lambda: "wanted" in text(pilot) and "missing" in text(pilot), "the tests")
            await press(pilot, "enter", *"0.2 s", "enter", *"the brewer", "enter")
            await until(pilot, lambda: len(shown.sight.open.at("record") or ()) > before, "the record")
            record = shown.sight.open.at("record")[-1]
            assert record["by"] == "the brewer"
            assert record["digest"] == shown.sight.plan.digest  # type: ignore[union-attr]

    run(work())
