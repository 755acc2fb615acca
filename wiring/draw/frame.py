"""The sheet around the drawing: border with zones, title block, verdict box, caution box."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from wiring.draw.parts import BORDER, HEADING, MEDIUM, SMALL, TAG, TEXT, THIN, Layer, Stroke, Text
from wiring.draw.words import cut, wrap
from wiring.draw.words import width as width_of

PAPERS = {  # landscape, width by height [mm]
    "a3": (420.0, 297.0),
    "a4": (297.0, 210.0),
    "tabloid": (431.8, 279.4),
    "letter": (279.4, 215.9),
}
LEFT, EDGE = 20.0, 10.0  # margins: filing side, others [mm]
FIELD = 50.0  # zone width [mm]
BAND = 38.0  # height of title block, caution and verdict boxes [mm]
LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"  # I and O are left out
CAUTION = (
    "Lock out and prove dead before you touch a wire. Local codes and a licensed electrician decide. "
    "A material hoist does not lift people."
)
EXAMPLE = "EXAMPLE, not your hoist"


@dataclass(frozen=True, slots=True)
class Title:
    """Fields of the title block (ISO 7200): owner, identification, title, kind, dates, persons."""

    title: str
    subtitle: str = ""
    kind: str = ""
    owner: str = ""
    identification: str = ""
    revision: str = ""
    date: str = ""
    creator: str = ""
    approved: str = ""
    stage: str = ""
    symbols: str = ""
    verdict: tuple[str, ...] = ()
    condition: str = ""  # "Holds only if ..." while the hoist type is not shown
    example: bool = False


def zone(width: float, height: float, x: float, y: float) -> str:
    """The zone of a place: letter down the side, figure along the top, from the top left."""
    columns, rows = zones(width, height)
    column = min(columns - 1, max(0, int((x - LEFT) / ((width - LEFT - EDGE) / columns))))
    row = min(rows - 1, max(0, int((y - EDGE) / ((height - 2 * EDGE) / rows))))
    return f"{LETTERS[row]}{column + 1}"


def zones(width: float, height: float) -> tuple[int, int]:
    """Number of zones along and down a sheet: fields of about 50 mm."""
    return max(2, round((width - LEFT - EDGE) / FIELD)), max(2, round((height - 2 * EDGE) / FIELD))


def field_of(width: float, height: float) -> tuple[float, float, float, float]:
    """Left, top, right, bottom of the room for the drawing itself."""
    return LEFT + 4.0, EDGE + 5.0, width - EDGE - 4.0, height - EDGE - BAND - 3.0


def framed(title: Title, number: int, count: int, size: tuple[float, float]) -> Layer:
    """Border, zones and the boxes along the foot of a sheet."""
    width, height = size
    strokes: list[Stroke] = [_box(LEFT, EDGE, width - EDGE, height - EDGE, BORDER)]
    texts: list[Text] = []
    _zones(width, height, strokes, texts)
    right, bottom = width - EDGE, height - EDGE
    top = bottom - BAND
    block = right - 180.0 if width > 300 else right - 130.0
    _title_block(title, number, count, (block, top, right, bottom), strokes, texts)
    room = block - LEFT
    middle = LEFT + room * 0.5
    _caution(title, (LEFT, top, middle, bottom), strokes, texts)
    _verdict(title, (middle, top, block, bottom), strokes, texts)
    if title.example:
        texts.append(Text(width / 2, EDGE - 4.8, EXAMPLE, HEADING, "middle", True, "example"))
    return Layer(strokes=tuple(strokes), texts=tuple(texts))


def _box(x0: float, y0: float, x1: float, y1: float, line: float, fill: str = "none") -> Stroke:
    return Stroke(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), line, closed=True, fill=fill)


def _zones(width: float, height: float, strokes: list[Stroke], texts: list[Text]) -> None:
    columns, rows = zones(width, height)
    step = (width - LEFT - EDGE) / columns
    for i in range(columns):
        x = LEFT + step * i
        if i:
            strokes.append(Stroke(((x, EDGE - 3.5), (x, EDGE)), MEDIUM))
        texts.append(Text(x + step / 2, EDGE - 1.2, str(i + 1), TEXT, "middle", role="zone"))
    step = (height - 2 * EDGE) / rows
    for i in range(rows):
        y = EDGE + step * i
        if i:
            strokes.append(Stroke(((LEFT - 3.5, y), (LEFT, y)), MEDIUM))
        texts.append(Text(LEFT - 2.2, y + step / 2 + 0.9, LETTERS[i], TEXT, "middle", role="zone"))


def _title_block(
    title: Title,
    number: int,
    count: int,
    box: tuple[float, float, float, float],
    strokes: list[Stroke],
    texts: list[Text],
) -> None:
    x0, y0, x1, y1 = box
    strokes.append(_box(x0, y0, x1, y1, MEDIUM))
    wide = x1 - x0
    step = (y1 - y0) / 4
    rows: Sequence[Sequence[tuple[float, str, str]]] = (
        ((0.62, "Title", title.title), (0.38, "Document type", title.kind)),
        ((0.62, "Subject", title.subtitle), (0.38, "Stage", title.stage)),
        (
            (0.31, "Owner", title.owner),
            (0.31, "Drawn by", title.creator),
            (0.38, "Approved by", title.approved),
        ),
        (
            (0.31, "Identification", title.identification),
            (0.1, "Rev.", title.revision),
            (0.21, "Date of issue", title.date),
            (0.13, "Sheet", f"{number}/{count}"),
            (0.25, "Symbols", title.symbols),
        ),
    )
    for r, cells in enumerate(rows):
        y = y0 + step * r
        if r:
            strokes.append(Stroke(((x0, y), (x1, y)), THIN))
        x = x0
        for i, (share, name, value) in enumerate(cells):
            if i:
                strokes.append(Stroke(((x, y), (x, y + step)), THIN))
            texts.append(Text(x + 1.0, y + 2.6, cut(name, share * wide - 2, 1.8), 1.8, role="field-name"))
            bold = r == 0 and i == 0
            size = TAG if bold and width_of(value, TAG) <= share * wide - 2.0 else TEXT
            for n, line in enumerate(wrap(value, share * wide - 2.0, size, 2)):
                texts.append(Text(x + 1.0, y + 5.6 + n * 2.8, line, size, bold=bold, role="field"))
            x += share * wide


def _caution(
    title: Title, box: tuple[float, float, float, float], strokes: list[Stroke], texts: list[Text]
) -> None:
    x0, y0, x1, y1 = box
    strokes.append(_box(x0, y0, x1, y1, BORDER))
    texts.append(Text(x0 + 2.0, y0 + 5.0, "CAUTION", TAG + 0.5, bold=True, role="caution"))
    _run(wrap(CAUTION, x1 - x0 - 4.0, TAG, 6), x0 + 2.0, y0 + 10.0, TAG, texts, "caution")
    if title.condition:
        lines = wrap(title.condition, x1 - x0 - 4.0, SMALL + 0.2, 3)
        _run(lines, x0 + 2.0, y1 - 2.0 - 2.8 * (len(lines) - 1), SMALL + 0.2, texts, "condition")


def _verdict(
    title: Title, box: tuple[float, float, float, float], strokes: list[Stroke], texts: list[Text]
) -> None:
    x0, y0, x1, y1 = box
    strokes.append(_box(x0, y0, x1, y1, BORDER))
    y = y0 + 5.0
    for i, paragraph in enumerate(title.verdict):
        size = TAG if i == 0 else TEXT
        lines = wrap(paragraph, x1 - x0 - 4.0, size, 4)
        for line in lines:
            if y > y1 - 1.0:
                return
            texts.append(Text(x0 + 2.0, y, line, size, bold=i == 0, role="verdict"))
            y += size * 1.3
        y += 0.8


def _run(lines: Sequence[str], x: float, y: float, size: float, texts: list[Text], role: str) -> None:
    for i, line in enumerate(lines):
        texts.append(Text(x, y + i * size * 1.3, line, size, role=role))
