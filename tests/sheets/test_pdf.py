"""The pack as PDF, looked at with the tools a receiver of the file would use."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

from wiring.files import load_job
from wiring.model.plan import Plan
from wiring.pipeline import pack, plan
from wiring.sheets.operator_card import operator_card
from wiring.sheets.pdf_pack import pdf_pack
from wiring.sheets.sheet import Material, Sheet

CRANE = Path(__file__).parents[1] / "jobs" / "conversions" / "two-speed-crane.toml"
needs_poppler = pytest.mark.skipif(shutil.which("pdftotext") is None, reason="no poppler-utils")


@pytest.fixture(scope="module")
def pdf(malt_sheets: tuple[Sheet, ...], malt: Plan, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("pack") / "pack.pdf"
    path.write_bytes(pdf_pack(malt_sheets, malt.job.date, "letter"))
    return path


def pages(pdf: Path) -> list[str]:
    done = subprocess.run(["pdftotext", "-layout", str(pdf), "-"], capture_output=True, text=True, check=True)
    return done.stdout.split("\f")[:-1]


@needs_poppler
def test_caution_and_example_on_every_page(pdf: Path) -> None:
    """No page of a demo leaves the printer without the caution and the EXAMPLE mark."""
    found = [" ".join(page.split()) for page in pages(pdf)]
    assert len(found) > 20
    for number, page in enumerate(found, 1):
        assert "Lock out and prove dead" in page, number
        assert "EXAMPLE, not your hoist" in page, number
        assert f"page {number} of {len(found)}" in page, number


@needs_poppler
def test_names_are_found_by_search(pdf: Path) -> None:
    """Terminal names, wire numbers, drawing texts and rule ids are found as whole words."""
    text = "\n".join(pages(pdf))
    for word in ("K10.down:21", "hoist:X1.N", "receiver:COM1", "mode.hold-to-run", "release-up", "X10:1"):
        assert word in text, word


@needs_poppler
def test_headers_repeat_on_following_pages(pdf: Path) -> None:
    """A table that goes on over pages has its header row on each of them."""
    found = pages(pdf)
    start = next(i for i, page in enumerate(found) if "clauses in our own words" in page)
    for page in found[start : start + 2]:
        assert "Answered here by" in page


@needs_poppler
def test_fonts_are_embedded(pdf: Path) -> None:
    """Every font is in the file, and none is a fallback serif."""
    done = subprocess.run(["pdffonts", str(pdf)], capture_output=True, text=True, check=True)
    rows = done.stdout.splitlines()[2:]
    assert rows
    for row in rows:
        assert "DejaVu" in row.split()[0], row
        assert row.split()[-5] == "yes", row


def test_same_plan_same_bytes(malt_sheets: tuple[Sheet, ...], malt: Plan, pdf: Path) -> None:
    """The same sheets give the same file, byte for byte."""
    assert pdf_pack(malt_sheets, malt.job.date, "letter") == pdf.read_bytes()


def test_paper_by_region(gantry: Plan) -> None:
    """Region iec gets A4; another word than a4 and letter is refused."""
    assert b"595.2" in pack(gantry) or shutil.which("pdfinfo") is None
    with pytest.raises(ValueError, match="a4, letter"):
        pack(gantry, "a5")


@needs_poppler
def test_card_and_review_are_one_page_each(pdf: Path) -> None:
    """The operator card and the electrician's page each fit on one page."""
    heads = [page.strip().split("\n")[0] for page in pages(pdf)]
    for title in ("Operator card", "For the electrician: review"):
        assert sum(title in head for head in heads) == 1, title


@needs_poppler
@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_the_card_of_a_crane_with_many_keys_is_one_page(tmp_path: Path, paper: str) -> None:
    """Ten keys still hang on one page, set smaller."""
    crane = plan(load_job(str(CRANE)))
    card = operator_card(Material(crane))
    path = tmp_path / "card.pdf"
    path.write_bytes(pdf_pack((card,), crane.job.date, paper))
    heads = [page.strip().split("\n")[0] for page in pages(path)]
    shown = [page for page, head in zip(pages(path), heads, strict=True) if head.endswith("Operator card")]
    assert len(shown) == 1
    assert "It does not stop" in shown[0] and "ends every motion" in shown[0] and "may be paired" in shown[0]
