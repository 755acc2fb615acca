"""Two columns of points: pick one on the left, one on the right, and they are connected."""

from __future__ import annotations

from typing import Any, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from tui import door
from tui.choices import choices_for, points
from tui.fields import Field, fields_of
from tui.messages import Ask, Asked, EditJob, Hint
from tui.sight import Sight
from tui.widgets.landing import lands, rows
from tui.widgets.since import since
from tui.widgets.swatch import SHADES
from wiring.sheets.words import clean

NEAR = ("core:", "plug:", "hoist:")


class Points(OptionList):
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("right", "other", "other column", show=False),
        Binding("left", "other", "other column", show=False),
        Binding("d,delete", "part", "part"),
        Binding("escape", "forget", "forget the start", show=False),
    ]

    def action_other(self) -> None:
        self.query_ancestor(Columns).other(self)

    def action_part(self) -> None:
        self.query_ancestor(Columns).part(self)

    def action_forget(self) -> None:
        self.query_ancestor(Columns).mark("")


class Columns(Vertical):
    """Enter or a click picks the start, Enter or a click on the other side connects; `d` parts."""

    def __init__(self) -> None:
        super().__init__()
        self.sight: Sight | None = None
        self.names: dict[str, list[str]] = {"left": [], "right": []}
        self.start = ""

    def compose(self) -> ComposeResult:
        yield Static("", markup=False, id="start", classes="note")
        with Horizontal(id="columns"):
            yield Points(id="left", markup=False)
            yield Points(id="right", markup=False)
        yield Static("", markup=False, id="since", classes="note")

    def show_sight(self, sight: Sight) -> None:
        """List points with where they land; hoist side first on the left, added things on the right."""
        self.sight = sight
        found = points(sight)
        near = [one for one in found if one[0].startswith(NEAR)]
        far = [one for one in found if not one[0].startswith(NEAR)]
        for id, listed in (("left", near + far), ("right", far + near)):
            column = self.query_one(f"#{id}", Points)
            at = column.highlighted
            column.clear_options()
            self.names[id] = [name for name, _ in listed]
            for name, note in listed:
                column.add_option(Option(self._line(name, note)))
            if listed:
                column.highlighted = min(at or 0, len(listed) - 1)
        self.mark(self.start if self.start in self.names["left"] else "")
        told = since(sight)
        self.query_one("#since").display = bool(told.plain)
        self.query_one("#since", Static).update(told)

    def _line(self, name: str, note: str) -> Content:
        """Point, what it is, where it lands; a core has its colour in front of its name."""
        assert self.sight is not None
        ends = lands(self.sight.open.data, name)
        landed = f" → {', '.join(ends)}" if ends else ""
        shade = (
            SHADES.get(note.partition(" ")[0].partition("/")[0].casefold())
            if name.startswith("core:")
            else None
        )
        sleeve = ("■ ", shade) if shade else ("  ", "")
        return Content.assemble(
            sleeve,
            (clean(name), "bold" if ends else ""),
            (clean(landed), "$text-success"),
            (f"  {clean(note)}", "$secondary"),
        )

    def mark(self, start: str) -> None:
        """Remember where a connection begins and say what to do next."""
        self.start = start
        text = (
            f"from {start}: pick the other end · Esc forgets it"
            if start
            else "Pick a point, then the point it is connected to."
        )
        self.query_one("#start", Static).update(Content(clean(text)))

    @on(OptionList.OptionSelected)
    def _picked(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        side = event.option_list.id or ""
        name = self.names[side][event.option_index]
        if not self.start:
            self.mark(name)
            self.screen.set_focus(self.query_one("#right" if side == "left" else "#left"))
        elif name == self.start:
            self.mark("")
        else:
            self._connect(self.start, name)

    def _connect(self, start: str, end: str) -> None:
        """Ask for the conductor, then add the connection."""
        assert self.sight is not None
        field = next(f for f in fields_of(door.schema(), "connection") if f.path == "conductor")
        used = {str(row.get("conductor")) for row in rows(self.sight.open.data, "connection")}
        choices = tuple(c for c in choices_for("connection", field, self.sight) if c[0] not in used)

        def done(value: Any, move: int) -> None:
            entry = {"from": start, "to": end}
            if value is not None:
                entry["conductor"] = value
            self.mark("")
            self.screen.post_message(
                EditJob([door.add_entry("connection", entry)], f"{start} connected to {end}")
            )

        self.screen.post_message(Asked(self._question(f"{start} to {end} by", field, done, choices)))

    def _question(self, label: str, field: Field, done: Any, choices: tuple[tuple[str, str], ...]) -> Ask:
        hint = "conductor of a cable; Enter on nothing: a link inside one box"
        return Ask(label, field, "", done, self.query_one("#left"), choices, hint)

    @on(OptionList.OptionHighlighted)
    def _moved(self, event: OptionList.OptionHighlighted) -> None:
        event.stop()
        names = self.names.get(event.option_list.id or "", [])
        if event.option_index < len(names) and event.option_list.has_focus:
            name = names[event.option_index]
            ends = lands(self.sight.open.data if self.sight else None, name)
            self.screen.post_message(
                Hint(f"{name} lands on {', '.join(ends)}" if ends else f"{name}: nothing lands here")
            )

    def other(self, column: Points) -> None:
        self.screen.set_focus(self.query_one("#right" if column.id == "left" else "#left"))

    def part(self, column: Points) -> None:
        """Take out the last connection at the point under the cursor."""
        names = self.names[column.id or ""]
        if self.sight is None or column.highlighted is None or column.highlighted >= len(names):
            return
        name = names[column.highlighted]
        found = [
            n
            for n, r in enumerate(rows(self.sight.open.data, "connection"))
            if name in (r.get("from"), r.get("to"))
        ]
        if found:
            self.screen.post_message(
                EditJob([door.remove_entry(f"connection.{found[-1]}")], f"connection at {name} taken out")
            )
