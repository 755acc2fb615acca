"""Slips in rules and calculations, and whether the tests notice.

A seeded sample of n slips per room, each against the tests of that room which run its
line (`_rooms.py`). Then every limit and comparison of every rule file against that rule's
own cases; what they leave, against the other tests of the room. A survivor is a slip that no
test noticed.

HOLDRUN_ROOMS names the rooms to sample ("calc check"); "rules" stands for the second part.
HOLDRUN_AGAIN names a file with an earlier result: only its survivors are tried again.
HOLDRUN_PATIENCE: CPU seconds of tests that a slip is given (30).
HOLDRUN_LEARNT names a folder that keeps which tests run which lines.
HOLDRUN_TESTS: test files to try them against instead of all of the room.

Why a survivor may live stands in `mutation_argued.toml`, by file and slip without the line.
"""

from __future__ import annotations

import json
import os
import random
import signal
import tomllib
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from types import ModuleType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tests.rules.cases import Prepared

from tests.campaign._mutants import LIMITS, Mutant, mutants
from tests.campaign._rooms import ROOT, Outcome, forked, in_room

RULES = ROOT / "wiring" / "check" / "rules"
ARGUED = Path(__file__).with_name("mutation_argued.toml")
CASE_S = 20


def run(n: int, seed: int) -> dict[str, object]:
    """All slips in the limits of the rules, then n slips a room."""
    wanted = os.environ.get("HOLDRUN_ROOMS", "calc check simulate planner rules").split()
    result: dict[str, object] = {}
    for room in wanted:
        if room == "rules":
            result[room] = of_rules(sorted(RULES.glob("[!_]*.py")))
        else:
            result[room] = summary(in_room(room, again(room, sample(room, n, seed))))
    return result


def of_rules(files: Sequence[Path]) -> dict[str, object]:
    """Every limit and comparison of rule files: what their cases notice, and the other tests after them."""
    by_case: list[Outcome] = forked(lambda: in_rules(files))
    left = [o.mutant for o in by_case if not o.noticed]
    by_others = {o.mutant: o for o in in_room("check", left)}
    noticed = sum(o.noticed for o in by_case)
    return summary([by_others.get(o.mutant, o) for o in by_case]) | {"noticed by the cases alone": noticed}


def sample(room: str, n: int, seed: int) -> list[Mutant]:
    """n slips of a room, drawn from all that can be made in its files."""
    every = [m for file in sorted((ROOT / "wiring" / room).rglob("*.py")) for m in mutants(file)]
    return random.Random(f"{room} {seed}").sample(every, min(n, len(every)))


def again(room: str, chosen: list[Mutant]) -> list[Mutant]:
    """Of some slips those that an earlier result calls survivors; all where no result is named."""
    if "HOLDRUN_AGAIN" not in os.environ:
        return chosen
    left = set(json.loads(Path(os.environ["HOLDRUN_AGAIN"]).read_text("utf-8"))[room]["survivors"])
    return [m for m in chosen if label(m) in left]


def label(mutant: Mutant) -> str:
    """A slip with its place, as results name it."""
    return f"{mutant.file.relative_to(ROOT)}:{mutant.line} {mutant.text}"


def nameless(mutant: Mutant) -> str:
    """A slip with its file, but without the line, which moves."""
    return f"{mutant.file.relative_to(ROOT)} {mutant.text}"


def argued() -> dict[str, str]:
    """Why a slip may live, by file and slip."""
    groups = tomllib.loads(ARGUED.read_text("utf-8"))["argument"]
    return {slip: group["why"] for group in groups for slip in group["slips"]}


def summary(outcomes: Sequence[Outcome]) -> dict[str, object]:
    """Counts, and each survivor with its place and the reason why it may live."""
    left = [o for o in outcomes if not o.noticed]
    reasons = argued()
    return {
        "slips": len(outcomes),
        "noticed": len(outcomes) - len(left),
        "share": round(1 - len(left) / len(outcomes), 4) if outcomes else None,
        "lines no test runs": sum(not o.looked for o in left),
        "survivors": {label(o.mutant): reasons.get(nameless(o.mutant), "not argued") for o in left},
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
        for m in (m for m in mutants(file) if m.kind in kinds):
            outcomes.append(Outcome(m, name if noticed_by_cases(m, ready, known) else "", len(ready)))
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
