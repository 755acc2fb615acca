"""Other projects have packages named `wiring` and `tui` too: one clear line where one stands in our place."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
RUN = "import sys; from wiring.cli import main; sys.exit(main(sys.argv[1:]))"
SKIPPED = shutil.ignore_patterns("__pycache__")


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder of packages as an installer leaves it that put another project's files over ours."""
    folder = tmp_path_factory.mktemp("site")
    for name in ("wiring", "tui"):
        shutil.copytree(ROOT / name, folder / name, ignore=SKIPPED)
    return folder


def said_by(site: Path, *call: str) -> tuple[int, str]:
    done = subprocess.run(
        [sys.executable, "-B", "-c", RUN, *call], cwd=site, capture_output=True, text=True, timeout=60,
        check=False, stdin=subprocess.DEVNULL, env=os.environ | {"PYTHONPATH": str(site)},
    )  # fmt: skip
    assert done.stdout == ""
    return done.returncode, done.stderr


@pytest.mark.parametrize(
    ("name", "call"), [("wiring", ["--version"]), ("wiring", ["rules"]), ("tui", ["open"])],
    ids=["version", "rules", "open"],
)  # fmt: skip
def test_a_stranger_is_one_line(name: str, call: list[str], site: Path) -> None:
    """Another project's package is exit 2 and one line that says how to install apart; no traceback."""
    ours = (site / name / "__init__.py").read_text("utf-8")
    (site / name / "__init__.py").write_text('"""Another project."""\n__version__ = "9"\n', "utf-8")
    try:
        code, said = said_by(site, *call)
    finally:
        (site / name / "__init__.py").write_text(ours, "utf-8")
    assert code == 2 and said.count("\n") == 1
    assert f"package '{name}'" in said and "another project" in said and "pipx" in said
