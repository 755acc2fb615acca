"""The job pack as one HTML page: nothing is fetched, nothing runs; prints, and reads on a phone."""

from __future__ import annotations

from html import escape
from importlib import resources

from wiring.sheets.sheet import Block, Figure, Heading, Labels, Sheet, Table, Text
from wiring.sheets.words import clean

# even if markup slipped through, the browser would run and fetch nothing
POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:"


def html_page(sheets: tuple[Sheet, ...]) -> str:
    """All sheets with a contents list, in one file."""
    head = sheets[0].head
    style = resources.files("wiring.sheets").joinpath("page.css").read_text("utf-8")
    contents = "".join(f'<li><a href="#{esc(s.id)}">{esc(s.title)}</a></li>' for s in sheets)
    example = f'<p class="example">{esc(head.example)}</p>' if head.example else ""
    return (
        '<!doctype html>\n<html lang="en"><head><meta charset="utf-8">'
        f'<meta http-equiv="Content-Security-Policy" content="{escape(POLICY)}">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f'<link rel="icon" href="data:,"><title>{esc(head.job)}</title>'
        f"<style>{style}{pages(sheets)}</style></head><body>"
        f'<header>{example}<p class="caution">{esc(head.caution)}</p>'
        f"<p>{esc(head.job)} · {esc(head.stage)} · digest {esc(head.digest)}</p></header>"
        f'<nav aria-label="Contents"><ol>{contents}</ol></nav><main>'
        + "".join(section(sheet, number) for number, sheet in enumerate(sheets, 1))
        + f'</main><footer><p class="caution">{esc(head.caution)}</p></footer></body></html>\n'
    )


def page_name(figure: Figure) -> str:
    """A name for the size of paper of a drawing, for the style sheet."""
    return f"paper-{figure.width:.0f}-{figure.height:.0f}"


def pages(sheets: tuple[Sheet, ...]) -> str:
    """Style that prints every drawing on paper of its own size."""
    figures = [block for sheet in sheets for block in sheet.blocks if isinstance(block, Figure)]
    sizes = {page_name(figure): (figure.width, figure.height) for figure in figures}
    return "".join(
        f"@page {name} {{ size: {wide}mm {high}mm; margin: 0; }}\n"
        f"@media print {{ .{name} {{ page: {name}; }} .{name} svg {{ height: {high - 0.5}mm; }} }}\n"
        for name, (wide, high) in sizes.items()
    )


def esc(text: str) -> str:
    """Text of the job as text of a page."""
    return escape(clean(text), quote=True)


def section(sheet: Sheet, number: int) -> str:
    """One sheet with its own example mark and caution; drawings, which carry both, behind it."""
    head = sheet.head
    example = f'<p class="example">{esc(head.example)}</p>' if head.example else ""
    told = [(b, block_html(b, f"s{number}b{index}")) for index, b in enumerate(sheet.blocks)]
    blocks = "".join(text for block, text in told if not isinstance(block, Figure))
    drawings = "".join(text for block, text in told if isinstance(block, Figure))
    card = ' class="card"' if sheet.card else ""
    return (
        f'<section id="{esc(sheet.id)}"{card}><h1>{number}. {esc(sheet.title)}</h1>{example}{blocks}'
        f'<p class="caution foot">{esc(head.caution)}</p>{drawings}</section>'
    )


def block_html(block: Block, id: str) -> str:
    """One block of a sheet. id: prefix for names inside a drawing, which must differ on one page."""
    if isinstance(block, Text):
        return f'<p class="{block.style}">{esc(block.text)}</p>'
    if isinstance(block, Heading):
        return f"<h2>{esc(block.text)}</h2>"
    if isinstance(block, Labels):
        kind = "signs" if block.wide else "tags"
        boxes = "".join(
            "<li><b>"
            + esc(label[0])
            + "</b>"
            + "".join(f"<span>{esc(t)}</span>" for t in label[1:])
            + "</li>"
            for label in block.labels
        )
        return f'{titled(block.title)}<ul class="{kind}">{boxes}</ul>'
    if isinstance(block, Figure):
        drawing = block.svg.partition("?>")[2] if block.svg.startswith("<?xml") else block.svg
        for name in ("drawing-title", "drawing-text"):
            drawing = drawing.replace(name, f"{id}-{name}")
        kind = f"drawing {page_name(block)}"
        return f'<div class="{kind}"><h2>{esc(block.title)}</h2><figure>{drawing}</figure></div>'
    return table_html(block)


def titled(title: str) -> str:
    """A heading, nothing without a title."""
    return f"<h2>{esc(title)}</h2>" if title else ""


def table_html(table: Table) -> str:
    """A table whose cells carry their column's name, so that a narrow screen can stack them."""
    if not table.rows:
        return f'{titled(table.title)}<p class="empty">{esc(table.empty)}</p>'
    heads = [esc(c) for c in table.columns]
    top = "<thead><tr>" + "".join(f'<th scope="col">{h}</th>' for h in heads) + "</tr></thead>"
    rows = "".join(
        "<tr>"
        + "".join(f'<td data-head="{h}">{esc(cell)}</td>' for h, cell in zip(heads, row, strict=True))
        + "</tr>"
        for row in table.rows
    )
    kind = ' class="form"' if table.form else ""
    return f"{titled(table.title)}<table{kind}>{top if any(heads) else ''}<tbody>{rows}</tbody></table>"
