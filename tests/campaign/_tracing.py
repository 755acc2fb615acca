"""Which tests of a room run which of its lines, learnt from one run under a tracer of our own."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from pathlib import Path
from types import CodeType, FrameType
from typing import Any

import pytest

#: A file of the room by its full path, and a line of it.
Line = tuple[str, int]


@dataclass
class Learnt:
    """One run of a room's tests.

    tests: node ids as collected; cost: CPU seconds of each under the tracer; before: lines that
    ran while the tests were collected and warmed; by_line: indices of the tests that ran a line;
    failed: tests that do not pass as they are, which can tell nothing.
    """

    tests: list[str] = field(default_factory=list)
    cost: list[float] = field(default_factory=list)
    shares: list[tuple[str, ...]] = field(default_factory=list)
    before: set[Line] = field(default_factory=set)
    by_line: dict[Line, list[int]] = field(default_factory=dict)
    failed: list[str] = field(default_factory=list)


class Lines:
    """Notes each line of the files under one folder that runs, once between two calls of `taken`."""

    def __init__(self, folder: Path) -> None:
        self.folder = f"{folder}/"
        self.foreign: set[CodeType] = set()
        self.all_of: dict[CodeType, set[int]] = {}
        self.left: dict[CodeType, set[int]] = {}

    def start(self) -> None:
        """Begin to note."""
        sys.settrace(self.called)

    def called(self, frame: FrameType, event: str, arg: object) -> Callable[..., Any] | None:
        """Trace function for calls: lines are followed where some of them have not run yet."""
        code = frame.f_code
        if code in self.foreign:
            return None
        left = self.left.get(code)
        if left is None:
            if not code.co_filename.startswith(self.folder):
                self.foreign.add(code)
                return None
            every = self.all_of.setdefault(code, {n for _, _, n in code.co_lines() if n})
            left = self.left[code] = set(every)
        if not left:
            return None

        def ran(frame: FrameType, event: str, arg: object) -> Callable[..., Any] | None:
            left.discard(frame.f_lineno)
            return ran if left else None

        left.discard(frame.f_lineno)
        return ran

    def taken(self) -> set[Line]:
        """The lines that ran since the last call."""
        ran = {(c.co_filename, n) for c, left in self.left.items() for n in self.all_of[c] - left}
        self.left = {}
        return ran


class Learning:
    """A pytest plugin that runs the tests one by one and notes what each of them runs."""

    def __init__(self, folder: Path, warm: Callable[[], None]) -> None:
        self.lines = Lines(folder)
        self.warm = warm
        self.learnt = Learnt()
        self.lines.start()

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """Run every test, with the lines it ran counted for it."""
        self.warm()
        self.learnt.before = self.lines.taken()
        self.learnt.tests = [item.nodeid for item in session.items]
        following: Iterable[pytest.Item | None] = [*session.items[1:], None]
        for index, (item, after) in enumerate(zip(session.items, following, strict=True)):
            began = time.process_time()
            self.lines.start()  # a test may have taken the trace function away
            item.config.hook.pytest_runtest_protocol(item=item, nextitem=after)
            self.learnt.cost.append(time.process_time() - began)
            self.learnt.shares.append(shared(item))
            for line in self.lines.taken():
                self.learnt.by_line.setdefault(line, []).append(index)
        sys.settrace(None)
        return True

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Note a test that does not pass."""
        if report.failed:
            self.learnt.failed.append(report.nodeid)


def shared(item: pytest.Item) -> tuple[str, ...]:
    """Fixtures of a test that it shares with other tests."""
    found: dict[str, Any] = getattr(getattr(item, "_fixtureinfo", None), "name2fixturedefs", {})
    module = item.nodeid.partition("::")[0]
    return tuple(
        f"{module}:{name}"
        for name, defs in sorted(found.items())
        if defs[-1].scope != "function" and defs[-1].baseid
    )
