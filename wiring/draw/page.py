"""PNG and PDF: the SVG set on paper by typst, with its own fonts only and the job's date, so that the
same drawing gives the same bytes."""

from __future__ import annotations

import datetime
import math
import re
import tempfile
from pathlib import Path
from typing import Literal

from wiring.draw.frame import PAPERS
from wiring.draw.parts import Drawing
from wiring.draw.svg_writer import svg

EPOCH = datetime.date(2000, 1, 1)  # of a drawing whose job has no date

SHORT, HAIR = 0.3, 0.005  # what the image is lower, and narrower, than whole pixels [pixel]

TEMPLATE = """#let data = json("data.json")
#set document(title: data.title, date: datetime(year: data.year, month: data.month, day: data.day))
#set text(font: "DejaVu Sans Mono", lang: "en")
#for sheet in data.sheets {
  set page(width: sheet.width * 1mm, height: sheet.height * 1mm, margin: 0mm)
  image(sheet.file, width: sheet.wide * 1mm, height: sheet.high * 1mm, fit: "contain", alt: data.text)
}
"""


def pdf(drawing: Drawing, paper: str = "") -> bytes:
    """The drawing as PDF, one sheet a page. paper: a3, a4, tabloid, letter; "" keeps each sheet's own size.

    Raises ValueError for an unknown paper or a drawing without sheets.
    """
    if paper and paper.lower() not in PAPERS:
        raise ValueError(f"paper: found {paper!r}; allowed: {', '.join(PAPERS)}")
    size = PAPERS.get(paper.lower()) if paper else None
    return _compiled(drawing, "pdf", size, None)


MOST_PIXELS = 34_000_000  # of one picture: some 450 MB while it is made


def png(drawing: Drawing, dpi: int = 150) -> bytes:
    """The drawing as PNG, sheets below each other. Raises ValueError for a drawing without sheets,
    and where the picture would have more than `MOST_PIXELS`."""
    return _compiled(drawing, "png", None, float(dpi))


def _compiled(
    drawing: Drawing, form: Literal["pdf", "png"], size: tuple[float, float] | None, dpi: float | None
) -> bytes:
    import json

    import typst  # heavy: only when a page is made

    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        sheets = []
        numbers: list[int | None] = [None] if form == "png" else [s.number for s in drawing.sheets]
        for index, number in enumerate(numbers):
            text = svg(drawing, number)
            wide, high = size or _size(text)
            most = math.isqrt(int(MOST_PIXELS * 25.4**2 / (wide * high)))
            if dpi is not None and dpi > most:
                raise ValueError(f"found {dpi:g}; allowed: at most {most} for sheets of this size")
            image = wide, high
            if dpi is not None:
                text, (wide, high), image = _on_pixels(text, dpi)
            (folder / f"{index}.svg").write_text(text, encoding="utf-8")
            place = {"width": wide, "height": high, "wide": image[0], "high": image[1]}
            sheets.append({"file": f"{index}.svg", **place})
        date = drawing.date or EPOCH
        data = {
            "title": drawing.title,
            "text": drawing.description,
            "year": date.year,
            "month": date.month,
            "day": date.day,
            "sheets": sheets,
        }
        (folder / "data.json").write_text(json.dumps(data), encoding="utf-8")
        (folder / "sheet.typ").write_text(TEMPLATE, encoding="utf-8")
        made: object = typst.compile(
            str(folder / "sheet.typ"), root=name, format=form, ppi=dpi, ignore_system_fonts=True
        )
    found = made[0] if isinstance(made, list) else made
    assert isinstance(found, bytes)
    return found


def _size(text: str) -> tuple[float, float]:
    """Width and height [mm] as the SVG's own viewBox says."""
    _, _, rest = text.partition('viewBox="')
    _, _, wide, high = rest.partition('"')[0].split()
    return float(wide), float(high)


def _on_pixels(text: str, dpi: float) -> tuple[str, tuple[float, float], tuple[float, float]]:
    """The SVG on a whole number of pixels, the size of its page, and of the image on it [mm].

    The renderer makes a raster of the image and samples it onto the page by the nearest
    point. Where the two differ by one row, a row in the middle is left out, and a thin wire
    with it. So the page is made a hair larger than the image, never a row smaller.
    """
    wide, high = _size(text)
    pixel = 25.4 / dpi
    across, down = math.ceil(wide / pixel), math.ceil(high / pixel) - SHORT
    size = f'width="{across}" height="{down}" viewBox="0 0 {across * pixel:.6f} {down * pixel:.6f}"'
    fitted = re.sub(r'width="[^"]*" height="[^"]*" viewBox="[^"]*"', size, text, count=1)
    shrunk = (across - HAIR) / across
    page = across * pixel, math.ceil(high / pixel) * pixel
    return fitted, page, (across * pixel * shrunk, down * pixel * shrunk)
