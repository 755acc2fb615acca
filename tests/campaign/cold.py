"""What a person waits for: each command as a new process, the first screen, one sheet drawn, the memory.

Every figure is the median of n runs with the files in the cache. Beside the wall seconds stand the
processor seconds of the process and of what it started, which a busy machine changes less.
"""

from __future__ import annotations

import fcntl
import os
import pty
import resource
import select
import statistics
import struct
import subprocess
import sys
import tempfile
import termios
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from wiring import load_job, plan
from wiring.draw import drawing, svg
from wiring.files import catalog_root

ROOT = Path(__file__).parents[2]
DEMO = catalog_root() / "demo" / "malt-second-plan.toml"
CRANE = ROOT / "tests" / "jobs" / "conversions" / "two-speed-crane.toml"
#: A bare program with the same parser library, for the start-up alone.
BARE = "import argparse; p = argparse.ArgumentParser(); p.add_argument('--version', action='version', \
version='1'); p.parse_args(['--version'])"
#: Seconds that design asks for; None where it names none.
GOALS = {"check, main demo": 0.6, "first screen": 0.6, "sheet of the main demo": 0.1,
         "pack, main demo": 1.0, "pack, crane": 5.0}  # fmt: skip


def run(n: int, seed: int) -> dict[str, Any]:
    """Medians of n runs each. seed: not used, nothing here is drawn by chance."""
    with tempfile.TemporaryDirectory(prefix="holdrun-cold-") as folder:
        out = str(Path(folder) / "pack.pdf")
        calls = {
            "bare argparse": [sys.executable, "-c", BARE],
            "--version": holdrun("--version"),
            "check, main demo": holdrun("check", str(DEMO)),
            "check without faults, main demo": holdrun("check", str(DEMO), "--faults", "none"),
            "prove, main demo": holdrun("prove", str(DEMO)),
            "check, crane": holdrun("check", str(CRANE)),
            "pack, main demo": holdrun("pack", str(DEMO), "-o", out),
            "pack, crane": holdrun("pack", str(CRANE), "-o", out),
        }
        found = {name: medians(n, lambda call=call: started(call)) for name, call in calls.items()}
    found["first screen"] = medians(n, first_screen)
    found |= drawn(n)
    ratio = found["--version"]["wall s"] / found["bare argparse"]["wall s"]
    walls = {name: found[name]["wall s"] for name in GOALS}
    late = {name: [walls[name], goal] for name, goal in GOALS.items() if walls[name] > goal}
    return {"load of the machine at the end": round(os.getloadavg()[0], 1),
            "--version over a bare program": round(ratio, 2), "commands": found,
            "later than asked for [s, goal]": late}  # fmt: skip


def holdrun(*words: str) -> list[str]:
    """A command line of the program in this environment."""
    return [str(Path(sys.executable).with_name("holdrun")), *words]


Figures = dict[str, float]


def medians(n: int, once: Callable[[], Figures]) -> Figures:
    """The median of each figure over n runs, after one that fills the caches."""
    once()
    rows = [once() for _ in range(n)]
    return {key: round(statistics.median(row[key] for row in rows), 3) for key in rows[0]}


def started(call: list[str]) -> Figures:
    """One run of a command: wall and processor seconds, most memory of it [MB]."""
    began = time.perf_counter()
    process = subprocess.Popen(call, cwd=ROOT, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    _, status, used = os.wait4(process.pid, 0)
    took = time.perf_counter() - began
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode not in (0, 1, 3):
        raise RuntimeError(f"{call} ended with {process.returncode}")
    return {"wall s": took, "cpu s": used.ru_utime + used.ru_stime, "memory MB": used.ru_maxrss / 1024}


def first_screen() -> Figures:
    """Seconds until the job stands on a terminal of 80x24; the verdict comes later, from a worker."""
    began = time.perf_counter()
    child, terminal = pty.fork()
    if child == 0:
        fcntl.ioctl(1, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
        os.environ |= {"TERM": "xterm-256color"}
        call = holdrun("open", str(DEMO))
        os.execv(call[0], call)
    seen = b""
    while b"prepared by" not in seen:
        if time.perf_counter() - began > 30 or not select.select([terminal], [], [], 30)[0]:
            raise RuntimeError("no screen within 30 s")
        seen += os.read(terminal, 65536)
    took = time.perf_counter() - began
    os.kill(child, 9)
    used = os.wait4(child, 0)[2]
    os.close(terminal)
    return {"wall s": took, "memory MB": used.ru_maxrss / 1024}


def drawn(n: int) -> dict[str, Figures]:
    """Layout and SVG of one sheet, in one process that has the plan."""
    found = {}
    for name, file in (("main demo", DEMO), ("crane", CRANE)):
        made = plan(load_job(str(file)))

        def once(made: Any = made) -> Figures:
            began = time.perf_counter()
            svg(drawing(made, sheet="connections"))
            return {"wall s": time.perf_counter() - began}

        parts = sum(p.kind != "wire" for p in made.after.parts) if made.after else 0
        found[f"sheet of the {name}"] = medians(n, once) | {"parts": parts}
    found["this process"] = {"memory MB": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024}
    return found
