"""The drawing in a real browser: where the words come out, measured, not computed."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from dataclasses import replace
from pathlib import Path

import pytest

from tests.draw.made import CATALOG, converted
from wiring.circuit import build_type
from wiring.draw import Drawing, Facts, circuit_drawing, svg
from wiring.draw.door import on_sheets
from wiring.draw.frame import Title
from wiring.draw.placed import place
from wiring.draw.sheets import circuit_sheets
from wiring.draw.words import FACE

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
FONTS = shutil.which("fc-list")
SCRIPT = """<script>
const found = [...document.querySelectorAll("svg")].map(svg => [...svg.querySelectorAll("text")].map(t => {
  const b = t.getBBox(), m = t.getCTM(), s = svg.getCTM(), up = s ? s.inverse().multiply(m) : m;
  return [t.textContent, b.x + up.e, b.y + up.f, b.width, b.height];
}));
const out = document.createElement("pre"); out.id = "measured"; out.textContent = JSON.stringify(found);
document.body.append(out);
</script>"""
Box = tuple[str, float, float, float, float]


def has_face() -> bool:
    """Whether the pinned face is installed, so that the browser measures what the drawing computed."""
    run = subprocess.run([str(FONTS), FACE], capture_output=True, text=True) if FONTS else None
    return run is not None and bool(run.stdout.strip())


def measured(pictures: list[str], folder: Path) -> list[list[Box]]:
    """Text, left, top, width, height [mm] of every word in the rendered pictures."""
    page = folder / "page.html"
    page.write_text("<!doctype html><body>" + "\n".join(pictures) + SCRIPT, encoding="utf-8")
    run = subprocess.run(
        [str(CHROMIUM), "--headless", "--no-sandbox", "--disable-gpu", "--no-first-run",
         f"--user-data-dir={folder / 'profile'}", "--dump-dom", page.as_uri()],
        capture_output=True, text=True, timeout=100, check=True,
    )  # fmt: skip
    text = re.search(r'<pre id="measured">(.*?)</pre>', run.stdout, re.DOTALL)
    assert text is not None
    plain = text[1].replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&")
    return [[(b[0], b[1], b[2], b[3], b[4]) for b in boxes] for boxes in json.loads(plain)]


def overlaps(boxes: list[Box]) -> list[str]:
    """Pairs of words whose letters meet. A line box is taller than its letters: 30 percent may be shared."""
    found = []
    for i, (text, x, y, w, h) in enumerate(boxes):
        for other, x2, y2, w2, h2 in boxes[i + 1 :]:
            across = min(x + w, x2 + w2) - max(x, x2)
            down = min(y + h, y2 + h2) - max(y, y2)
            if across > 0.3 and down > 0.3 * min(h, h2):
                found.append(f"{text!r} over {other!r}")
    return found


@pytest.mark.skipif(CHROMIUM is None or not has_face(), reason="no browser, or not the pinned face")
@pytest.mark.parametrize("style", ["iec", "us"])
def test_no_words_meet_in_a_browser(style: str, tmp_path: Path) -> None:
    """Every type as found in both styles, with two receivers in one: words lie apart, as rendered."""
    drawings: list[Drawing] = []
    for number, hoist in enumerate(sorted(CATALOG.hoists)):
        drawings.append(circuit_drawing(build_type(CATALOG.hoists[hoist]), style, hoist))
        if ("iec", "us")[number % 2] != style:
            continue
        for receiver, fate in (("two-channel-dry", "removed"), ("eight-channel-two-speed", "tail-kept")):
            before, after = converted(hoist, receiver, fate)
            sheets = on_sheets(circuit_sheets(place(after, Facts(), before), style), Title("made"), style)
            drawings.append(Drawing("made", "made", style, "circuit", sheets))
    pages = [replace(drawing, sheets=(sheet,)) for drawing in drawings for sheet in drawing.sheets]
    boxes = measured([svg(page) for page in pages], tmp_path)
    assert len(boxes) == len(pages) > 40
    problems = []
    for page, words in zip(pages, boxes, strict=True):
        sheet = page.sheets[0]
        problems += [f"{page.title}: {problem}" for problem in overlaps(words)]
        problems += [
            f"{page.title}: {text!r} leaves the sheet"
            for text, x, y, w, h in words
            if x < 0 or y < 0 or x + w > sheet.width or y + h > sheet.height
        ]
    assert problems == []


@pytest.mark.skipif(CHROMIUM is None or not has_face(), reason="no browser, or not the pinned face")
def test_words_that_meet_are_noticed(tmp_path: Path) -> None:
    """The same measurement finds two labels that were moved onto each other."""
    made = circuit_drawing(build_type(CATALOG.hoists["reversing-contactors-24"]), "us")
    drawn = svg(made)
    place_of = re.search(r'<text x="([\d.]+)" y="([\d.]+)"[^>]*>K1</text>', drawn)
    assert place_of is not None
    spoiled = re.sub(r'<text x="[\d.]+" y="[\d.]+"([^>]*)>K2</text>',
                     rf'<text x="{place_of[1]}" y="{place_of[2]}"\1>K2</text>', drawn, count=1)  # fmt: skip
    good, bad = measured([drawn, spoiled], tmp_path)
    assert overlaps(good) == []
    assert overlaps(bad) == ["'K1' over 'K2'"] or overlaps(bad) == ["'K2' over 'K1'"]
