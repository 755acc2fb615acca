"""Text of the job that tries to be more than text: inert in every output."""

from __future__ import annotations

import csv
import io
import re
import shutil
import subprocess
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from wiring.model.plan import Plan
from wiring.pipeline import material
from wiring.sheets.csv_text import cell_text
from wiring.sheets.html_page import html_page
from wiring.sheets.loose import loose_files
from wiring.sheets.pack import sheets_of
from wiring.sheets.pdf_pack import pdf_pack
from wiring.sheets.sheet import Figure, Sheet

TYPST = '#panic("typst") $x^2$ *bold* @label \\ `raw` //'
HTML = "<script>alert(1)</script><img src=x onerror=alert(2)>\" onload='x' --></style>"
FORMULA = '=HYPERLINK("http://example.invalid","x")'
ESCAPE = "\x1b[2J\x1b]0;title\x07\r\n\x9b31m\u202ereversed"
ALL = " ".join((TYPST, HTML, ESCAPE))


@pytest.fixture(scope="module")
def sheets(malt: Plan) -> tuple[Sheet, ...]:
    job = malt.job
    first, *rest = job.connections
    hostile = replace(
        job,
        title=ALL,
        prepared_by=FORMULA,
        revision=ALL,
        connections=(replace(first, number=FORMULA), *rest),
        answers=tuple(replace(a, text=FORMULA) for a in job.answers),
        stops=tuple(replace(s, where=ALL) for s in job.stops),
        records=tuple(replace(r, measured=ALL, by=FORMULA) for r in job.records),
        cores=tuple(replace(c, source=ALL) for c in job.cores),
    )
    return sheets_of(material(replace(malt, job=hostile)))


def steering(text: str) -> list[str]:
    """Control characters other than the line feed."""
    return [c for c in text if (ord(c) < 32 and c != "\n") or 0x7F <= ord(c) < 0xA0 or c in "\u202e\u2028"]


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="poppler-utils are not installed")
def test_typst_prints_it(sheets: tuple[Sheet, ...], malt: Plan, tmp_path: Path) -> None:
    """Markup of the template language is printed, not run."""
    path = tmp_path / "hostile.pdf"
    path.write_bytes(pdf_pack(sheets, malt.job.date, "a4"))
    text = subprocess.run(["pdftotext", str(path), "-"], capture_output=True, text=True, check=True).stdout
    assert '#panic("typst")' in text
    assert "*bold*" in text


class Tags(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tags: set[str] = set()
        self.attributes: set[str] = set()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.attributes |= {name for name, _ in attrs}


def test_html_has_no_script_and_no_handler(sheets: tuple[Sheet, ...]) -> None:
    """The page holds no script, no image to fetch, no event handler; the policy forbids them anyway."""
    page = html_page(sheets)
    found = Tags()
    found.feed(page)
    assert not found.tags & {"script", "img", "iframe", "object", "embed"}
    assert not {name for name in found.attributes if name.startswith("on")}
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in page
    assert "default-src &#x27;none&#x27;" in page
    assert not steering(page)


def test_svg_stays_one_tree(sheets: tuple[Sheet, ...]) -> None:
    """Every drawing is well-formed and holds text only where the hostile title stands."""
    figures = [b for s in sheets for b in s.blocks if isinstance(b, Figure)]
    assert figures
    for figure in figures:
        root = ET.fromstring(figure.svg)
        names = {node.tag.rpartition("}")[2] for node in root.iter()}
        assert not names & {"script", "foreignObject", "image", "a"}
        assert not {k for node in root.iter() for k in node.attrib if k.startswith("on")}


def test_csv_cells_are_no_formulas(sheets: tuple[Sheet, ...]) -> None:
    """No cell of any table starts like a formula."""
    files = {n: t for n, t in loose_files(sheets).items() if n.endswith(".csv")}
    assert any("HYPERLINK" in text for text in files.values())
    for name, text in files.items():
        for row in csv.reader(io.StringIO(text)):
            for cell in row:
                assert not re.match(r"\s*[=+@\t\r|%＝＋－＠]|\s*-(?![0-9.]*$)", cell), (name, cell)


@pytest.mark.parametrize("text", ["=1+1", "+1+1", "-1+1", "@SUM(A1)", " =1", "\t=1", "＝1", "|x", "%x"])
def test_formula_starts_are_quoted(text: str) -> None:
    """Each way to start a formula gets an apostrophe before it."""
    assert cell_text(text).lstrip().startswith("'")


@pytest.mark.parametrize("text", ["-5", "+3.5", "-", "12 V", "a=b", ""])
def test_plain_cells_stay(text: str) -> None:
    """Numbers and plain words are left as they are."""
    assert cell_text(text) == text


def test_terminal_text_has_no_escape(sheets: tuple[Sheet, ...]) -> None:
    """No control or direction-changing character is in any text sheet."""
    for name, text in loose_files(sheets).items():
        if name.endswith(".txt"):
            assert not steering(text), name
