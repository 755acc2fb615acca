"""The bench: what a hand holds is let go of, however the mouse-up gets lost."""

from __future__ import annotations

import time
from dataclasses import replace
from pathlib import Path
from typing import Any

from textual import events
from textual.pilot import Pilot
from textual.widgets import DataTable

import wiring
from tests.tui.drive import SMALL, WIDE, demo, desk, press, run, settled, text, until
from tui import door
from tui.screens.ask import Page
from tui.screens.desk import Desk
from tui.steps.bench import BenchLeaf
from tui.twin import Twin, controls_of
from tui.widgets.hold import HoldKey, Turn


async def on_bench(pilot: Pilot[Any], shown: Desk) -> BenchLeaf:
    """Turn to the proof and wait until the bench is built."""
    await press(pilot, "8")
    leaf = shown.pane.query_one(BenchLeaf)  # type: ignore[union-attr]
    await until(pilot, lambda: len(leaf.query(HoldKey)) > 0, "the keys")
    await settled(pilot)
    return leaf


def moves(leaf: BenchLeaf) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What moves as found and as converted."""
    assert leaf.twin is not None
    before, after = leaf.twin.now("before"), leaf.twin.now("after")
    assert before is not None
    assert after is not None
    return before.motions, after.motions


UP = (("hoist up",), ("hoist up",))
STILL: tuple[tuple[str, ...], tuple[str, ...]] = ((), ())


async def mouse(
    pilot: Pilot[Any], kind: type[events.MouseEvent], key: HoldKey, button: int = 1, dx: int = 2, dy: int = 0
) -> None:
    """A mouse event as a terminal sends it, at a place of the key."""
    x, y = key.region.x + dx, key.region.y + dy
    event = kind(None, x, y, 0, 0, button, False, False, False, x, y)
    pilot.app._driver.send_message(event)  # type: ignore[union-attr]
    await settled(pilot)


def test_a_key_moves_the_hoist_while_the_mouse_is_down_on_it_and_no_longer(malt: Path) -> None:
    """Press, hold, release: up, up, still, in both circuits."""

    async def work() -> None:
        async with desk(malt, WIDE) as (pilot, shown):
            leaf = await on_bench(pilot, shown)
            key = leaf.query(HoldKey).first()
            assert moves(leaf) == STILL
            await mouse(pilot, events.MouseDown, key)
            assert moves(leaf) == UP
            assert "HOIST UP" in text(pilot)
            assert "K10.up" in text(pilot)
            await mouse(pilot, events.MouseMove, key, dx=3)
            assert moves(leaf) == UP
            await mouse(pilot, events.MouseUp, key)
            assert moves(leaf) == STILL

    run(work())


async def slides_off(pilot: Pilot[Any], key: HoldKey) -> None:
    await mouse(pilot, events.MouseMove, key, dx=2, dy=9)


async def moves_without_button(pilot: Pilot[Any], key: HoldKey) -> None:
    await mouse(pilot, events.MouseMove, key, button=0, dx=3)


async def other_program(pilot: Pilot[Any], key: HoldKey) -> None:
    pilot.app.post_message(events.AppBlur())


async def other_screen(pilot: Pilot[Any], key: HoldKey) -> None:
    pilot.app.push_screen(Page("over it", "text"))


async def other_step(pilot: Pilot[Any], key: HoldKey) -> None:
    await press(pilot, "f5")


async def other_leaf(pilot: Pilot[Any], key: HoldKey) -> None:
    await press(pilot, "right_square_bracket")


async def capture_taken(pilot: Pilot[Any], key: HoldKey) -> None:
    pilot.app.capture_mouse(None)


async def focus_moves(pilot: Pilot[Any], key: HoldKey) -> None:
    await press(pilot, "tab")


async def window_changes(pilot: Pilot[Any], key: HoldKey) -> None:
    await pilot.resize_terminal(100, 30)


async def window_left(pilot: Pilot[Any], key: HoldKey) -> None:
    await mouse(pilot, events.MouseMove, key, dx=-500, dy=-500)


WAYS = (
    slides_off, moves_without_button, other_program, other_screen, other_step, other_leaf, capture_taken,
    focus_moves, window_changes, window_left,
)  # fmt: skip


def test_a_lost_mouse_up_lets_go(malt: Path) -> None:
    """In each way the release can get lost, nothing goes on moving."""

    async def work() -> None:
        async with desk(malt, SMALL) as (pilot, shown):
            for lost in WAYS:
                leaf = await on_bench(pilot, shown)
                await shown.pane.turn(0)  # type: ignore[union-attr]
                await settled(pilot)
                key = leaf.query(HoldKey).first()
                await mouse(pilot, events.MouseDown, key)
                assert moves(leaf) == UP, lost.__name__
                await lost(pilot, key)
                await settled(pilot)
                assert moves(leaf) == STILL, lost.__name__
                assert not key.by_mouse, lost.__name__
                if pilot.app.screen is not shown:
                    pilot.app.pop_screen()
                pilot.app.post_message(events.AppFocus())
                await settled(pilot)

    run(work())


def test_a_second_mouse_button_neither_holds_nor_lets_go_twice(malt: Path) -> None:
    """Only the first button is a hand."""

    async def work() -> None:
        async with desk(malt, SMALL) as (pilot, shown):
            leaf = await on_bench(pilot, shown)
            key = leaf.query(HoldKey).first()
            await mouse(pilot, events.MouseDown, key, button=3)
            assert moves(leaf) == STILL
            await mouse(pilot, events.MouseUp, key, button=3)
            assert leaf.twin is not None
            assert len(leaf.twin.past) == 0

    run(work())


def test_a_key_is_latched_and_let_go_from_the_keyboard(malt: Path) -> None:
    """Space holds, Space lets go; Esc lets go of everything; step back brings it back."""

    async def work() -> None:
        async with desk(malt, SMALL) as (pilot, shown):
            leaf = await on_bench(pilot, shown)
            await press(pilot, "space")
            assert moves(leaf) == UP
            assert "UP latched" in text(pilot)
            await press(pilot, "right", "space", "escape")
            assert moves(leaf) == STILL
            await press(pilot, "z")
            assert moves(leaf) != STILL
            await press(pilot, "z", "z")
            assert moves(leaf) == STILL

    run(work())


def test_limit_link_stop_and_fault_do_what_the_circuit_does(malt: Path) -> None:
    """An open limit ends up in both; a lost link ends it in the converted one only; a weld goes on."""

    async def work() -> None:
        async with desk(malt, SMALL) as (pilot, shown):
            leaf = await on_bench(pilot, shown)
            turns = {knob.turned: knob for knob in leaf.query(Turn)}
            await press(pilot, "space")
            only_found = (("hoist up",), ())  # a key held while the link comes back is ignored
            for id, then in (
                ("limit:up", STILL), ("limit:up", UP), ("link", only_found), ("link", only_found),
            ):  # fmt: skip
                turns[id].focus()
                await press(pilot, "enter")
                assert moves(leaf) == then, id
            leaf.query(HoldKey).first().focus()
            await press(pilot, "space", "space")
            assert moves(leaf) == UP
            await press(pilot, "x", *"K10.up stuck-in", "enter")
            leaf.query(HoldKey).first().focus()
            await press(pilot, "escape")
            assert moves(leaf) == ((), ("hoist up",))
            assert "K10.up stuck-in" in text(pilot)
            turns["stop:S1"].focus()
            await press(pilot, "space")
            assert moves(leaf) == STILL

    run(work())


def test_an_unknown_fault_is_said_and_changes_nothing(malt: Path) -> None:
    """The engine's own words stand above the keys."""

    async def work() -> None:
        async with desk(malt, SMALL) as (pilot, shown):
            leaf = await on_bench(pilot, shown)
            await press(pilot, "x", *"K99 stuck-in", "enter")
            assert leaf.twin is not None
            assert leaf.twin.faults == ()
            assert "✗" in text(pilot)
            assert "K99" in text(pilot)

    run(work())


def test_a_state_of_the_truth_table_is_put_on_the_bench(malt: Path) -> None:
    """Enter on a row plays it."""

    async def work() -> None:
        async with desk(malt, SMALL) as (pilot, shown):
            leaf = await on_bench(pilot, shown)
            await press(pilot, "right_square_bracket", "slash", *"converted key:up", "enter")
            table = shown.pane.query(DataTable).first()  # type: ignore[union-attr]
            assert table.row_count > 0
            await press(pilot, "enter")
            assert moves(leaf)[1] == ("hoist up",)
            assert "moves: HOIST UP" in text(pilot)

    run(work())


def test_faults_run_in_the_background_fill_the_tables_and_lead_to_the_bench(malt: Path) -> None:
    """Single faults are run on demand; a row of them is played with its story."""

    async def work() -> None:
        async with desk(malt, WIDE) as (pilot, shown):
            leaf = await on_bench(pilot, shown)
            await press(pilot, "left_square_bracket", "left_square_bracket")
            assert "Faults were not run" in text(pilot)
            await press(pilot, "f")
            await until(pilot, lambda: bool(shown.sight.plan.behaviour.faults), "the faults")  # type: ignore[union-attr]
            await settled(pilot)
            await press(pilot, "slash", *"K10.up stuck-in", "enter", "enter")
            assert leaf.twin is not None
            assert leaf.twin.faults == ("K10.up stuck-in",)

    run(work())


def test_both_circuits_share_their_controls_by_what_they_are() -> None:
    """A button and the key that replaces it are one; a stop of one circuit acts there alone."""
    entries = wiring.load_catalog()
    job = door.read(demo("malt-second-plan.toml"), Path("/nonexistent/malt.toml"), entries)
    plan = wiring.plan(job, entries)
    controls = {c.id: c for c in controls_of(plan.before, plan.after)}
    up = controls["hold up"]
    assert (up.before, up.after) == ("button:up", "key:up")
    assert controls["stop:ES"].after == ""
    twin = Twin(plan)
    twin.hold(up)
    twin.turn(controls["stop:ES"])
    assert twin.now("before").motions == ()  # type: ignore[union-attr]
    assert twin.now("after").motions == ("hoist up",)  # type: ignore[union-attr]
    assert twin.back() == "stop ES pressed"
    assert twin.now("before").motions == ("hoist up",)  # type: ignore[union-attr]


def test_letting_go_of_a_second_step_lets_go_of_the_first_unless_a_hand_is_on_it() -> None:
    """Nothing goes on slowly because a fast key was let go of."""
    from wiring.circuit import build_type

    entries = wiring.load_catalog()
    crane = build_type(entries.hoists["two-speed-crane-115"])
    job = door.read(demo("malt-second-plan.toml"), Path("/nonexistent/malt.toml"), entries)
    twin = Twin(replace(wiring.plan(job, entries), before=crane, after=None))
    up, fast = (next(c for c in twin.controls if c.id == f"hold {id}") for id in ("up", "up.2"))

    def moving() -> tuple[str, ...]:
        now = twin.now("before")
        assert now is not None
        return now.motions

    twin.hold(fast)
    assert moving() == ("hoist up fast",)
    twin.let_go(fast)
    assert moving() == ()
    twin.hold(up)
    twin.hold(fast)
    twin.let_go(fast)
    assert moving() == ("hoist up slow",)
    twin.back()
    assert moving() == ("hoist up fast",)
    twin.let_go(up, fast)
    assert moving() == ()


def test_a_key_on_the_bench_of_the_largest_crane_is_answered_without_delay() -> None:
    """Hundreds of key presses on the crane settle; the figure for one is printed by the campaign."""
    from wiring.circuit import build_type

    bench = wiring.Bench(build_type(wiring.load_catalog().hoists["two-speed-crane-115"]))
    bench.arm()
    begun = time.process_time()
    for _ in range(50):
        bench.press("button:up.2", "button:left")
        bench.release()
    assert bench.now.motions == ()
    assert time.process_time() - begun < 50 * 2 * 0.1
