"""Markup, formulas and paths in a job's texts: they come out as text in every format; writing that fails."""

from __future__ import annotations

import csv
import os
import resource
import shutil
import signal
import subprocess
import sys
from html.parser import HTMLParser
from pathlib import Path
from xml.etree import ElementTree

import pytest

from tests.cli.spoilt import spoilt
from tests.jobs.plans import DEMO
from wiring.cli import main

ROOT = Path(__file__).parents[2]
RUN = "import sys; from wiring.cli import main; sys.exit(main(sys.argv[1:]))"
SECOND = DEMO / "malt-second-plan.toml"
MARK = "</text></td><script>alert(1)</script>&amp;'\\\"><!--]]>"
FORMULA = "=HYPERLINK(1)"
TYPST = '#read(\\"/etc/passwd\\") *b* $x$ @ref'
Said = pytest.CaptureFixture[str]


@pytest.fixture(scope="module")
def hostile(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A job whose texts are markup, formulas and commands of a page description."""
    return spoilt(
        tmp_path_factory.mktemp("markup"),
        title=MARK + "{}", prepared_by=TYPST, print=FORMULA, where=MARK, number=FORMULA, colour=MARK,
        source=TYPST + MARK, environment=FORMULA,
    )  # fmt: skip


class Tags(HTMLParser):
    """Which tags a page has."""

    def __init__(self) -> None:
        super().__init__()
        self.seen: set[str] = set()
        self.attributes: set[str] = set()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.seen.add(tag)
        self.attributes |= {name for name, _ in attrs}


@pytest.mark.parametrize("sheet", ["circuit", "connections"])
def test_markup_stays_text_in_drawings(sheet: str, hostile: Path, tmp_path: Path) -> None:
    """A drawing of a job with markup in its texts is well-formed and holds no script."""
    out = tmp_path / "plan.svg"
    assert main(["draw", str(hostile), "-o", str(out), "--sheet", sheet]) == 0
    root = ElementTree.fromstring(out.read_text("utf-8"))
    names = {each.tag.rpartition("}")[2] for each in root.iter()}
    assert "script" not in names and "text" in names
    assert "alert(1)" in "".join(root.itertext())
    for suffix in (".png", ".pdf", ".txt"):
        assert main(["draw", str(hostile), "-o", str(tmp_path / f"plan{suffix}"), "--sheet", sheet]) == 0


def test_markup_stays_text_in_the_pack(hostile: Path, tmp_path: Path) -> None:
    """The pack's page has no tag or event of the job's; its tables hold no formula; the PDF is made."""
    page, sheets, pdf = tmp_path / "p.html", tmp_path / "sheets", tmp_path / "p.pdf"
    assert main(["pack", str(hostile), "--html", str(page), "--sheets", str(sheets), "-o", str(pdf)]) == 0
    tags = Tags()
    tags.feed(page.read_text("utf-8"))
    assert "script" not in tags.seen and "table" in tags.seen
    assert not any(name.startswith("on") for name in tags.attributes)
    held = 0
    for file in sheets.glob("*.csv"):
        for row in csv.reader(file.read_text("utf-8").splitlines()):
            assert not any(cell.strip()[:1] in ("=", "+", "@") for cell in row), (file.name, row)
            held += sum(FORMULA in cell for cell in row)
    assert held, "the formula is there, as text"
    assert pdf.read_bytes().startswith(b"%PDF") and b"root:" not in pdf.read_bytes()
    assert {file.parent for file in sheets.iterdir()} == {sheets}


@pytest.mark.parametrize("bad", ["=1+1", "a\x1b[2J", "<b>", "../../x", "é" * 300, "%s", "x\ny"])
def test_hostile_options(bad: str, tmp_path: Path, capsys: Said) -> None:
    """Options of any content are a written job that loads, or one clean message."""
    file = tmp_path / "new.toml"
    code = main(["new", str(file), "--title", bad, "--country", "US", "--hoist", "unknown", "--receiver",
                 "unknown", "--people", "outside"])  # fmt: skip
    if code == 0:
        assert main(["check", str(file), "--faults", "none"]) == 3
    assert code in (0, 2)
    kind = tmp_path / "kind.toml"
    main(["new-type", str(kind), "--title", bad, "--cores", "5", "--clicks", "yes", "--buttons", "up,down",
          "--stop", "no", "--system", "1ph L-N", "--voltage", "230 V", "--frequency", "50 Hz", "--plate",
          bad])  # fmt: skip
    capsys.readouterr()
    assert main(["catalog", "check", str(kind)]) in (1, 3)
    for call in (["check", bad], ["catalog", "hoist", bad], ["rules", bad], ["hoist", bad],
                 ["draw", bad, "-o", bad], ["new", str(file), "--hoist", "none.toml"],
                 ["compare", bad, bad]):  # fmt: skip
        assert main(call) == 2
        said = capsys.readouterr().err
        assert "\x1b" not in said and said.strip() and "Traceback" not in said


def test_full_disk(tmp_path: Path) -> None:
    """Where the disk takes no more, the old file stays whole, nothing is left beside it, and it is exit 2."""
    job = Path(shutil.copy(SECOND, tmp_path / "job.toml"))
    before = job.read_bytes()

    def small() -> None:
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096))

    for argv in (["approve", "job.toml", "--by", "N. N.", "--licence", "1", "--write"],
                 ["prove", "job.toml", "--faults", "none", "--all", "job.csv"]):  # fmt: skip
        done = subprocess.run(
            [sys.executable, "-B", "-c", RUN, *argv],
            cwd=tmp_path, capture_output=True, text=True, timeout=60, preexec_fn=small, check=False,
            env=os.environ | {"PYTHONPATH": str(ROOT)},
        )  # fmt: skip
        assert done.returncode == 2, done.stderr
        assert done.stderr.count("\n") == 1 and "too large" in done.stderr.lower()
        assert job.read_bytes() == before and [each.name for each in tmp_path.iterdir()] == ["job.toml"]
