"""Faults that are still under way while the first rules are asked."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

import wiring.check
from wiring.check import RULES, judge
from wiring.circuit import build_after, build_before
from wiring.files import load_catalog, load_job
from wiring.model.behaviour import Behaviour
from wiring.simulate import behaviour

JOBS = sorted((Path(__file__).parents[1] / "jobs" / "worked").glob("sack-hoist-*.toml"))


@pytest.mark.parametrize("file", JOBS, ids=lambda path: path.stem)
def test_the_report_is_the_same_whenever_the_faults_come(file: Path) -> None:
    """A report made while the faults are under way is the one made with all of them at hand, and they
    are waited for only when every rule that needs none has answered."""
    job, catalog = load_job(file), load_catalog(file.parent)
    before, after = build_before(job, catalog), build_after(job, catalog)
    whole = behaviour(before, after, "single")
    sound = replace(behaviour(before, after, "none"), seconds=whole.seconds)
    asked: list[str] = []
    rules = {
        id: replace(rule, check=lambda case, rule=rule: asked.append(rule.id) or rule.check(case))
        for id, rule in RULES.items()
    }

    def complete() -> Behaviour:
        asked.append("faults")
        return whole

    later = judge(job, catalog, before, after, sound, rules=rules, complete=complete)
    assert later == judge(job, catalog, before, after, whole)
    first = asked.index("faults")
    needing = {id for id, rule in RULES.items() if rule.wants == "faults" or rule.faults_too}
    assert needing.isdisjoint(asked[: first - 1]) and set(asked[first:]) <= {"faults", *needing}


def test_rules_reach_the_faults_by_one_door() -> None:
    """No rule takes the faults from the behaviour itself, where they may not have come yet."""
    folder = Path(wiring.check.__file__).parent
    found = [path.name for path in sorted(folder.rglob("*.py"))
             if re.search(r"behaviour\.faults", path.read_text("utf-8"))]  # fmt: skip
    assert found == ["case.py", "corners.py"]
