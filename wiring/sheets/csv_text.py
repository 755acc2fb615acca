"""Tables and labels of a sheet as CSV in which no cell can act as a formula."""

from __future__ import annotations

import csv
import io
import re

from wiring.sheets.sheet import Head, Labels, Sheet, Table
from wiring.sheets.words import clean

#: First characters that a spreadsheet takes as the start of a formula, their wide twins included.
FORMULA = frozenset("=+-@＝＋－＠\t\r|%")
NUMBER = re.compile(r"[+-]?[0-9]+(\.[0-9]+)?")
DASH = "-"


def csv_files(sheet: Sheet) -> dict[str, str]:
    """File name to content, one file for each table or set of labels that has rows."""
    found: dict[str, str] = {}
    for block in sheet.blocks:
        if isinstance(block, Table) and block.rows:
            rows = [block.columns, *block.rows] if any(block.columns) else list(block.rows)
        elif isinstance(block, Labels) and block.labels:
            longest = max(len(label) for label in block.labels)
            rows = [(*label, *("",) * (longest - len(label))) for label in block.labels]
        else:
            continue
        number = len(found) + 1
        name = f"{sheet.id}.csv" if number == 1 else f"{sheet.id}-{number}.csv"
        found[name] = csv_text(rows, sheet.head, block.title or sheet.title)
    return found


def csv_text(rows: list[tuple[str, ...]], head: Head, title: str) -> str:
    """Rows with comment lines before them: example mark, what it is, caution."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    notes = (head.example, f"{head.job}, {title}, digest {head.digest}", head.caution)
    for note in notes:
        if note:
            writer.writerow([f"# {clean(note)}"])
    for row in rows:
        writer.writerow([cell_text(cell) for cell in row])
    return out.getvalue()


def cell_text(cell: str) -> str:
    """A cell without control characters; what a spreadsheet would compute gets an apostrophe before it."""
    text = clean(cell)
    bare = text.strip()
    if bare[:1] in FORMULA and bare and bare != DASH and not NUMBER.fullmatch(bare):
        return f"'{text}"
    return text
