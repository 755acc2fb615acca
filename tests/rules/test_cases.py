"""Every case of every rule, and that every rule has its cases."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from tests.rules.cases import KINDS, Case, finding, load, run
from wiring.check import RULES

CASES = load()


@pytest.mark.parametrize("case", CASES, ids=[c.id for c in CASES])
def test_case(case: Case, tmp_path: Path) -> None:
    """The finding that the case names has its verdict, its words and a source."""
    found = finding(run(case, tmp_path), case)
    assert str(found.verdict) == case.kind, f"{found.verdict}: {found.found}"
    text = f"{found.found} | {found.wanted} | {found.path} | {found.remedy}"
    assert case.body.get("says", "") in text, text
    assert "the check itself failed" not in found.found
    if case.kind in ("fail", "unknown"):
        assert found.remedy, "no next step"
    if case.kind in KINDS:
        assert found.wanted and found.source
    if "measured" in case.body:
        assert found.measured == pytest.approx(case.body["measured"], rel=1e-3)
    if "limit" in case.body:
        assert found.limit == pytest.approx(case.body["limit"], rel=1e-3)
    if "rests_on" in case.body:
        assert set(case.body["rests_on"]) <= set(found.rests_on)


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
