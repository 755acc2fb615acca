"""Things to hold and things to turn on the bench. What a hand holds springs back, whatever happens."""

from __future__ import annotations

from typing import ClassVar

from textual import events
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.message import Message
from textual.widgets import Static

from tui.twin import Control

MOVES: list[BindingType] = [
    Binding("right", "near(1, 0)", "next", show=False),
    Binding("left", "near(-1, 0)", "before", show=False),
    Binding("down", "near(0, 1)", "below", show=False),
    Binding("up", "near(0, -1)", "above", show=False),
]


class Knob(Static, can_focus=True):
    """Base: a label of one line that takes the focus; arrow keys go to the nearest other one."""

    def __init__(self, label: str) -> None:
        super().__init__("", markup=False, classes="knob")
        self.label = label

    def draw(self, on: bool, word: str = "") -> None:
        """Show the label with its sign: filled while on."""
        self.set_class(on, "on")
        self.update(Content(f"{'●' if on else '○'} {self.label}{f' {word}' if word else ''}"))

    def action_near(self, dx: int, dy: int) -> None:
        """Focus the nearest knob in a direction."""
        here = self.region.center

        def far(other: Knob) -> float:
            x, y = other.region.center
            along = (x - here[0]) * dx + (y - here[1]) * dy * 4
            across = abs((x - here[0]) * dy) + abs((y - here[1]) * dx * 4)
            return along + 3 * across if along > 0 else float("inf")

        others = [one for one in self.screen.query(Knob) if one is not self and one.display]
        best = min(others, key=far, default=None)
        if best is not None and far(best) < float("inf"):
            self.screen.set_focus(best)


class HoldKey(Knob):
    """A key: held while the mouse button is down on it, latched with Space.

    It is let go when the mouse button comes up, and also when that may have been missed: the
    pointer slides off, moves with no button down, another program or screen comes to the front,
    the capture is taken away, the key goes out of sight.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("space,enter", "latch", "hold"),
        Binding("escape", "let_go", "let go of all", show=False),
        *MOVES,
    ]

    class Held(Message):
        """Pressed, by mouse or latch."""

        def __init__(self, control: Control) -> None:
            super().__init__()
            self.key = control

    class Released(Message):
        """Let go."""

        def __init__(self, control: Control, everything: bool = False) -> None:
            super().__init__()
            self.key, self.everything = control, everything

    def __init__(self, control: Control) -> None:
        super().__init__(control.label)
        self.held = control
        self.by_mouse = False
        self.latched = False

    def show(self, on: bool) -> None:
        """Follow what the bench says."""
        if not on:
            self.latched = False
        self.set_class(self.latched, "latched")
        self.draw(on, "held" if on and not self.latched else "latched" if on else "")

    def on_mouse_down(self, event: events.MouseDown) -> None:
        if event.button != 1 or self.by_mouse:
            return
        event.stop()
        self.focus()
        self.by_mouse = True
        self.latched = False
        self.capture_mouse()
        self.post_message(self.Held(self.held))

    def spring(self) -> None:
        """The hand is off: let go of what the mouse held."""
        if not self.by_mouse:
            return
        self.by_mouse = False
        self.release_mouse()
        self.post_message(self.Released(self.held))

    def on_mouse_up(self, event: events.MouseUp) -> None:
        self.spring()

    def on_mouse_move(self, event: events.MouseMove) -> None:
        inside = self.region.contains(int(event.screen_x), int(event.screen_y))
        if event.button == 0 or not inside:
            self.spring()

    def on_mouse_release(self, event: events.MouseRelease) -> None:
        self.spring()

    def on_leave(self, event: events.Leave) -> None:
        self.spring()

    def on_blur(self, event: events.Blur) -> None:
        self.spring()

    def on_hide(self, event: events.Hide) -> None:
        self.spring()

    def on_unmount(self) -> None:
        self.by_mouse = False

    def action_latch(self) -> None:
        """Hold without a hand on it, or let go."""
        if self.latched:
            self.latched = False
            self.post_message(self.Released(self.held))
        else:
            self.latched = True
            self.post_message(self.Held(self.held))

    def action_let_go(self) -> None:
        self.latched = False
        self.post_message(self.Released(self.held, everything=True))


class Turn(Knob):
    """A toggle: Space, Enter or a click turns it."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("space,enter", "turn", "turn"), *MOVES]

    class Turned(Message):
        def __init__(self, id: str) -> None:
            super().__init__()
            self.turned = id

    def __init__(self, id: str, label: str) -> None:
        super().__init__(label)
        self.turned = id

    def on_click(self, event: events.Click) -> None:
        event.stop()
        self.action_turn()

    def action_turn(self) -> None:
        self.post_message(self.Turned(self.turned))
