"""Every case of every rule, and that every rule has its cases."""

from __future__ import annotations

from collections import Counter

import pytest

from tests.rules.cases import KINDS, Case, complaints, load
from tests.rules.told import prepared
from wiring.check import RULES

CASES = load()


@pytest.mark.parametrize("case", CASES, ids=[c.id for c in CASES])
def test_case(case: Case) -> None:
    """The finding that the case names has its verdict, its words and a source."""
    one = next(p for p in prepared(case.rule) if p.case == case)
    assert not complaints(one.own, case)


@pytest.mark.parametrize("rule", sorted(RULES))
def test_every_rule_has_all_kinds(rule: str) -> None:
    """A rule has at least one passing, one failing and one unknown case."""
    kinds = Counter(c.kind for c in CASES if c.rule == rule)
    assert all(kinds[k] for k in KINDS), dict(kinds)


def test_no_case_without_rule() -> None:
    """Every case file belongs to a rule."""
    assert {c.rule for c in CASES} <= set(RULES)


def test_names_are_not_used_twice() -> None:
    """Within a rule each case has a name of its own."""
    twice = [name for name, n in Counter(c.id for c in CASES).items() if n > 1]
    assert not twice
