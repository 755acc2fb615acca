"""Slips in rules and calculations, and whether the tests notice.

A seeded sample of n slips per room, each against the room's tests in a process of
its own. Then every limit and comparison of every rule file against that rule's own
cases, in this process. A survivor is a slip that no test noticed.

HOLDRUN_ROOMS names the rooms to sample ("calc check"); "rules" stands for the second part.
"""

from __future__ import annotations

import importlib.abc
import importlib.util
import os
import random
import signal
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager, redirect_stderr, redirect_stdout
from dataclasses import dataclass
from importlib.machinery import ModuleSpec, SourceFileLoader
from pathlib import Path
from types import CodeType, ModuleType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tests.rules.cases import Prepared

from tests.campaign._mutants import LIMITS, Mutant, mutants

ROOT = Path(__file__).parents[2]
RULES = ROOT / "wiring" / "check" / "rules"
ROOMS: dict[str, tuple[str, ...]] = {
    "calc": ("tests/calc",),
    "check": ("tests/rules", "tests/check"),
    "simulate": ("tests/simulate",),
    "planner": ("tests/planner",),
}
#: Seconds after which a slip counts as noticed: it never comes to an end.
ENDLESS_S = 300
CASE_S = 20

#: A slip, and whether it was noticed.
Outcome = tuple[Mutant, bool]


def run(n: int, seed: int) -> dict[str, object]:
    """All slips in the limits of the rules, then n slips a room."""
    wanted = os.environ.get("HOLDRUN_ROOMS", "calc check simulate planner rules").split()
    result: dict[str, object] = {}
    for room in sorted(wanted, key=lambda name: name == "rules"):  # rules last: they load the product
        if room == "rules":
            outcomes = in_rules(sorted(RULES.glob("[!_]*.py")))
        else:
            outcomes = in_room(room, sample(room, n, seed))
        result[room] = summary(outcomes)
    return result


def sample(room: str, n: int, seed: int) -> list[Mutant]:
    """n slips of a room, drawn from all that can be made in its files."""
    every = [m for file in sorted((ROOT / "wiring" / room).rglob("*.py")) for m in mutants(file)]
    return random.Random(f"{room} {seed}").sample(every, min(n, len(every)))


def summary(outcomes: Sequence[Outcome]) -> dict[str, object]:
    """Counts, and each survivor with its place."""
    left = [m for m, noticed in outcomes if not noticed]
    return {
        "slips": len(outcomes),
        "noticed": len(outcomes) - len(left),
        "share": round(1 - len(left) / len(outcomes), 4) if outcomes else None,
        "survivors": [f"{m.file.relative_to(ROOT)}:{m.line} {m.text}" for m in left],
    }


# -- rules, against their own cases --------------------------------------------


def in_rules(files: Iterable[Path], kinds: frozenset[str] = LIMITS) -> list[Outcome]:
    """Every slip of some kinds in rule files, each against the cases of its rule."""
    from tests.rules.cases import complaints
    from tests.rules.told import prepared, told

    outcomes: list[Outcome] = []
    for file in files:
        name = rule_of(file)
        ready = prepared(name)
        known = told(ready)
        if any(complaints(one.own, one.case) for one in ready if one.case.kind):
            raise RuntimeError(f"the cases of {name} do not stand as they are")
        outcomes += [(m, noticed_by_cases(m, ready, known)) for m in mutants(file) if m.kind in kinds]
    return outcomes


def rule_of(file: Path) -> str:
    """The id of the rule in a file."""
    return file.stem.replace("_", ".", 1).replace("_", "-")


def noticed_by_cases(mutant: Mutant, ready: list[Prepared], known: str) -> bool:
    """Whether the rule with the slip fails to load, or says something else about a case."""
    from tests.rules.told import told
    from wiring.check.rule import Rule

    name = f"wiring.check.rules.{mutant.file.stem}"
    slipped = ModuleType(name)
    try:
        with time_limit(CASE_S):
            exec(compile(mutant.tree(), str(mutant.file), "exec"), vars(slipped))
            rule = next(v for v in vars(slipped).values() if isinstance(v, Rule))
            return told(ready, rule) != known
    except Exception:  # noqa: BLE001 - a slip may raise anything, and that is noticing it
        return True


@contextmanager
def time_limit(seconds: int) -> Iterator[None]:
    """Raises TimeoutError in the block after some seconds."""

    def late(*_: object) -> None:
        raise TimeoutError

    before = signal.signal(signal.SIGALRM, late)
    signal.alarm(seconds)
    try:
        yield
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, before)


# -- rooms, against their tests --------------------------------------------------


def in_room(room: str, chosen: Sequence[Mutant]) -> list[Outcome]:
    """Slips of one room, each against the tests of the room in a process of its own."""
    import numpy  # noqa: F401 - loaded once here, not in every process
    import pydantic  # noqa: F401
    import pytest  # noqa: F401

    if any(m.split(".")[0] == "wiring" for m in sys.modules):
        raise RuntimeError("the product is loaded already; sample rooms in a process without it")
    if in_child(lambda: tests_of(room)) != 0:
        raise RuntimeError(f"the tests of {room} do not pass as they are")
    outcomes = []
    for number, mutant in enumerate(chosen, 1):
        code = in_child(lambda m=mutant: slipped_tests(room, m))  # type: ignore[misc]
        outcomes.append((mutant, code != 0))
        print(
            f"{room} {number}/{len(chosen)} {'noticed' if code else 'SURVIVES'} {mutant.text}",
            file=sys.stderr,
        )
    return outcomes


def slipped_tests(room: str, mutant: Mutant) -> int:
    """The room's tests with a slip in one module; first the cases of the rule it may belong to."""
    sys.meta_path.insert(0, Slipped(mutant))
    if mutant.file.parent == RULES and in_rules_one(mutant):
        return 1
    return tests_of(room)


def in_rules_one(mutant: Mutant) -> bool:
    """Whether the cases of the rule with this slip in it complain."""
    import pytest

    chosen = f"tests/rules/test_told.py::test_rule_says_what_it_said[{rule_of(mutant.file)}]"
    return int(pytest.main(["-x", "-q", "-p", "no:cacheprovider", chosen])) == 1


def tests_of(room: str) -> int:
    """Exit code of pytest over the tests of a room."""
    import pytest

    return int(pytest.main(["-x", "-q", "-p", "no:cacheprovider", *ROOMS[room]]))


def in_child(work: Callable[[], int]) -> int:
    """Exit code of some work in a forked process, 99 where it had to be ended."""
    child = os.fork()
    if child == 0:
        code = 98
        try:
            os.chdir(ROOT)
            signal.alarm(ENDLESS_S)  # ends the process
            with open(os.devnull, "w") as nothing, redirect_stdout(nothing), redirect_stderr(nothing):
                code = work()
        finally:
            os._exit(code)
    _, status = os.waitpid(child, 0)
    return os.waitstatus_to_exitcode(status)


@dataclass
class Slipped(importlib.abc.MetaPathFinder):
    """Finds one module with a slip in it, and leaves the others alone."""

    mutant: Mutant

    def find_spec(
        self, name: str, path: Sequence[str] | None = None, target: ModuleType | None = None
    ) -> ModuleSpec | None:
        parts = self.mutant.file.relative_to(ROOT).with_suffix("").parts
        if name != ".".join(parts[:-1] if parts[-1] == "__init__" else parts):
            return None
        loader = SlippedLoader(name, str(self.mutant.file), self.mutant)
        return importlib.util.spec_from_file_location(name, self.mutant.file, loader=loader)


class SlippedLoader(SourceFileLoader):
    """Loads a module from its tree with the slip."""

    def __init__(self, name: str, path: str, mutant: Mutant) -> None:
        super().__init__(name, path)
        self.mutant = mutant

    def get_code(self, fullname: str) -> CodeType:
        return compile(self.mutant.tree(), str(self.mutant.file), "exec")  # type: ignore[no-any-return]
