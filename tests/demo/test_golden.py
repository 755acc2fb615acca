"""The picture in the README is the drawing of the demo as it is computed today."""

from __future__ import annotations

from pathlib import Path

from wiring.files import load_job
from wiring.pipeline import draw, plan, written

ROOT = Path(__file__).resolve().parents[2]
PICTURE = ROOT / "tests" / "golden" / "demo" / "malt-second-plan.circuit.svg"


def picture() -> str:
    """The circuit sheet of the second plan, as found and as converted, with the fault analysis run."""
    job = load_job(str(ROOT / "catalogs" / "demo" / "malt-second-plan.toml"))
    svg = written(draw(plan(job, faults="single"), "circuit", "us"), ".svg")
    assert isinstance(svg, str)
    return svg


def test_readme_picture_is_fresh() -> None:
    """The picture shown in the README equals the drawing made from the demo job now."""
    assert f"({PICTURE.relative_to(ROOT)})" in (ROOT / "README.md").read_text("utf-8")
    assert PICTURE.read_text("utf-8") == picture()


if __name__ == "__main__":  # python -m tests.demo.test_golden takes a new picture
    PICTURE.write_text(picture(), "utf-8")
