"""The help page: every key of the place, said in words."""

from __future__ import annotations

from pathlib import Path

from tests.tui.drive import WIDE, desk, press, run
from tui.helptext import help_text
from tui.steps.order import STEPS


def test_help_says_in_words_where_a_key_acts(malt: Path) -> None:
    """On every leaf of every step the parts are named in words, never by what the program calls them."""
    seen = set()

    async def work() -> None:
        async with desk(malt, WIDE) as (pilot, shown):
            for step in STEPS:
                await press(pilot, step.twin)
                for _ in shown.pane.LEAVES:  # type: ignore[union-attr]
                    page = help_text(pilot.app.screen, pilot.app)
                    seen.update(line for line in page.splitlines() if line and not line.startswith(" "))
                    assert "\nHere\n" not in page, (step.name, page)
                    await press(pilot, "]")

    run(work())
    assert {"On the bench", "In the meter session", "In a table of entries"} <= seen
