"""Drives the screens as a person does: keys, mouse, and waiting until the plan is there."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

from textual import events
from textual.keys import _character_to_key
from textual.pilot import Pilot
from textual.widgets import Input

from tui.app import HoldrunApp
from tui.screens.desk import Desk

SMALL, WIDE = (80, 24), (160, 50)
SIZES = (SMALL, WIDE)
PATIENCE = 20.0  # seconds until a test gives up waiting


def demo(name: str) -> str:
    """The text of a demo job."""
    import wiring

    return dict(wiring.demos())[name]


def run(work: Awaitable[None]) -> None:
    """Run one test to its end."""

    async def whole() -> None:
        await work

    asyncio.run(whole())


async def until(pilot: Pilot[Any], there: Callable[[], bool], what: str = "") -> None:
    """Wait until something is so."""
    waited = 0.0
    while not there():
        await pilot.pause(0.02)
        waited += 0.02
        assert waited < PATIENCE, f"never came: {what}\n{text(pilot)}"


CALM = 12  # turns of the loop without a message waiting, after which nothing more comes
MOST = 2000


async def settled(pilot: Pilot[Any]) -> None:
    """Wait until every message is dealt with; unlike the pilot's own pause, planning may go on."""
    app, calm = pilot.app, 0
    for _ in range(MOST):
        await asyncio.sleep(0)
        nodes = (app, *app.screen.walk_children(with_self=True))
        calm = 0 if any(node.message_queue_size for node in nodes) else calm + 1
        if calm == CALM // 2:
            app.screen._on_timer_update()
        if calm >= CALM:
            return


async def press(pilot: Pilot[Any], *keys: str) -> None:
    """Press keys one after the other, each when what the one before did is done."""
    driver = pilot.app._driver
    assert driver is not None
    for number, key in enumerate(keys):
        name = _character_to_key(key) if len(key) == 1 and not key.isalnum() else key
        event = events.Key(name, key if len(key) == 1 else None)
        event.set_sender(pilot.app)
        driver.send_message(event)
        more = "".join(keys[number : number + 2])
        if isinstance(pilot.app.focused, Input) and len(key) == 1 and len(more) == 2:
            continue  # within a word that is being typed
        await settled(pilot)


async def planned(pilot: Pilot[Any]) -> Desk:
    """Wait for the desk with a plan, or the problems, of the text that is shown."""
    app = pilot.app
    await until(pilot, lambda: isinstance(app.screen, Desk) and app.screen.sight.fresh, "a plan")
    await pilot.pause()
    assert isinstance(app.screen, Desk)
    return app.screen


@asynccontextmanager
async def desk(
    file: Path | str | None, size: tuple[int, int] = SMALL, plan: bool = True
) -> AsyncIterator[tuple[Pilot[Any], Desk]]:
    """The program with a job on the desk."""
    app = HoldrunApp(str(file), auto_faults=False)
    async with app.run_test(size=size) as pilot:
        await until(pilot, lambda: any(isinstance(one, Desk) for one in app.screen_stack), "the desk")
        if plan:
            await planned(pilot)
        yield pilot, next(one for one in app.screen_stack if isinstance(one, Desk))


def lines(pilot: Pilot[Any]) -> list[str]:
    """What the screen shows, line by line."""
    return [strip.text for strip in pilot.app.screen._compositor.render_strips()]


def text(pilot: Pilot[Any]) -> str:
    return "\n".join(lines(pilot))
