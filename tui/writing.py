"""From a typed value to edits of the job text."""

from __future__ import annotations

from typing import Any

from tui import door
from tui.fields import UNKNOWN
from tui.openjob import OpenJob

LISTS = frozenset({"output", "jumper", "contact"})  # lists inside a table


def setting(job: OpenJob, path: str, value: Any) -> list[Any]:
    """Edits that put a value at a key path; None writes `unknown` where something stood."""
    here = job.at(path)
    if value is None:
        return [] if here in (None, UNKNOWN) else [door.set_key(path, UNKNOWN)]
    if here == value and type(here) is type(value):
        return []
    parent, _, key = path.rpartition(".")
    if nested(parent) and not isinstance(job.at(parent), dict):
        return [door.set_key(parent, {key: value})]
    return [door.set_key(path, value)]


def nested(parent: str) -> bool:
    """Whether a table lies inside another one ("gate" does not, "core.0.rating" and "place.risk" do)."""
    steps = [step for step in parent.split(".") if not step.isdigit()]
    if len(steps) > 1 and steps[1] in LISTS:
        steps = steps[1:]
    return len(steps) > 1


def told(path: str) -> str:
    """A key path as undo names it: "core.2.role" is "core 3 role"."""
    words = [str(int(step) + 1) if step.isdigit() else step.replace("_", " ") for step in path.split(".")]
    return " ".join(words)


def free_id(taken: list[str], example: str) -> str:
    """The next id after those taken: 4 after 3, K11 after K10."""
    numbers = [one for one in taken if one.isdigit()]
    if numbers or not taken:
        bare = example.rstrip("0123456789")
        return str(max(map(int, numbers)) + 1) if numbers else (f"{bare}1" if bare else "1")
    last = next((one for one in reversed(taken) if one[-1:].isdigit()), "")
    bare = last.rstrip("0123456789")
    return f"{bare}{int(last[len(bare) :]) + 1}" if last else ""
