"""A step of the work: one or more leaves, of which one is shown at a time."""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar, Protocol, runtime_checkable

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.events import Click
from textual.message import Message
from textual.widget import Widget
from textual.widgets import ContentSwitcher, Input, Static

from tui.messages import OnBench
from tui.sight import Sight
from tui.steps.order import Step


@runtime_checkable
class Shows(Protocol):
    """A part that can be shown the job."""

    def show_sight(self, sight: Sight) -> None: ...


@runtime_checkable
class Findable(Protocol):
    """A part that can put its cursor on a key of the job."""

    def go_to(self, path: str) -> bool: ...


ROOM = 62  # cells of leaf names that leave room for the longer hint on the smallest screen


class LeafBar(Static):
    """The names of a step's leaves in one line; the one shown is in brackets of its own."""

    class Picked(Message):
        def __init__(self, number: int) -> None:
            super().__init__()
            self.number = number

    def __init__(self, names: tuple[str, ...]) -> None:
        super().__init__("", markup=False, classes="leaves")
        self.names = names
        self.spans: list[tuple[int, int]] = []

    def show(self, current: int) -> None:
        self.spans, parts, at = [], [], 0
        for number, name in enumerate(self.names):
            word = f"▸{name}" if number == current else f" {name}"
            parts.append((word, "bold $primary" if number == current else "$secondary"))
            self.spans.append((at, at + len(word)))
            at += len(word) + 1
            parts.append((" ", ""))
        if len(self.names) > 1:
            parts.append((" [ ]" if at > ROOM else " [ ] other leaf", "$secondary"))
        self.update(Content.assemble(*parts))

    def on_click(self, event: Click) -> None:
        x = event.get_content_offset_capture(self).x
        for number, (left, right) in enumerate(self.spans):
            if left <= x < right:
                self.post_message(self.Picked(number))


class StepPane(Vertical):
    """Base of every step. Subclasses name their leaves: (name, how to make the part)."""

    LEAVES: ClassVar[tuple[tuple[str, Callable[[], Widget]], ...]] = ()

    def __init__(self, step: Step) -> None:
        super().__init__(id=step.id, classes="step")
        self.step = step
        self.sight: Sight | None = None
        self.leaf = 0
        self.stale: set[int] = set()

    def compose(self) -> ComposeResult:
        yield LeafBar(tuple(name for name, _ in self.LEAVES))
        yield ContentSwitcher(id=f"{self.step.id}-leaves")

    async def on_mount(self) -> None:
        await self._ensure(0)

    async def _ensure(self, number: int) -> Widget:
        """The part of a leaf, made when it is first looked at."""
        switcher = self.query_one(ContentSwitcher)
        id = f"{self.step.id}-leaf-{number}"
        found = next((one for one in switcher.children if one.id == id), None)
        if found is None:
            found = self.LEAVES[number][1]()
            found.id = id
            await switcher.mount(found)
            self.stale.add(number)
        self.leaf = number
        switcher.current = id
        self.query_one(LeafBar).show(number)
        self._freshen()
        return found

    def parts(self) -> list[Widget]:
        """Parts of the leaf that is shown, itself included."""
        switcher = self.query_one(ContentSwitcher)
        shown = switcher.visible_content
        return [shown, *shown.query("*")] if shown is not None else []

    def show_sight(self, sight: Sight) -> None:
        """Show job and plan in the leaf that is seen; the others when they are turned to."""
        self.sight = sight
        self.stale = set(range(len(self.LEAVES)))
        if self.is_mounted:
            self._freshen()

    def _freshen(self) -> None:
        if self.sight is None or self.leaf not in self.stale:
            return
        self.stale.discard(self.leaf)
        for part in self.parts():
            if isinstance(part, Shows):
                self.call_later(part.show_sight, self.sight)

    async def turn_by(self, by: int) -> None:
        """Turn to the next leaf and put the cursor there."""
        await self.turn((self.leaf + by) % len(self.LEAVES))

    async def turn(self, number: int) -> None:
        """Turn to a leaf by number."""
        await self._ensure(number)
        self.focus_first()

    async def on_leaf_bar_picked(self, event: LeafBar.Picked) -> None:
        event.stop()
        await self.turn(event.number)

    def focus_first(self) -> None:
        """Put the cursor on the first part of the leaf that takes it."""
        able = [part for part in self.parts() if part.focusable]
        first = next((part for part in able if not isinstance(part, Input)), None)
        if first is not None:
            self.screen.set_focus(first)

    async def put(self, wanted: OnBench) -> None:
        """Play a state; only the proof has a bench."""

    async def go_to(self, path: str) -> bool:
        """Find the leaf that edits a key path and put the cursor there."""
        for number in range(len(self.LEAVES)):
            await self._ensure(number)
            if any(isinstance(part, Findable) and part.go_to(path) for part in self.parts()):
                return True
        await self.turn(0)
        return False
