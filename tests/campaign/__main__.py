"""`python -m tests.campaign NAME --n N --seed S [--out FILE]`: run one long run, write its result as JSON.

NAME is a module of this package. The result goes to `tests/campaign/NAME.json`
with n, seed and commit, unless --out says otherwise ("-": standard output).
"""

from __future__ import annotations

import argparse
import json
import subprocess
import sys
import time
from importlib import import_module
from pathlib import Path

HERE = Path(__file__).parent


def names() -> list[str]:
    """The campaigns there are."""
    return sorted(file.stem for file in HERE.glob("*.py") if not file.stem.startswith("_"))


def commit() -> str:
    """The commit the run was made on, marked where the tree was changed."""
    told = subprocess.run(
        ["git", "describe", "--always", "--dirty"], cwd=HERE, capture_output=True, text=True, check=False
    )
    return told.stdout.strip() or "unknown"


def main(arguments: list[str] | None = None) -> int:
    """Run the campaign named on the command line. Exit 1 where it reports disagreements or failures."""
    parser = argparse.ArgumentParser(prog="python -m tests.campaign")
    parser.add_argument("name", choices=names())
    parser.add_argument("--n", type=int, default=100, help="how many samples")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--out", default="", help='file for the result, "-" for standard output')
    options = parser.parse_args(arguments)
    began = time.perf_counter()
    result = dict(import_module(f"tests.campaign.{options.name}").run(options.n, options.seed))
    result |= {
        "campaign": options.name,
        "n": options.n,
        "seed": options.seed,
        "commit": commit(),
        "seconds": round(time.perf_counter() - began, 1),
    }
    text = json.dumps(result, indent=1, ensure_ascii=False, default=str) + "\n"
    if options.out == "-":
        sys.stdout.write(text)
    else:
        (Path(options.out) if options.out else HERE / f"{options.name}.json").write_text(text, "utf-8")
    return 1 if result.get("disagreements") or result.get("failures") else 0


if __name__ == "__main__":
    sys.exit(main())
