"""What the frame says in words: the places of keys on the help page, the places of problems."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from tests.tui.drive import WIDE, desk, press, run
from tui.helptext import help_text
from tui.openjob import OpenJob
from tui.sight import Sight
from tui.steps.order import STEPS
from tui.widgets.beside import problem_text
from tui.widgets.frame import verdict_of
from wiring.model.finding import Problem


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


def test_a_problem_of_the_whole_file_has_no_line() -> None:
    """The verdict line and the list beside a step name a line only where there is one."""
    whole = Problem("job.toml", 0, "job", "nothing", "a value")
    sight = Sight(OpenJob(Path("job.toml"), "", ""), problems=(whole,))
    assert verdict_of(sight).plain == "✗ 1 problem in the file, no verdict: job"
    assert problem_text(whole).plain.startswith("✗ job\n")
    assert problem_text(replace(whole, line=3)).plain.startswith("✗ line 3 job\n")
