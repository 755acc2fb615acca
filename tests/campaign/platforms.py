"""Where holdrun runs: wheel and sdist alone, oldest and newest dependencies, every Python there is here.

A clean clone is built. Wheel and sdist each go into an empty environment and the
demo runs there. Then, for every Python from the oldest allowed to the newest on
this machine, the dependencies are installed at the oldest and at the newest
allowed versions and the tests of a few rooms run. Other systems and Pythons are
only resolved: every dependency has a wheel for them; nothing ran there.
"""

from __future__ import annotations

import json
import os
import random
import re
import shutil
import subprocess
import tempfile
import tomllib
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]
OLDEST = (3, 11)
ROOMS = ("tests/calc", "tests/files", "tests/circuit", "tests/check", "tests/sheets", "tests/draw",
         "tests/cli", "tests/demo")  # fmt: skip
SYSTEMS = (
    "x86_64-unknown-linux-gnu", "aarch64-unknown-linux-gnu", "x86_64-unknown-linux-musl",
    "x86_64-apple-darwin", "aarch64-apple-darwin", "x86_64-pc-windows-msvc", "aarch64-pc-windows-msvc",
)  # fmt: skip
PROMISED = SYSTEMS[:-1]
RESOLVED = ("3.11", "3.12", "3.13", "3.14")
LIBRARIES = ("textual", "schemdraw", "pydantic", "pint", "tomlkit", "numpy", "typst", "rich")


def run(n: int, seed: int) -> dict[str, Any]:
    """At most n environments of Python and dependencies with tests; artefacts and resolving always.

    seed: which environments where there are more than n, and in which order their tests run.
    """
    result: dict[str, Any] = {"artefacts": {}, "environments": {}, "resolved_only": {}}
    failures: list[str] = []
    with tempfile.TemporaryDirectory(prefix="holdrun-platforms-") as folder:
        place = Path(folder)
        source = place / "source"
        _done(["git", "clone", "-q", str(ROOT), str(source)], place)
        _done(["uv", "build", "-q", "--out-dir", str(place / "dist"), str(source)], place)
        for artefact in sorted((place / "dist").glob("holdrun-*")):
            if artefact.name.endswith((".whl", ".tar.gz")):
                result["artefacts"][artefact.name] = _alone(artefact, place, failures)
        unpacked = place / "sdist"
        shutil.unpack_archive(next((place / "dist").glob("*.tar.gz")), unpacked, filter="data")
        tree = next(unpacked.iterdir())
        wanted = [(python, which) for python in pythons() for which in ("lowest-direct", "highest")]
        random.Random(seed).shuffle(wanted)
        for python, which in sorted(wanted[:n]):
            name = f"{'.'.join(map(str, python))} {which}"
            result["environments"][name] = _tested(tree, pythons()[python], which, place, failures)
        result["resolved_only"] = _resolved(tree, place, failures)
    return result | {"failures": failures}


def pythons() -> dict[tuple[int, int], str]:
    """The Pythons on this machine that are allowed: version to program; of one version the newest patch."""
    found: dict[tuple[int, int], tuple[int, str]] = {}
    listed = _done(["uv", "python", "list", "--only-installed", "--output-format", "json"], ROOT)
    here = [(e["version"], e["path"]) for e in json.loads(listed) if e["implementation"] == "cpython"]
    here += [(path.parts[-3], str(path)) for path in Path.home().glob(".pyenv/versions/*/bin/python3")]
    for version, path in here:
        numbers = re.match(r"(\d+)\.(\d+)\.(\d+)$", version)
        if numbers is None:
            continue
        major, minor, patch = map(int, numbers.groups())
        if (major, minor) >= OLDEST and patch > found.get((major, minor), (-1, ""))[0]:
            found[major, minor] = patch, path
    return {version: path for version, (_, path) in sorted(found.items())}


def _done(call: list[str], where: Path, **env: str) -> str:
    """Standard output of a command that has to work. Raises RuntimeError with the end of what it said."""
    told = subprocess.run(
        call, cwd=where, capture_output=True, text=True, check=False, stdin=subprocess.DEVNULL,
        env={k: v for k, v in os.environ.items() if k not in ("PYTHONPATH", "VIRTUAL_ENV")} | env,
    )  # fmt: skip
    if told.returncode:
        said = (told.stdout + told.stderr)[-1500:]
        raise RuntimeError(f"{' '.join(call[:6])}: exit {told.returncode}: {said}")
    return told.stdout


def _alone(artefact: Path, place: Path, failures: list[str]) -> str:
    """The artefact in an empty environment: version, demo, and a check of what the demo wrote."""
    home = Path(tempfile.mkdtemp(dir=place))
    program = str(home / "env" / "bin" / "holdrun")
    try:
        _done(["uv", "venv", "-q", "--python", pythons()[OLDEST], str(home / "env")], home)
        _done(["uv", "pip", "install", "-q", "--python", str(home / "env"), str(artefact)], home)
        version = _done([program, "--version"], home).strip()
        _done([program, "demo", "demo"], home)
        call = [program, "check", "demo/malt-first-try.toml", "--json"]
        told = subprocess.run(call, cwd=home, capture_output=True, check=False)
        verdict = json.loads(told.stdout)["verdict"]
        if (told.returncode, verdict) != (1, "fail"):
            raise RuntimeError(f"check of the first try: exit {told.returncode}, {verdict}")
    except RuntimeError as error:
        failures.append(f"{artefact.name}: {error}")
        return "failed"
    return f"{version}: installed alone, demo written and checked"


def _tested(tree: Path, python: str, which: str, place: Path, failures: list[str]) -> dict[str, Any]:
    """The tests of the rooms with the oldest or newest dependencies: versions and pytest's last line."""
    home = Path(tempfile.mkdtemp(dir=place))
    shutil.copytree(tree, home / "tree")
    env = home / "env"
    result: dict[str, Any] = {}
    try:
        _done(["uv", "venv", "-q", "--python", python, str(env)], home)
        install = ["uv", "pip", "install", "-q", "--python", str(env), "--resolution", which]
        _done([*install, f"{home / 'tree'}[test]"], home)
        versions = json.loads(_done(["uv", "pip", "list", "--format", "json", "--python", str(env)], home))
        result["versions"] = {e["name"]: e["version"] for e in versions if e["name"] in LIBRARIES}
        rooms = [room for room in ROOMS if (tree / room).exists()]
        said = _done([str(env / "bin" / "python"), "-m", "pytest", "-q", "-p", "no:cacheprovider", *rooms],
                     home / "tree")  # fmt: skip
        result["tests"] = said.strip().splitlines()[-1]
    except RuntimeError as error:
        failures.append(f"{Path(python).name} {which}: {error}")
        result["tests"] = "failed"
    shutil.rmtree(home)
    return result


def _resolved(tree: Path, place: Path, failures: list[str]) -> dict[str, str]:
    """Systems and Pythons for which every dependency has a wheel: by resolving, nothing is run.

    That a system outside `PROMISED` lacks a wheel is told and is no failure.
    """
    project = tomllib.loads((tree / "pyproject.toml").read_text("utf-8"))["project"]
    needs = place / "needs.in"
    needs.write_text("\n".join(project["dependencies"]) + "\n", "utf-8")
    found: dict[str, str] = {}
    for system in SYSTEMS:
        able, lacks = [], ""
        for python in RESOLVED:
            call = ["uv", "pip", "compile", "-q", "--only-binary", ":all:", "--python-platform", system,
                    "--python-version", python, str(needs)]  # fmt: skip
            try:
                _done(call, place)
                able.append(python)
            except RuntimeError as error:
                lacks = " ".join(re.findall(r"Because (\S+?)[<>=]", str(error))[:1]) or str(error)[-300:]
                if system in PROMISED:
                    failures.append(f"{system} {python}: no wheel of {lacks}")
        found[system] = ", ".join(able) or f"none: no wheel of {lacks}"
    return found
