"""Kills the running screens with -9 at any time and looks at what is left on the disk."""

from __future__ import annotations

import fcntl
import os
import pty
import random
import re
import select
import signal
import struct
import sys
import termios
import time
import tomllib
from dataclasses import dataclass
from pathlib import Path

from tui.draft import draft_path

START = "import sys, tui; tui.start(sys.argv[1])"
PATIENCE = 20.0
SIZE = (24, 80)


@dataclass
class Terminal:
    """The screens in a pseudo terminal. seen: everything they wrote, escape codes taken out."""

    pid: int
    file: int
    seen: str = ""

    @classmethod
    def start(cls, job: Path) -> Terminal:
        pid, file = pty.fork()
        if pid == 0:
            os.environ |= {
                "TERM": "xterm-256color",
                "TEXTUAL_ANIMATIONS": "none",
                "COLUMNS": "80",
                "LINES": "24",
            }
            os.execv(sys.executable, [sys.executable, "-c", START, str(job)])
        fcntl.ioctl(file, termios.TIOCSWINSZ, struct.pack("HHHH", *SIZE, 0, 0))
        return cls(pid, file)

    def read(self, seconds: float) -> None:
        """Take in what is written for a while."""
        end = time.monotonic() + seconds
        while (left := end - time.monotonic()) > 0:
            ready, _, _ = select.select([self.file], [], [], left)
            if not ready:
                return
            try:
                raw = os.read(self.file, 65536)
            except OSError:
                return
            text = raw.decode("utf-8", "replace")
            self.seen += re.sub(r"\x1b(\[[0-9;?<>=]*[A-Za-z]|[()][A-Z0-9]|[=>78])", "", text)

    def wait(self, word: str) -> None:
        """Wait until a word stands on the screen."""
        end = time.monotonic() + PATIENCE
        while word not in self.seen:
            assert time.monotonic() < end, f"never came: {word}\n{self.seen[-2000:]}"
            self.read(0.05)

    def send(self, keys: str, pause: float = 0.15) -> None:
        """Press keys, one after the other."""
        for key in keys:
            os.write(self.file, key.encode())
            self.read(0.02)
        self.read(pause)

    def kill(self) -> None:
        """End it the hard way."""
        os.kill(self.pid, signal.SIGKILL)
        os.waitpid(self.pid, 0)
        os.close(self.file)


def kills(folder: Path, text: str, n: int, seed: int) -> dict[str, int]:
    """Edit and kill n times. Raises AssertionError where a file is not whole or a draft is not offered."""
    chance = random.Random(seed)
    job = folder / "malt.toml"
    job.write_text(text, "utf-8")
    draft = draft_path(job)
    kept = 0
    for round in range(n):
        there = draft.exists()
        screen = Terminal.start(job)
        screen.wait("Lock out")
        if there:
            screen.wait("A draft of")
            screen.send("\r")
        screen.wait("OPEN: ")
        screen.send("4")
        screen.send("\x1b[C", 0.1)
        screen.send(f"\rshade {round}\r", chance.random() * 0.3)
        screen.kill()
        assert job.read_text("utf-8") == text, "the job file was touched"
        if draft.exists():
            tomllib.loads(draft.read_text("utf-8"))
            kept += 1
    if draft.exists():
        screen = Terminal.start(job)
        screen.wait("A draft of")
        screen.kill()
    return {"kills": n, "drafts": kept, "seed": seed}
