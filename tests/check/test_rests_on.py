"""rests_on is right: moving each weak value to the ends of its spread and comparing, by brute force."""

from __future__ import annotations

from functools import cache

import pytest

from tests.rules.cases import HERE, few
from wiring.check import RULES, digest
from wiring.check.case import Facts
from wiring.check.corners import Corners
from wiring.check.rests import Outcome
from wiring.check.runner import answer, findings_of
from wiring.circuit import build_after, build_before
from wiring.files import load_catalog
from wiring.files.job import load_job
from wiring.model.behaviour import Behaviour, Truth
from wiring.model.finding import Finding, Verdict

JUDGED = (Verdict.PASS, Verdict.FAIL)
BASES = ("malt", "gantry", "winch")


@cache
def facts(base: str) -> Facts:
    """A base job with settled states and without events."""
    job = load_job(HERE / "bases" / f"{base}.toml")
    catalog = load_catalog(HERE)
    before, after = build_before(job, catalog), build_after(job, catalog)
    none = Truth(True, 0, ())
    shown = Behaviour(none, none, (), (), None, (), (), (), (), 0.0, few(before), few(after))
    return Facts(job, catalog, before, after, shown, *digest(job, catalog))


def by_key(outcomes: list[Outcome]) -> dict[tuple[str, str], Verdict]:
    return {o.key: o.draft.verdict for o in outcomes}


@pytest.mark.parametrize("base", BASES)
def test_single_values(base: str) -> None:
    """Every weak value that alone changes a verdict is listed with it."""
    given = facts(base)
    checked = 0
    for rule in RULES.values():
        nominal = answer(rule, given)
        weak = {v.id: v for o in nominal for v in o.values if v.weak}
        found: dict[tuple[str, str], Finding] = {
            (f.subject, f.about): f for f in findings_of(rule, given, Corners(given, None))
        }
        for value in weak.values():
            for end in (value.low, value.high):
                moved = by_key(answer(rule, given, {value.id: end}))
                for key, verdict in by_key(nominal).items():
                    if verdict in JUDGED and moved.get(key) is not verdict:
                        assert value.id in found[key].rests_on, (rule.id, key, value.id)
                        checked += 1
    assert checked or base != "malt"


@pytest.mark.parametrize("base", BASES)
def test_what_a_resting_verdict_becomes(base: str) -> None:
    """A pass never rests on a recalled or placeholder value, and a fail never on a placeholder."""
    given = facts(base)
    for rule in RULES.values():
        weak = {v.id: v for o in answer(rule, given) for v in o.values}
        for finding in findings_of(rule, given, Corners(given, None)):
            bases = {weak[i].basis for i in finding.rests_on if i in weak}
            if finding.verdict is Verdict.PASS:
                assert not bases & {"memory", "placeholder"}, (rule.id, finding.subject, finding.rests_on)
            if finding.verdict is Verdict.FAIL:
                assert "placeholder" not in bases, (rule.id, finding.subject, finding.rests_on)
