"""What the demos' verdicts rest on, against values moved at their source with everything run anew."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.campaign import rests
from wiring.model.finding import Verdict


def test_a_sample_of_the_campaign() -> None:
    """No weak value changes a verdict unlisted, and none is listed that changes nothing."""
    found = rests.run(5, 2)
    assert found["failures"] == []
    assert found["moved"] == 5


@pytest.mark.parametrize("name", rests.DEMOS)
def test_the_values_that_decide(name: str) -> None:
    """Every value listed as deciding is one that its report calls unknown, or a fail that is marked."""
    h = rests.hoist(name)
    for finding in h.report.findings:
        bases = {h.weak[i].basis for i in finding.rests_on if i in h.weak}
        assert not (bases and finding.verdict is Verdict.PASS)
        assert not ("placeholder" in bases and finding.verdict is Verdict.FAIL)


def test_the_brute_force_sees_a_value_that_is_not_listed() -> None:
    """With what it rests on struck from a report, the campaign finds the value."""
    h = rests.hoist("malt-first-try")
    blind = tuple(replace(f, rests_on=()) for f in h.report.findings)
    h = replace(h, report=replace(h.report, findings=blind))
    bare = rests.verdicts(rests.bare_report(h, {}))
    missed, seen = rests.unlisted(h, h.weak["hoist:F1.rating"], bare)
    assert seen and len(missed) == seen


@pytest.mark.parametrize("ohms", [9.25, 18.5, 20.0, 37.0])
def test_shorted_capacitor_does_not_hang_on_the_windings(ohms: float) -> None:
    """Both outputs at once short a capacitor motor's capacitor, however unequal its windings are."""
    h = rests.hoist("malt-first-try")
    found = rests.verdicts(rests.bare_report(h, {"hoist:WA.run_r": ohms}))
    assert found["mode.opposing", "key:down + key:up", "after"] is Verdict.FAIL
