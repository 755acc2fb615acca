"""Single tables of the job, key by key: what is known, what is unknown, what is wrong."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

from rich.text import Text
from textual import on
from textual.binding import Binding, BindingType
from textual.widgets import DataTable

from tui import door
from tui.choices import choices_for
from tui.fields import Field, fields_of, shown
from tui.hints import hint
from tui.messages import Ask, Asked, EditJob, Hint
from tui.sight import Sight
from tui.theme import hex_of
from tui.widgets.table import Table, cell
from tui.writing import setting, told
from wiring.model.finding import Verdict

LABEL = 26


@dataclass(frozen=True, slots=True)
class Line:
    """A row: a key of a block, or a heading where field is None."""

    block: str
    field: Field | None

    @property
    def path(self) -> str:
        return f"{self.block}.{self.field.path}" if self.field else self.block


class Ledger(Table):
    """Keys of one or more tables of the job under their headings; Enter edits the value in place."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("e", "edit", "edit", show=False),
        Binding("delete,backspace", "forget", "set to unknown", show=False),
    ]

    def __init__(self, *blocks: str, leave: tuple[str, ...] = (), id: str | None = None) -> None:
        super().__init__(cursor_type="row", show_header=False, id=id, zebra_stripes=False)
        self.blocks, self.leave = blocks, leave
        self.lines: list[Line] = []
        self.sight: Sight | None = None

    def show_sight(self, sight: Sight) -> None:
        """Show the job as it is now."""
        self.sight = sight
        if not self.lines:
            self.lines = [line for block in self.blocks for line in self._lines(block)]
        self.show(("", "", ""), [self._row(line) for line in self.lines])
        if self.row_count and self.lines[self.cursor_row].field is None:
            self.move_cursor(row=self.cursor_row + 1)

    def _lines(self, block: str) -> list[Line]:
        fields = [f for f in fields_of(door.schema(), block) if f"{block}.{f.path}" not in self.leave]
        head = [Line(block, None)] if len(self.blocks) > 1 else []
        return head + [Line(block, field) for field in fields]

    def _row(self, line: Line) -> tuple[Text, Text, Text]:
        if line.field is None:
            return cell(""), cell(line.block.upper(), "bold"), cell("")
        assert self.sight is not None
        label = cell(f"{line.field.label:<{LABEL}}")
        problem = self.sight.problem_at(line.path)
        text = shown(self.sight.open.at(line.path))
        theme = self.app.current_theme
        if problem is not None:
            red = hex_of(theme, Verdict.FAIL)
            return cell("✗", red), label, cell(f"{text}  {problem.found}; allowed: {problem.allowed}", red)
        if not text:
            return cell("?", hex_of(theme, Verdict.UNKNOWN)), label, cell("unknown", "italic dim")
        return cell(" "), label, cell(text)

    def line_here(self) -> Line | None:
        row = self.cursor_row
        return self.lines[row] if 0 <= row < len(self.lines) else None

    @on(DataTable.RowHighlighted)
    def _moved(self, event: DataTable.RowHighlighted) -> None:
        event.stop()
        line = self.line_here()
        if line is not None and line.field is not None:
            self.screen.post_message(Hint(hint(line.block, line.field.path)))

    @on(DataTable.RowSelected)
    def _entered(self, event: DataTable.RowSelected) -> None:
        event.stop()
        self.action_edit()

    def action_edit(self) -> None:
        """Ask for the value under the cursor."""
        line = self.line_here()
        if line is None or line.field is None or self.sight is None:
            return
        field = line.field

        def done(value: Any, move: int) -> None:
            self.set(line, value)
            if move:
                self.step(move)
                self.action_edit()

        self.screen.post_message(
            Asked(
                Ask(
                    field.label, field, shown(self.sight.open.at(line.path)), done, self,
                    choices_for(line.block, field, self.sight), hint(line.block, field.path),
                )
            )
        )  # fmt: skip

    def set(self, line: Line, value: Any) -> None:
        assert self.sight is not None
        edits = setting(self.sight.open, line.path, value)
        if edits:
            self.screen.post_message(EditJob(edits, told(line.path)))

    def step(self, by: int) -> None:
        """Move to the next key in that direction, over headings, round at the end."""
        row = self.cursor_row
        for _ in self.lines:
            row = (row + by) % len(self.lines)
            if self.lines[row].field is not None:
                self.move_cursor(row=row)
                return

    def action_forget(self) -> None:
        line = self.line_here()
        if line is not None and line.field is not None and not line.field.required:
            self.set(line, None)

    def go_to(self, path: str) -> bool:
        """Put the cursor on a key path; False where it is not one of these."""
        for row, line in enumerate(self.lines):
            if line.field is not None and (line.path == path or line.path.startswith(f"{path}.")):
                self.move_cursor(row=row)
                self.focus()
                return True
        return False
