"""The second plan with other words in every place that a person writes."""

from __future__ import annotations

from pathlib import Path

from tests.jobs.plans import DEMO, swapped

#: What stands in the file, by a name for its place.
PLACES = {
    "title": ('title = "', "Malt hoist"),
    "prepared_by": ('prepared_by = "', "the brewer"),
    "print": ('print = "', "A"),
    "where": ('where = "', "wall by the door"),
    "number": ('number = "', "104"),
    "colour": ('colour = "', "black"),
    "source": ('source = "', "contactor data sheet p. 5"),
    "environment": ('environment = "', "indoor, dust"),
    "answer": ('text = "', "receiver in an IP55 box"),
}


def spoilt(folder: Path, **words: str) -> Path:
    """A job file in a folder with some words put in the place of the plan's own. `{}` in a word is the old
    one."""
    text = (DEMO / "malt-second-plan.toml").read_text("utf-8")
    for place, word in words.items():
        key, old = PLACES[place]
        text = swapped(text, (key + old, key + word.replace("{}", old)))
    path = folder / "job.toml"
    path.write_text(text, "utf-8")
    return path
