"""A sheet as plain text: fixed columns where they fit, one record below the other where they do not."""

from __future__ import annotations

import textwrap

from wiring.sheets.sheet import Block, Figure, Heading, Labels, Sheet, Table, Text
from wiring.sheets.words import clean, wrap

WIDTH = 100


def plain_text(sheet: Sheet) -> str:
    """Head, blocks, caution; no control character reaches the terminal."""
    head = sheet.head
    lines = [f"*** {head.example} ***"] if head.example else []
    lines += [
        clean(f"{head.job} · {head.stage}"),
        clean(f"digest {head.digest} · revision {head.revision} · {head.date}"),
        "",
        clean(sheet.title).upper(),
        "=" * len(sheet.title),
        "",
    ]
    told = ""
    for block in sheet.blocks:
        if isinstance(block, Figure):
            told, before = block.plain, told
            if before and before == block.plain:  # one text tells all sheets of a drawing
                continue
        lines += [*block_lines(block), ""]
    return "\n".join([*lines, wrap(head.caution, width=WIDTH)]) + "\n"


def block_lines(block: Block) -> list[str]:
    """One block as lines."""
    if isinstance(block, Text):
        mark = "! " if block.style == "strong" else ""
        return [wrap(mark + block.text, 0, len(mark), WIDTH)]
    if isinstance(block, Heading):
        return [clean(block.text), "-" * len(block.text)]
    if isinstance(block, Labels):
        boxes = ["  [" + " | ".join(clean(line) for line in label) + "]" for label in block.labels]
        return [clean(block.title), *boxes]
    if isinstance(block, Figure):
        # a drawing as text is set out already: its line breaks stay, nothing else that steers
        rows = [clean(line) for line in block.plain.split("\n")] or [clean(block.alt)]
        return [clean(block.title), *rows]
    return table_lines(block)


def table_lines(table: Table) -> list[str]:
    """A table in columns; records where a line would be too long."""
    title = [clean(table.title)] if table.title else []
    if not table.rows:
        return [*title, f"  {clean(table.empty)}"]
    rows = [[clean(cell) for cell in row] for row in table.rows]
    heads = [clean(c) for c in table.columns]
    wide = [max(len(r[i]) for r in [heads, *rows]) for i in range(len(heads))]
    if sum(wide) + 2 * len(wide) <= WIDTH:
        lines = [_line(row, wide) for row in rows]
        if any(heads):
            lines = [_line(heads, wide), _line(["-" * w for w in wide], wide), *lines]
        return [*title, *lines]
    return [*title, *(line for row in rows for line in _record(heads, row))]


def _line(cells: list[str], wide: list[int]) -> str:
    return "  " + "  ".join(cell.ljust(w) for cell, w in zip(cells, wide, strict=True)).rstrip()


def _record(heads: list[str], row: list[str]) -> list[str]:
    """One row as `head: cell` lines, the first cell in front."""
    indent = " " * 6
    lines = [f"  - {row[0]}"]
    for head, cell in zip(heads[1:], row[1:], strict=True):
        if cell:
            text = f"{head.lower()}: {cell}" if head else cell
            lines.append(textwrap.fill(text, WIDTH, initial_indent=indent, subsequent_indent=indent + "  "))
    return lines
