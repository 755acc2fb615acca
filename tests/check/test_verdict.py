"""Boundary and margin: the printed pair decides."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.check.made import job, made
from tests.check.planted import CATALOG
from wiring.check.rule import us
from wiring.check.verdict import holds, identity, margin_of
from wiring.model.finding import Finding, Verdict
from wiring.model.job import HoistFacts
from wiring.model.plan import Counts, Report


@pytest.mark.parametrize(
    ("measured", "limit", "sense", "unit", "expected"),
    [
        (5.0, 5.0, "at-most", "A", True),
        (5.0001, 5.0, "at-most", "A", False),
        (0.1 + 0.2, 0.3, "at-most", "A", True),
        (20.4, 20.4, "at-least", "V", True),
        (20.39, 20.4, "at-least", "V", False),
        (4.994, 5.0, "at-most", "A", True),
        (float("nan"), 5.0, "at-most", "A", False),
        (1.5e-6, 1.5e-6, "at-least", "m2", True),
        (1.4e-6, 1.5e-6, "at-least", "m2", False),
    ],
)
def test_printed_pair_decides(measured: float, limit: float, sense: str, unit: str, expected: bool) -> None:
    """The measured value is rounded against the limit to the printed decimals; equal passes."""
    assert holds(measured, limit, sense, unit) is expected


def test_margin_is_the_share_of_the_limit() -> None:
    """Margin is room over limit, and none where the limit is 0 or no number."""
    assert margin_of(6.0, 5.0, "at-most") == pytest.approx(-0.2)
    assert margin_of(6.0, 5.0, "at-least") == pytest.approx(0.2)
    assert margin_of(6.0, 0.0, "at-most") is None
    assert margin_of(6.0, None, "at-most") is None
    assert margin_of(6.0, float("inf"), "at-most") is None


def shown(hoist: str | None, *findings: Finding) -> tuple[str, str]:
    """What is said of who the hoist is, after these findings."""
    counts = Counts()
    report = Report(Verdict.PASS, "design", findings, (), counts, counts, 0, ())
    return identity(job(hoist=HoistFacts(type=hoist)), CATALOG, report)


def test_a_hoist_is_shown_by_its_type_and_every_core() -> None:
    """Only a pass of its type, and no core that is open, show which hoist it is."""
    made = Finding("identity.type", "hoist", "before", Verdict.PASS, "now", 1, "by the plate", "")
    core = replace(made, rule="identity.core", subject="core:1", found="by readings")
    name = "reversing-contactors-24"
    assert shown(name, made, core)[0] == shown(name, core, made)[0] == "shown"
    assert shown(name, core, made)[1].endswith(": by the plate.")
    for findings in ((core,), (made, replace(core, verdict=Verdict.UNKNOWN)),
                     (replace(made, verdict=Verdict.UNKNOWN), core)):  # fmt: skip
        assert shown(name, *findings)[0] == "not shown"
        assert shown(name, *findings)[1].startswith("Holds only if the hoist is a ")
    assert shown(None, made, core) == (
        "not shown", "The hoist's type is not known. Nothing here holds for it."
    )  # fmt: skip


def test_rule_without_source_does_not_load() -> None:
    """A rule needs a source with words in it."""
    with pytest.raises(ValueError, match="source"):
        made(lambda case: (), wants="job", sources=())
    with pytest.raises(ValueError, match="source"):
        made(lambda case: (), wants="job", sources=(us(" "),))
