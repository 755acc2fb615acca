"""Identification on the screen: what it says of readings that cannot all be true."""

from __future__ import annotations

from pathlib import Path
from types import SimpleNamespace

import wiring
from tests.tui.drive import WIDE, demo, desk, press, run, text, until
from tui.steps.identify import wrong
from wiring.cli.identify import contradiction_lines
from wiring.sheets.reading_words import CROSSED

FIRST = 'value = "0.5 ohm"\nat = 2026-11-23T09:31:00'


def test_a_contradiction_is_told_as_the_engine_tells_it(tmp_path: Path) -> None:
    """Readings that clash are numbered and the one to repeat is named with its place, as on the
    command line."""
    file = tmp_path / "malt.toml"
    good = demo("malt-second-plan.toml")
    assert good.count(FIRST) == 1
    file.write_text(good.replace(FIRST, FIRST.replace("0.5 ohm", "OL")), "utf-8")
    session = wiring.identify(wiring.load_job(str(file)))
    told = wrong(session)
    assert told[0].startswith("Readings 1, ") and told[0].endswith(" cannot all be true.")
    assert session.space.taken[0].probe.told in told[1]
    assert " ".join(told).split() == " ".join(contradiction_lines(session)).split()

    async def work() -> None:
        async with desk(file, WIDE) as (pilot, _):
            await press(pilot, "4", "]")
            await until(pilot, lambda: "cannot all be true" in text(pilot), "the contradiction")
            shown = " ".join(text(pilot).split())
            assert told[0] in shown and " number 1, " in shown.lower()

    run(work())


def test_readings_that_fit_together_say_nothing(tmp_path: Path) -> None:
    """Without a contradiction there is no such line, and a limit on the wrong core is told by itself."""
    file = tmp_path / "malt.toml"
    file.write_text(demo("malt-second-plan.toml"), "utf-8")
    session = wiring.identify(wiring.load_job(str(file)))
    assert wrong(session) == ()
    assert wrong(SimpleNamespace(contradiction=lambda: None, crossed=True)) == (CROSSED,)
