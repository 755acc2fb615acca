"""Build the wheel, look into it, install it in an empty environment and run it.

`python -m tests.wheel` exits 1 with one line a fault.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import venv
import zipfile
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent


def build(into: Path) -> Path:
    """The wheel of this checkout, built in an isolated environment."""
    subprocess.run(
        [sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "-w", str(into), str(ROOT)], check=True
    )
    return next(into.glob("holdrun-*.whl"))


def faults(wheel: Path) -> list[str]:
    """What the wheel holds that it must not, or lacks that it must hold."""
    names = zipfile.ZipFile(wheel).namelist()
    tops = {name.split("/")[0] for name in names if ".dist-info" not in name}
    found = [f"top-level {top} in the wheel" for top in sorted(tops - {"wiring", "tui"})]
    if not any(name.startswith("wiring/_catalogs/hoists/") for name in names):
        found.append("the catalogs are missing from the wheel")
    return found


def run_installed(wheel: Path, place: Path) -> list[str]:
    """Install into an empty environment and run the demo there."""
    venv.create(place / "env", with_pip=True)
    python = place / "env" / "bin" / "python"
    subprocess.run([python, "-m", "pip", "install", "-q", str(wheel)], check=True)
    done = subprocess.run(
        [place / "env" / "bin" / "holdrun", "demo", str(place / "demo")],
        capture_output=True,
        text=True,
        cwd=place,
    )
    return [] if done.returncode == 0 else [f"demo from the wheel: exit {done.returncode}\n{done.stderr}"]


def main() -> int:
    with tempfile.TemporaryDirectory() as folder:
        wheel = build(Path(folder))
        found = faults(wheel) or run_installed(wheel, Path(folder))
    print("\n".join(found) or f"{wheel.name}: built, installed alone, demo ran")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
