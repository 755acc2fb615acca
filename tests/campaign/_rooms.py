"""Slips of one room, each against the tests that run its line, in a process of its own.

One run under a tracer tells which tests run which lines. Where the slip sits in a function that
nobody has called while the tests were collected, a process with everything loaded is forked and
the slip put into the function itself; else the module is loaded anew with the slip in it. The
tests that run the line come first, the cheap ones before the dear ones, then those that share a
fixture or a stored case with them. The first that fails ends the run.
"""

from __future__ import annotations

import gc
import os
import pickle
import resource
import signal
import sys
import tempfile
import time
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from tests.campaign._loading import Slipped, functions_under, place, put_into
from tests.campaign._mutants import Mutant
from tests.campaign._tracing import Learning, Learnt

ROOT = Path(__file__).parents[2]
ROOMS: dict[str, tuple[str, ...]] = {
    "calc": ("tests/calc",),
    "check": ("tests/rules", "tests/check"),
    "simulate": ("tests/simulate",),
    "planner": ("tests/planner",),
}
#: CPU seconds of tests that a slip is given; who is not noticed by then counts as not noticed.
PATIENCE_S = float(os.environ.get("HOLDRUN_PATIENCE", "30"))
#: A test that takes so many times its own time, and so many CPU seconds, never comes to an end.
ENDLESS, ENDLESS_S, WALL_S = 4.0, 10.0, 1200
MEMORY = 3 << 30
OPTIONS = (
    "-q", "-s", "-n0", "-p", "no:cacheprovider", "--assert=plain", "--tb=no", "--no-header", "--no-summary",
)  # fmt: skip
CASES = "tests/rules/test_cases.py::test_case["
TOLD = "tests/rules/test_told.py::test_rule_says_what_it_said["


@dataclass(frozen=True)
class Outcome:
    """A slip, the test that noticed it ("" where none did), and how many tests run its line."""

    mutant: Mutant
    by: str
    looked: int

    @property
    def noticed(self) -> bool:
        """Whether a test failed, or never came to an end."""
        return bool(self.by)


def in_room(room: str, chosen: Sequence[Mutant]) -> list[Outcome]:
    """What the tests of a room say about each slip, in the order of the slips."""
    import numpy  # noqa: F401 - loaded once here, not in every process
    import pydantic  # noqa: F401

    if any(m.split(".")[0] == "wiring" for m in sys.modules):
        raise RuntimeError("the product is loaded already; sample rooms in a process without it")
    learnt: Learnt = forked(lambda: learnt_before(room))
    print(f"{room}: {len(learnt.tests)} tests, {sum(learnt.cost):.0f} CPU s traced", file=sys.stderr)
    if learnt.failed:
        raise RuntimeError(f"tests of {room} do not pass as they are: {learnt.failed[:5]}")
    orders = {m: order(m, learnt) for m in chosen}
    hot = [m for m in chosen if orders[m] and in_place(m, learnt)]
    done: dict[Mutant, Outcome] = {o.mutant: o for o in forked(lambda: Hot(room, hot, orders, learnt).all())}
    for m in chosen:
        if m not in done and (orders[m] or early(m, learnt)):
            after = orders[m] or of_file(m, learnt)
            done[m] = told(Outcome(m, forked_one(lambda m=m, a=after: anew(m, a, learnt)), len(after)))  # type: ignore[misc]
    return [done.get(m) or told(Outcome(m, "", 0)) for m in chosen]


def told(outcome: Outcome) -> Outcome:
    """The outcome, said to whoever waits."""
    by = outcome.by or f"SURVIVES {outcome.looked} tests"
    m = outcome.mutant
    print(f"{m.file.relative_to(ROOT)}:{m.line} {m.text[:90]} | {by}", file=sys.stderr, flush=True)
    return outcome


# -- what is known before -----------------------------------------------------------------------


def learnt_before(room: str) -> Learnt:
    """What one run of the tests tells, kept in the folder HOLDRUN_LEARNT where that is named."""
    folder = os.environ.get("HOLDRUN_LEARNT")
    kept = Path(folder) / f"{room}.pickle" if folder else None
    if kept is not None and kept.exists():
        return pickle.loads(kept.read_bytes())  # type: ignore[no-any-return]
    found = learn(room)
    if kept is not None:
        kept.write_bytes(pickle.dumps(found))
    return found


def of_file(mutant: Mutant, learnt: Learnt) -> list[int]:
    """For a slip that is there when a module is loaded: first the tests that run anything of its file."""
    near: set[int] = set()
    for (file, _), tests in learnt.by_line.items():
        if file == str(mutant.file):
            near.update(tests)
    near |= relatives(near, learnt)
    cost = costs(learnt)
    return sorted(range(len(learnt.tests)), key=lambda i: (i not in near, cost[i]))


def learn(room: str) -> Learnt:
    """One run of the tests of a room, under a tracer."""
    plugin = Learning(ROOT / "wiring" / room, lambda: warm(room))
    pytest.main([*OPTIONS, *tests_of(room)], plugins=[plugin])
    return plugin.learnt


def tests_of(room: str) -> Sequence[str]:
    """The folders or files with the tests that slips of a room are tried against."""
    return os.environ.get("HOLDRUN_TESTS", "").split() or ROOMS[room]


def warm(room: str) -> None:
    """Read what every test needs; lines of the room that run here are known as run before."""
    from wiring.files import load_catalog

    catalog = load_catalog()
    kept = [list(m.values()) for m in (catalog.hoists, catalog.receivers, catalog.devices, catalog.tables)]
    assert all(kept)
    if "tests.rules.test_told" in sys.modules:
        from tests.rules.told import prepared
        from wiring.check import RULES

        for rule in RULES:
            prepared(rule)
    if "tests.rules.test_told_jobs" in sys.modules:
        from tests.rules import told_jobs

        for job in told_jobs.JOBS:
            told_jobs.prepared(job)


def early(mutant: Mutant, learnt: Learnt) -> bool:
    """Whether a line of the slip ran while the tests were collected."""
    return any((str(mutant.file), n) in learnt.before for n in place(mutant).lines)


def in_place(mutant: Mutant, learnt: Learnt) -> bool:
    """Whether the slip can be put into a function that has not been called yet."""
    return place(mutant).in_function and not early(mutant, learnt)


def order(mutant: Mutant, learnt: Learnt) -> list[int]:
    """The tests that may notice a slip: those that run its line, cheap ones first, then their kin."""
    first: set[int] = set()
    for line in place(mutant).lines:
        first.update(learnt.by_line.get((str(mutant.file), line), ()))
    kin = relatives(first, learnt) - first
    words = {i for i in first | kin if learnt.tests[i].startswith(TOLD)}
    cost = costs(learnt)
    return [
        *sorted(words, key=cost.__getitem__),
        *sorted(first - words, key=cost.__getitem__),
        *sorted(kin - words, key=cost.__getitem__),
    ]


def costs(learnt: Learnt) -> list[float]:
    """CPU seconds a test; a shared fixture is paid by each, what a rule says by the sum of its cases."""
    dear: dict[tuple[str, ...], float] = {}
    rule: dict[str, float] = {}
    for name, cost, shares in zip(learnt.tests, learnt.cost, learnt.shares, strict=True):
        dear[shares] = max(dear.get(shares, 0.0), cost) if shares else 0.0
        rule[rule_of_test(name)] = rule.get(rule_of_test(name), 0.0) + cost
    return [
        rule[rule_of_test(name)] if name.startswith(TOLD) else max(cost, dear[shares])
        for name, cost, shares in zip(learnt.tests, learnt.cost, learnt.shares, strict=True)
    ]


def relatives(found: Iterable[int], learnt: Learnt) -> set[int]:
    """Tests that work on what the found ones have stored: the same rule's cases, the same module."""
    names = {learnt.tests[i] for i in found}
    rules = {rule_of_test(n) for n in names} - {""}
    modules = {n.partition("::")[0] for n in names if not rule_of_test(n)}
    return {
        i
        for i, name in enumerate(learnt.tests)
        if (rule_of_test(name) in rules if rule_of_test(name) else name.partition("::")[0] in modules)
    }


def rule_of_test(name: str) -> str:
    """The rule that a test of cases or of sayings is about, "" for any other test."""
    for head in (CASES, TOLD):
        if name.startswith(head):
            return name[len(head) : -1].partition(":")[0]
    return ""


# -- one slip ------------------------------------------------------------------------------------


class Hot:
    """A pytest plugin: everything collected and warm, each slip in a fork of that."""

    def __init__(
        self, room: str, chosen: Sequence[Mutant], orders: Mapping[Mutant, list[int]], learnt: Learnt
    ) -> None:
        self.room, self.chosen, self.orders, self.learnt = room, chosen, orders, learnt
        self.outcomes: list[Outcome] = []

    def all(self) -> list[Outcome]:
        """The outcome of every slip."""
        if self.chosen:
            pytest.main([*OPTIONS, *tests_of(self.room)], plugins=[self])
        return self.outcomes

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """Instead of running the tests, run some of them for each slip."""
        warm(self.room)
        items = {item.nodeid: item for item in session.items}
        functions = functions_under(ROOT / "wiring" / self.room)
        gc.collect()
        gc.freeze()
        for m in self.chosen:
            after = self.orders[m]

            def one(m: Mutant = m, after: Sequence[int] = after) -> str:
                if not put_into(functions.get(str(m.file), ()), m):
                    raise RuntimeError(f"no function takes {m.text}")
                return first_failing(items, after, self.learnt)

            self.outcomes.append(told(Outcome(m, forked_one(one), len(after))))
        return True


class Anew:
    """A pytest plugin that runs some tests in an order of its own."""

    def __init__(self, after: Sequence[int], learnt: Learnt) -> None:
        self.after, self.learnt, self.by = after, learnt, ""

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """Run them until one fails."""
        if session.testsfailed:
            self.by = "the tests do not load"
        else:
            self.by = first_failing({i.nodeid: i for i in session.items}, self.after, self.learnt)
        return True


def anew(mutant: Mutant, after: Sequence[int], learnt: Learnt) -> str:
    """The test that fails where a module is loaded with a slip in it."""
    sys.meta_path.insert(0, Slipped(mutant))
    files = sorted({learnt.tests[i].partition("::")[0] for i in after})
    plugin = Anew(after, learnt)
    code = pytest.main([*OPTIONS, "--continue-on-collection-errors", *files], plugins=[plugin])
    return plugin.by or ("the tests do not load" if code not in (0, 1, 5) else "")


class Watch:
    """A pytest plugin that keeps the first failure."""

    def __init__(self) -> None:
        self.by = ""

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Keep it."""
        if report.failed and not self.by:
            self.by = report.nodeid


def first_failing(items: Mapping[str, pytest.Item], after: Sequence[int], learnt: Learnt) -> str:
    """The first of some tests that fails, "" where none does while patience lasts."""
    began = time.process_time()
    cost = costs(learnt)
    mine = [(items[learnt.tests[i]], cost[i]) for i in after if learnt.tests[i] in items]
    watch = Watch()
    if mine:
        mine[0][0].config.pluginmanager.register(watch)
    for (item, expected), following in zip(mine, [*(m[0] for m in mine[1:]), None], strict=True):
        signal.setitimer(signal.ITIMER_PROF, max(ENDLESS_S, ENDLESS * expected))  # ends the process
        item.config.hook.pytest_runtest_protocol(item=item, nextitem=following)
        if watch.by or time.process_time() - began > PATIENCE_S:
            break
    return watch.by


# -- processes -----------------------------------------------------------------------------------


def forked_one(work: Callable[[], str]) -> str:
    """What a forked process says, or how it was ended."""

    def limited() -> str:
        resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
        signal.alarm(WALL_S)
        return work()

    try:
        return str(forked(limited))
    except ChildProcessError as gone:
        if gone.args[0] in (-signal.SIGPROF, -signal.SIGALRM):
            return "never comes to an end"
        if gone.args[0] == -signal.SIGSEGV:
            return "falls into itself"
        raise


def forked(work: Callable[[], Any]) -> Any:
    """What some work comes to in a forked process without output. Raises ChildProcessError where it ends."""
    with tempfile.TemporaryDirectory() as folder:
        answer = Path(folder) / "answer"
        child = os.fork()
        if child == 0:
            code = 97
            try:
                os.chdir(ROOT)
                said = os.dup(2)
                nothing = os.open(os.devnull, os.O_WRONLY)
                os.dup2(nothing, 1)
                sys.stdout = os.fdopen(nothing, "w")
                sys.stderr = os.fdopen(said, "w", buffering=1)
                answer.write_bytes(pickle.dumps(work()))
                code = 0
            finally:
                os._exit(code)
        _, status = os.waitpid(child, 0)
        if os.waitstatus_to_exitcode(status):
            raise ChildProcessError(os.waitstatus_to_exitcode(status))
        return pickle.loads(answer.read_bytes())
