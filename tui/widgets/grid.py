"""A list of tables of the job as a grid: one entry a row, one key a column."""

from __future__ import annotations

from typing import Any, ClassVar

from rich.text import Text
from textual import on
from textual.binding import Binding, BindingType
from textual.coordinate import Coordinate
from textual.widgets import DataTable

from tui import door
from tui.choices import choices_for, ids
from tui.fields import Field, fields_of, shown
from tui.hints import hint
from tui.messages import Ask, Asked, EditJob, Hint
from tui.sight import Sight
from tui.theme import hex_of
from tui.widgets.swatch import swatch
from tui.widgets.table import Table, cell
from tui.writing import free_id, setting, told
from wiring.model.finding import Verdict

OPTIONAL = ("rating.", "parts.", "source", "number", "second", "why", "print", "where", "size", "conductor")
WIDEST = 34

NONE_YET = "nothing here yet: a adds one"


class Grid(Table):
    """Enter edits the cell under the cursor, `a` adds an entry, `d` takes one out."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("e", "edit", "edit", show=False),
        Binding("a,insert", "add", "add"),
        Binding("d", "take_out", "take out"),
        Binding("delete,backspace", "forget", "set to unknown", show=False),
    ]

    def __init__(self, block: str, leave: tuple[str, ...] = (), id: str | None = None) -> None:
        super().__init__(cursor_type="cell", zebra_stripes=False, id=id)
        self.block, self.leave = block, leave
        self.fields: list[Field] = []
        self.wanted: int | None = None  # the row to stand on once the new entry is there
        self.sight: Sight | None = None

    @property
    def rows_of_job(self) -> list[dict[str, Any]]:
        rows = self.sight.open.at(self.block) if self.sight else None
        return [row for row in rows if isinstance(row, dict)] if isinstance(rows, list) else []

    def show_sight(self, sight: Sight) -> None:
        """Show the entries as they are now."""
        self.sight = sight
        if not self.fields:
            self.fields = [f for f in fields_of(door.schema(), self.block) if f.path not in self.leave]
        head = [*(field.label for field in self.fields), *self.extra_head()]
        self.show(head, [self._row(n) for n in range(len(self.rows_of_job))])
        if self.wanted is not None and self.wanted < self.row_count:
            self.cursor_coordinate = Coordinate(self.wanted, min(1, len(self.fields) - 1))
            self.wanted = None

    def extra_head(self) -> tuple[str, ...]:
        """Columns that a step adds: looked up, not edited."""
        return ()

    def extra(self, number: int) -> tuple[Text, ...]:
        return ()

    def path(self, row: int, field: Field) -> str:
        return f"{self.block}.{row}.{field.path}"

    def _row(self, number: int) -> list[Text]:
        return [*(self._cell(number, field) for field in self.fields), *self.extra(number)]

    def _cell(self, row: int, field: Field) -> Text:
        assert self.sight is not None
        path = self.path(row, field)
        text = shown(self.sight.open.at(path))
        theme = self.app.current_theme
        if self.sight.problem_at(path) is not None:
            return cell(f"✗ {text}"[:WIDEST], hex_of(theme, Verdict.FAIL))
        if not text:
            if field.path.startswith(OPTIONAL):
                return cell("·", "dim")
            return cell("?", hex_of(theme, Verdict.UNKNOWN))
        if field.path == "colour":
            return Text.assemble(swatch(text), cell(f" {text}"))
        return cell(text if len(text) <= WIDEST else text[: WIDEST - 3] + "...")

    def here(self) -> tuple[int, Field] | None:
        """Entry number and field under the cursor."""
        row, column = self.cursor_coordinate
        if row < len(self.rows_of_job) and column < len(self.fields):
            return row, self.fields[column]
        return None

    @on(DataTable.CellHighlighted)
    def _moved(self, event: DataTable.CellHighlighted) -> None:
        event.stop()
        here = self.here()
        if here is None:
            self.screen.post_message(Hint("" if self.rows_of_job else NONE_YET))
            return
        problem = self.sight.problem_at(self.path(*here)) if self.sight else None
        whole = shown(self.sight.open.at(self.path(*here))) if self.sight else ""
        line = hint(self.block, here[1].path)
        if problem is not None:
            line = f"✗ found {problem.found}; allowed: {problem.allowed}"
        elif len(whole) > WIDEST:
            line = whole
        self.screen.post_message(Hint(line))

    def on_focus(self) -> None:
        if not self.rows_of_job:
            self.screen.post_message(Hint(NONE_YET))

    @on(DataTable.CellSelected)
    def _entered(self, event: DataTable.CellSelected) -> None:
        event.stop()
        self.action_edit()

    def action_edit(self) -> None:
        """Ask for the value under the cursor, or for a new entry where there is none."""
        here = self.here()
        if self.sight is None or (here is None and self.rows_of_job):
            return
        if here is None:
            self.action_add()
            return
        row, field = here
        path = self.path(row, field)

        def done(value: Any, move: int) -> None:
            self.set(path, value)
            if move:
                self.step(move)
                self.action_edit()

        self._ask(f"{self.name_of(row)} {field.label}", field, shown(self.sight.open.at(path)), done)

    def _ask(self, label: str, field: Field, value: str, done: Any) -> None:
        assert self.sight is not None
        choices = choices_for(self.block, field, self.sight)
        self.screen.post_message(
            Asked(Ask(label, field, value, done, self, choices, hint(self.block, field.path)))
        )

    def name_of(self, row: int) -> str:
        return f"{self.block} {self.rows_of_job[row].get('id', row + 1)}"

    def set(self, path: str, value: Any) -> None:
        assert self.sight is not None
        edits = setting(self.sight.open, path, value)
        if edits:
            self.screen.post_message(EditJob(edits, told(path)))

    def step(self, by: int) -> None:
        """The next cell; from the end of a row to the beginning of the next."""
        row, column = self.cursor_coordinate
        at = row * len(self.fields) + column + by
        row, column = divmod(at % max(1, len(self.fields) * len(self.rows_of_job)), len(self.fields))
        self.cursor_coordinate = Coordinate(row, column)

    def action_forget(self) -> None:
        here = self.here()
        if here is not None and not here[1].required:
            self.set(self.path(*here), None)

    def action_take_out(self) -> None:
        """Take the entry under the cursor out of the job; undo brings it back."""
        row = self.cursor_coordinate.row
        if row < len(self.rows_of_job):
            name = self.name_of(row)
            self.screen.post_message(EditJob([door.remove_entry(f"{self.block}.{row}")], f"{name} taken out"))

    def action_add(self) -> None:
        """Ask for what an entry must have, one question after the other, then add it."""
        if self.sight is None:
            return
        must = [field for field in self.fields if field.required] or self.fields[:1]
        self._ask_next(must, {})

    def _ask_next(self, left: list[Field], so_far: dict[str, Any]) -> None:
        field = left[0]
        proposed = ""
        if field.path == "id" and self.sight is not None:
            example = field.examples[0] if field.examples else "1"
            proposed = free_id(ids(self.sight, self.block), example if self.block != "core" else "1")

        def done(value: Any, move: int) -> None:
            if value is None:
                return
            known = {**so_far, field.path: value}
            if len(left) > 1:
                self._ask_next(left[1:], known)
            else:
                self._add(known)

        self._ask(f"new {self.block}: {field.label}", field, proposed, done)

    def _add(self, entry: dict[str, Any]) -> None:
        number = len(self.rows_of_job)
        self.screen.post_message(
            EditJob([door.add_entry(self.block, entry)], f"{self.block} {number + 1} added")
        )
        self.wanted = number

    def go_to(self, path: str) -> bool:
        """Put the cursor on a key path of this list; False where it is not one of these."""
        if path != self.block and not path.startswith(f"{self.block}."):
            return False
        row, _, key = path[len(self.block) + 1 :].partition(".")
        if row and not row.isdigit():
            return False
        column = next(
            (n for n, f in enumerate(self.fields) if f.path == key or f.path.startswith(f"{key}.")), 0
        )
        if self.row_count:
            self.cursor_coordinate = Coordinate(min(int(row or 0), self.row_count - 1), column)
        self.focus()
        return True
