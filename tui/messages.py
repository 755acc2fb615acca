"""What the parts of the screen tell each other."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from textual.message import Message
from textual.widget import Widget

from tui.fields import Field
from wiring.model.entry import Catalog
from wiring.model.finding import Problem
from wiring.model.plan import Plan


class EditJob(Message):
    """Do these edits on the job text. what: for undo, "core 2 role"."""

    def __init__(self, edits: list[Any], what: str) -> None:
        super().__init__()
        self.edits, self.what = edits, what


class PutText(Message):
    """Take this whole text, as one step that can be undone."""

    def __init__(self, text: str, what: str) -> None:
        super().__init__()
        self.text, self.what = text, what


class GoTo(Message):
    """Go to a step, and there to a key path where one is named."""

    def __init__(self, step: str, path: str = "") -> None:
        super().__init__()
        self.step, self.path = step, path


class OnBench(Message):
    """Play a state on the bench: inputs to operate and faults to set."""

    def __init__(self, state: frozenset[str], faults: tuple[str, ...], told: tuple[str, ...] = ()) -> None:
        super().__init__()
        self.state, self.faults, self.told = state, faults, told


class PlanReady(Message):
    """A worker has planned the text of that number, with that kind of faults."""

    def __init__(self, number: int, plan: Plan, faults: str) -> None:
        super().__init__()
        self.number, self.plan, self.faults = number, plan, faults


class DraftFailed(Message):
    """The draft could not be written."""

    def __init__(self, why: str) -> None:
        super().__init__()
        self.why = why


class RunFaults(Message):
    """Run the faults of a kind ("single" | "double"), or "" to give up the run under way."""

    def __init__(self, kind: str) -> None:
        super().__init__()
        self.kind = kind


class PlanFailed(Message):
    """The text of that number has problems, or the engine broke (error)."""

    def __init__(
        self, number: int, problems: tuple[Problem, ...], error: str, catalog: Catalog | None, faults: str
    ) -> None:
        super().__init__()
        self.number, self.problems, self.error = number, problems, error
        self.catalog, self.faults = catalog, faults


class Running(Message):
    """How far a long run is."""

    def __init__(self, done: int, total: int) -> None:
        super().__init__()
        self.done, self.total = done, total


class Hint(Message):
    """A line about the thing under the cursor."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.text = text


@dataclass(frozen=True)
class Ask:
    """One question for the editor line. done: called with the value and the step to take next
    (-1, 0 or 1); choices: (word, note) pairs to complete from."""

    label: str
    field: Field
    value: str
    done: Callable[[Any, int], None]
    back: Widget | None
    choices: tuple[tuple[str, str], ...] = ()
    hint: str = ""


class Asked(Message):
    """Open the editor line with a question."""

    def __init__(self, ask: Ask) -> None:
        super().__init__()
        self.ask = ask
