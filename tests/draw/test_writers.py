"""The writers: plain, searchable, the same bytes every time, and safe with any text."""

from __future__ import annotations

import contextlib
import hashlib
import os
import re
import shutil
import subprocess
import sys
import zlib
from xml.etree import ElementTree as ET

import pytest

from tests.draw.made import CATALOG
from wiring.circuit import build_type
from wiring.draw import Drawing, circuit_drawing, pdf, png, svg, text
from wiring.draw.frame import CAUTION

NS = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def drawing() -> Drawing:
    return circuit_drawing(build_type(CATALOG.hoists["reversing-contactors-24"]), "iec", "24 V hoist")


def test_svg_has_title_description_and_role_and_text_stays_text(drawing: Drawing) -> None:
    """The root says what the picture is, and designations can be searched as text."""
    root = ET.fromstring(svg(drawing))
    assert root.get("role") == "img"
    assert root.findtext(f"{NS}title") == "24 V hoist"
    assert "Lock out" in (root.findtext(f"{NS}desc") or "")
    words = {node.text for node in root.iter(f"{NS}text")}
    assert {"-K1", "-K2", "X1.1", "GNYE", "CAUTION"} <= words
    assert root.get("font-family") == "DejaVu Sans Mono"


def test_svg_numbers_are_short_and_styles_are_plain(drawing: Drawing) -> None:
    """No long floats, no minus zero, no dash that is no dash."""
    found = svg(drawing)
    assert not re.search(r"\d\.\d{3,}", found)
    assert not re.search(r'[ ",]-0[ ",]', found)
    assert "stroke-dasharray:-" not in found and 'stroke-dasharray="-"' not in found
    assert "style=" not in found


def test_every_sheet_of_every_writer_carries_the_caution(drawing: Drawing) -> None:
    """The caution line stands in SVG, text and PDF."""
    joined = " ".join(node.text or "" for node in ET.fromstring(svg(drawing)).iter(f"{NS}text"))
    assert CAUTION in joined
    assert CAUTION in " ".join(text(drawing, 100).split())
    assert pdf(drawing).startswith(b"%PDF")


def test_bytes_do_not_depend_on_hash_seed_or_process(drawing: Drawing) -> None:
    """Another process with another hash seed writes the same SVG, PNG, PDF and text."""
    code = (
        "import hashlib\nfrom wiring.files import load_catalog\nfrom wiring.circuit import build_type\n"
        "from wiring.draw import circuit_drawing, pdf, png, svg, text\n"
        "h = load_catalog().hoists['reversing-contactors-24']\n"
        "d = circuit_drawing(build_type(h), 'iec', '24 V hoist')\n"
        "print(hashlib.sha256(svg(d).encode() + png(d, 60) + pdf(d, 'a4') + text(d).encode()).hexdigest())\n"
    )
    mine = svg(drawing).encode() + png(drawing, 60) + pdf(drawing, "a4") + text(drawing).encode()
    for seed in ("1", "77"):
        env = {**os.environ, "PYTHONHASHSEED": seed}
        found = subprocess.run(
            [sys.executable, "-c", code], env=env, capture_output=True, text=True, check=True
        )
        assert found.stdout.strip() == hashlib.sha256(mine).hexdigest()


def test_optional_companions_of_the_library_change_nothing(tmp_path: object) -> None:
    """Modules named like the library's optional companions are neither imported nor listened to."""
    folder = str(tmp_path)
    for name in ("matplotlib", "ziamath", "ziafont"):
        with open(os.path.join(folder, f"{name}.py"), "w", encoding="utf-8") as file:
            file.write("raise RuntimeError('must not be imported')\n")
    code = (
        "import hashlib\nfrom wiring.files import load_catalog\nfrom wiring.circuit import build_type\n"
        "from wiring.draw import circuit_drawing, svg\n"
        "d = circuit_drawing(build_type(load_catalog().hoists['winch-series-12']), 'us')\n"
        "print(hashlib.sha256(svg(d).encode()).hexdigest())\n"
    )
    found = []
    for extra in ({}, {"PYTHONPATH": os.pathsep.join([folder, os.getcwd()])}):
        run = subprocess.run(
            [sys.executable, "-c", code],
            env={**os.environ, **extra},
            capture_output=True,
            text=True,
            check=True,
        )
        found.append(run.stdout)
    assert found[0] == found[1]


@pytest.mark.parametrize(
    "hostile", ["R&D <b> $5 and $6$", "a\x00b\x1b[31m", "]]>", "#panic()", "\u202eabc", ""]
)
def test_any_text_can_stand_in_a_title(hostile: str) -> None:
    """Markup, dollar signs, control characters and template code come out as plain characters."""
    made = circuit_drawing(build_type(CATALOG.hoists["winch-series-12"]), "iec", hostile)
    root = ET.fromstring(svg(made))
    words = " ".join(node.text or "" for node in root.iter(f"{NS}text"))
    assert "\x00" not in words and "\x1b" not in words
    if "$" in hostile:
        assert "R&D <b> $5 and $6$" in words
    assert len(png(made, 40)) > 1000


def test_a_drawing_without_sheets_or_on_unknown_paper_is_refused(drawing: Drawing) -> None:
    """Nothing to write and a paper nobody sells give a clear error."""
    with pytest.raises(ValueError, match="without sheets"):
        svg(Drawing("x", "x", "iec", "circuit", ()))
    with pytest.raises(ValueError, match="paper"):
        pdf(drawing, "a7")


def _opened(file: bytes) -> bytes:
    """A PDF's objects in the clear: the file, then every packed stream in it."""
    packed = re.findall(rb"stream\r?\n(.*?)\r?\nendstream", file, re.DOTALL)
    clear = [file]
    for stream in packed:
        with contextlib.suppress(zlib.error):
            clear.append(zlib.decompress(stream))
    return b"\n".join(clear)


@pytest.mark.parametrize("paper", ["a4", "a3", "letter", "tabloid"])
def test_pdf_comes_on_every_paper(drawing: Drawing, paper: str) -> None:
    """Each paper gives a PDF whose page has that size."""
    sizes = {"a4": (842, 595), "a3": (1191, 842), "letter": (792, 612), "tabloid": (1224, 792)}
    box = re.search(rb"/MediaBox ?\[0 0 ([\d.]+) ([\d.]+)\]", _opened(pdf(drawing, paper)))
    assert box is not None
    assert tuple(round(float(n)) for n in box.groups()) == sizes[paper]


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="pdftotext is not installed")
@pytest.mark.parametrize("style", ["iec", "us"])
@pytest.mark.parametrize("hoist", ["two-speed-crane-115", "main-auxiliary-direct-120"])
def test_words_measured_on_the_rendered_page_do_not_meet(hoist: str, style: str, tmp_path: object) -> None:
    """Boxes of words as the PDF renderer places them lie apart and inside the page."""
    made = circuit_drawing(build_type(CATALOG.hoists[hoist]), style)
    path = os.path.join(str(tmp_path), "sheet.pdf")
    with open(path, "wb") as file:
        file.write(pdf(made))
    run = subprocess.run(["pdftotext", "-bbox", path, "-"], capture_output=True, text=True, check=True)
    for page in run.stdout.split("<page ")[1:]:
        pattern = r'<word xMin="([\d.-]+)" yMin="([\d.-]+)" xMax="([\d.-]+)" yMax="([\d.-]+)">'
        boxes = [tuple(float(n) for n in found) for found in re.findall(pattern, page)]
        assert len(boxes) > 50
        size = re.match(r'width="([\d.]+)" height="([\d.]+)"', page)
        assert size is not None
        assert all(b[0] >= 0 and b[2] <= float(size[1]) and b[3] <= float(size[2]) for b in boxes)
        for i, a in enumerate(boxes):
            for b in boxes[i + 1 :]:
                across = min(a[2], b[2]) - max(a[0], b[0])
                along = min(a[3], b[3]) - max(a[1], b[1])
                # line boxes are taller than their letters: 30 percent may be shared
                assert across < 0.3 or along < 0.3 * min(a[3] - a[1], b[3] - b[1])
