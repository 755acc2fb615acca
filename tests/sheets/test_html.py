"""The page in a real browser: no error, no request, readable narrow."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from pathlib import Path

import pytest

from wiring.sheets.html_page import html_page
from wiring.sheets.sheet import Figure, Sheet

# the browser's own calls home are switched off, so that what is left was asked for by the page
QUIET = (
    "--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-extensions",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
    "--disable-features=NetworkTimeServiceQuerying,OptimizationHints,MediaRouter",
)  # fmt: skip
OWN = "not an origin"
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")


def test_nothing_is_fetched(malt_sheets: tuple[Sheet, ...]) -> None:
    """No address in the page but the names of the drawing language."""
    page = html_page(malt_sheets)
    assert set(re.findall(r"https?://[^\"'\s<)]*", page)) <= {"http://www.w3.org/2000/svg"}
    assert "url(" not in page
    assert len(set(re.findall(r'id="([^"]*)"', page))) == len(re.findall(r'id="([^"]*)"', page))


def test_every_sheet_says_caution_and_example(malt_sheets: tuple[Sheet, ...]) -> None:
    """Each section carries both marks by itself."""
    sections = html_page(malt_sheets).split("<section")[1:]
    assert len(sections) == len(malt_sheets)
    for section in sections:
        assert "Lock out and prove dead" in section
        assert "EXAMPLE, not your hoist" in section


@pytest.mark.skipif(CHROMIUM is None, reason="no browser is installed")
def test_opens_in_a_browser_without_error(malt_sheets: tuple[Sheet, ...], tmp_path: Path) -> None:
    """A browser loads it, logs no error and asks for nothing but the file itself."""
    page = tmp_path / "pack.html"
    page.write_text(html_page(malt_sheets), encoding="utf-8")
    log = tmp_path / "net.json"
    done = subprocess.run(
        [str(CHROMIUM), *QUIET, f"--user-data-dir={tmp_path / 'profile'}", f"--log-net-log={log}",
         "--enable-logging=stderr", "--v=0", "--dump-dom", page.as_uri()],
        capture_output=True, text=True, timeout=60,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr[-500:]
    assert "Terminal and wire list" in done.stdout
    assert "CONSOLE" not in done.stderr
    assert not asked_by_pages(log.read_text("utf-8", "replace"))


def asked_by_pages(log: str) -> set[str]:
    """Addresses that a page asked for; the browser's own calls home have no page behind them."""
    found = set()
    for line in log.splitlines():
        try:
            params = json.loads(line.strip().rstrip(",")).get("params", {})
        except (ValueError, AttributeError):
            continue  # the head of the log, or its last line cut short
        address = str(params.get("url", ""))
        if address.startswith(("http", "ftp", "ws")) and params.get("initiator", OWN) != OWN:
            found.add(address)
    return found


@pytest.mark.skipif(CHROMIUM is None, reason="no browser is installed")
def test_a_request_of_a_page_is_noticed(tmp_path: Path) -> None:
    """The same look at a page that does fetch something finds the request."""
    page = tmp_path / "bad.html"
    page.write_text('<!doctype html><img src="http://127.0.0.1:9/picture.png">', encoding="utf-8")
    log = tmp_path / "net.json"
    subprocess.run(
        [str(CHROMIUM), *QUIET, f"--user-data-dir={tmp_path / 'profile'}", f"--log-net-log={log}",
         "--dump-dom", page.as_uri()],
        capture_output=True, timeout=60,
    )  # fmt: skip
    assert asked_by_pages(log.read_text("utf-8", "replace")) == {"http://127.0.0.1:9/picture.png"}


@pytest.mark.skipif(CHROMIUM is None or shutil.which("pdfinfo") is None, reason="no browser or no pdfinfo")
def test_print_view_has_each_drawing_at_its_own_size(malt_sheets: tuple[Sheet, ...], tmp_path: Path) -> None:
    """Printed from a browser, every drawing fills one sheet of its own size, and no page is empty."""
    page, paper = tmp_path / "pack.html", tmp_path / "print.pdf"
    page.write_text(html_page(malt_sheets), encoding="utf-8")
    subprocess.run(
        [str(CHROMIUM), *QUIET, f"--user-data-dir={tmp_path / 'profile'}", "--no-pdf-header-footer",
         f"--print-to-pdf={paper}", page.as_uri()],
        capture_output=True, timeout=60, check=True,
    )  # fmt: skip
    told = subprocess.run(["pdfinfo", "-l", "999", str(paper)], capture_output=True, text=True, check=True)
    sizes = re.findall(r"Page +\d+ size: +([\d.]+) x ([\d.]+) pts", told.stdout)
    large = [(float(w), float(h)) for w, h in sizes if float(w) > 1000]
    figures = [block for sheet in malt_sheets for block in sheet.blocks if isinstance(block, Figure)]
    assert large == [(pytest.approx(f.width / 25.4 * 72, abs=1), pytest.approx(f.height / 25.4 * 72, abs=1))
                     for f in figures]  # fmt: skip
    text = subprocess.run(["pdftotext", str(paper), "-"], capture_output=True, text=True, check=True).stdout
    pages = [" ".join(words.split()) for words in text.split("\f")[:-1]]
    assert len(pages) == len(sizes)
    caution = malt_sheets[0].head.caution
    assert [words for words in pages if len(words.replace(caution, "").split()) < 5] == []
