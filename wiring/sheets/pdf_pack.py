"""The job pack as one PDF: sheets as data, one template, own fonts, the job's date; same job, same bytes."""

from __future__ import annotations

import datetime
import json
import re
import tempfile
from dataclasses import replace
from importlib import resources
from pathlib import Path
from typing import Any

from wiring.sheets.columns import widths
from wiring.sheets.sheet import Block, Figure, Heading, Labels, Sheet, Table, Text
from wiring.sheets.words import clean

PAPERS = {"a4": "a4", "letter": "us-letter"}
EPOCH = datetime.date(2000, 1, 1)  # of a pack whose job has no date


def pdf_pack(sheets: tuple[Sheet, ...], date: datetime.date | None, paper: str) -> bytes:
    """All sheets as one PDF with contents and page numbers. paper: a4 | letter.

    Raises ValueError for another paper.
    """
    if paper not in PAPERS:
        raise ValueError(f"paper: found {paper!r}; allowed: {', '.join(PAPERS)}")
    import typst  # heavy: only when a page is made

    with tempfile.TemporaryDirectory() as name, resources.as_file(resources.files("wiring.sheets")) as home:
        folder = Path(name)
        data = document(sheets, date or EPOCH, paper, folder)
        (folder / "data.json").write_text(json.dumps(data), encoding="utf-8")
        (folder / "pack.typ").write_text((home / "pack.typ").read_text("utf-8"), encoding="utf-8")
        made: object = typst.compile(
            str(folder / "pack.typ"),
            root=name,
            format="pdf",
            font_paths=[str(home / "fonts")],
            ignore_system_fonts=True,
        )
    assert isinstance(made, bytes)
    return made


def document(sheets: tuple[Sheet, ...], date: datetime.date, paper: str, folder: Path) -> dict[str, Any]:
    """What the template reads. Drawings are written beside it as SVG files."""
    head = sheets[0].head
    return {
        "title": clean(head.job),
        "job": clean(head.job),
        "example": head.example,
        "caution": head.caution,
        "line": clean(f"{head.stage} · digest {head.digest} · revision {head.revision} · {head.date}"),
        "year": date.year,
        "month": date.month,
        "day": date.day,
        "paper": PAPERS[paper],
        "drawings": drawings_note(sheets),
        "sheets": [_sheet(sheet, folder) for sheet in sheets],
    }


def drawings_note(sheets: tuple[Sheet, ...]) -> str:
    """At what size the drawings are to be printed; "" without drawings."""
    figures = [block for sheet in sheets for block in sheet.blocks if isinstance(block, Figure)]
    sizes = sorted({f"{figure.width:.0f} x {figure.height:.0f} mm" for figure in figures})
    return f"Drawings are sheets of {' and '.join(sizes)}: print them at that size." if sizes else ""


def _sheet(sheet: Sheet, folder: Path) -> dict[str, Any]:
    """Runs of blocks that share a page; a drawing is a run of its own."""
    runs: list[dict[str, Any]] = []
    for block in sheet.blocks:
        if isinstance(block, Figure):
            file = f"figure-{len(list(folder.glob('*.svg')))}.svg"
            (folder / file).write_text(block.svg, encoding="utf-8")
            size = {"file": file, "width": block.width, "height": block.height, "alt": clean(block.alt)}
            runs.append({"figure": True, "block": size})
            continue
        if not runs or runs[-1]["figure"]:
            runs.append({"figure": False, "blocks": []})
        runs[-1]["blocks"].append(block_data(block, sheet))
    return {
        "title": clean(sheet.title),
        "landscape": sheet.landscape,
        "card": sheet.card,
        "scale": scale_of(sheet),
        "runs": runs,
    }


def scale_of(sheet: Sheet) -> float:
    """How much smaller a card with many keys is set, so that it stays one page."""
    rows = sum(len(block.rows) for block in sheet.blocks if isinstance(block, Table))
    return CROWDED if sheet.card and rows > ROOMY else 1.0


def block_data(block: Block, sheet: Sheet) -> dict[str, Any]:
    """One block as JSON. Tables of a sheet with the same columns get the same widths."""
    if isinstance(block, Text):
        return {"kind": "text", "style": block.style, "text": clean(block.text)}
    if isinstance(block, Heading):
        return {"kind": "heading", "text": clean(block.text)}
    if isinstance(block, Labels):
        labels = [[clean(line) for line in label] for label in block.labels]
        longest = max((len(line) for label in labels for line in label), default=0)
        across = 2 if block.wide else (5 if longest <= NARROW else 4)
        return {"kind": "labels", "title": clean(block.title), "wide": block.wide, "across": across,
                "labels": labels}  # fmt: skip
    assert isinstance(block, Table)
    alike = [b for b in sheet.blocks if isinstance(b, Table) and b.columns == block.columns]
    rows = tuple(row for table in alike for row in table.rows)
    shares, size = widths(replace(block, rows=rows), sheet.landscape, sheet.card)
    return {
        "kind": "table",
        "title": clean(block.title),
        "columns": [clean(c) for c in block.columns],
        "header": any(block.columns),
        "rows": [[soft(clean(cell)) for cell in row] for row in block.rows],
        "widths": shares,
        "size": size * scale_of(sheet),
        "empty": clean(block.empty),
        "form": block.form,
    }


ROOMY = 10  # rows that a card holds in full size
CROWDED = 0.8
NARROW = 21  # characters of a wire label up to which five stand abreast
LONGEST = 30  # characters that no column is made wide enough for
PIECES = re.compile(r"[^-/.:]+[-/.:]*|[-/.:]+")
SOFT = "\u200b"  # a place to break without a mark


def soft(text: str) -> str:
    """Text in which an overlong word may break; others stay whole, so that a search finds them."""
    return " ".join(_soft(word) if len(word) > LONGEST else word for word in text.split(" "))


def _soft(word: str) -> str:
    """Breaks between the parts of a name; inside a part only where it is overlong itself."""
    half = LONGEST // 2
    pieces = [
        piece[i : i + half] if len(piece) > LONGEST else piece
        for piece in PIECES.findall(word)
        for i in (range(0, len(piece), half) if len(piece) > LONGEST else (0,))
    ]
    return SOFT.join(pieces)
