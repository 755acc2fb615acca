"""A table of the job or of the plan: keeps its cursor when its rows are shown anew."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import ClassVar

from rich.cells import cell_len
from rich.text import Text
from textual.binding import Binding, BindingType
from textual.coordinate import Coordinate
from textual.widgets import DataTable

from wiring.sheets.words import clean

Cell = str | Text


def cell(text: object, style: str = "") -> Text:
    """Text of a file as a table cell: no markup, no control characters, one line."""
    return Text(clean(str(text)), style=style, no_wrap=True)


class Table(DataTable[Text]):
    """DataTable with plain text cells, home and end over the whole table, and kept cursor."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("home", "scroll_top", "first row", show=False),
        Binding("end", "scroll_bottom", "last row", show=False),
    ]

    def show(self, head: Sequence[str], rows: Iterable[Sequence[Cell]]) -> None:
        """Replace columns and rows; cursor and scroll stay where they were."""
        at, scroll = self.cursor_coordinate, self.scroll_offset
        filled = [[one if isinstance(one, Text) else cell(one) for one in row] for row in rows]
        self.clear(columns=True)
        for number, title in enumerate(head):  # widths are ours: the table's own come a turn late
            width = max((cell_len(row[number].plain) for row in filled), default=0)
            self.add_column(Text(title, no_wrap=True), width=max(1, width, cell_len(title)))
        for row in filled:
            self.add_row(*row)
        self.cursor_coordinate = Coordinate(
            max(0, min(at.row, self.row_count - 1)), max(0, min(at.column, len(head) - 1))
        )
        self.scroll_to(scroll.x, scroll.y, animate=False)
