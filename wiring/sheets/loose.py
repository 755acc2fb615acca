"""The sheets as loose files: text, tables as CSV, drawings as SVG, named for their sheets."""

from __future__ import annotations

from wiring.sheets.csv_text import csv_files
from wiring.sheets.plain_text import plain_text
from wiring.sheets.sheet import Figure, Sheet


def loose_files(sheets: tuple[Sheet, ...]) -> dict[str, str]:
    """File name to content, in the order of the pack."""
    found: dict[str, str] = {}
    for sheet in sheets:
        found[f"{sheet.id}.txt"] = plain_text(sheet)
        found |= csv_files(sheet)
        pictures = [block for block in sheet.blocks if isinstance(block, Figure)]
        for number, figure in enumerate(pictures, 1):
            found[f"{sheet.id}.svg" if len(pictures) == 1 else f"{sheet.id}-{number}.svg"] = figure.svg
    return found
