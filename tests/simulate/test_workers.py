"""Processes beside the first one end when it does, however it ends."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]

RUN = """
import multiprocessing, sys, time
from wiring.circuit import build_type
from wiring.files import load_catalog
from wiring.simulate.underway import beside
hoist = build_type(load_catalog().hoists["reversing-contactors-24"])
with beside(hoist, hoist) as waited:
    waited()
    print(*(child.pid for child in multiprocessing.active_children()), flush=True)
    time.sleep(600)
"""


def gone(pid: int) -> bool:
    """True where a process has ended, even if nobody has asked how."""
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return True
    stat = Path(f"/proc/{pid}/stat")
    return stat.exists() and stat.read_text().rpartition(")")[2].split()[0] == "Z"


@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="asks /proc what became of a process")
@pytest.mark.parametrize("how", [signal.SIGKILL, signal.SIGINT])
def test_no_process_outlives_the_first(how: signal.Signals) -> None:
    """Killed or interrupted, the first process takes the others with it, and they say nothing."""
    first = subprocess.Popen([sys.executable, "-c", RUN], cwd=ROOT, stdout=subprocess.PIPE,
                             stderr=subprocess.PIPE, text=True, start_new_session=True)  # fmt: skip
    assert first.stdout is not None
    others = [int(word) for word in first.stdout.readline().split()]
    assert others and not any(map(gone, others))
    if how is signal.SIGINT:
        os.killpg(first.pid, how)  # as a terminal does
    else:
        first.kill()
    _, said = first.communicate(timeout=60)
    assert "Process" not in said and "Broken" not in said
    end = time.monotonic() + 30
    while not all(map(gone, others)) and time.monotonic() < end:
        time.sleep(0.05)
    assert all(map(gone, others))
