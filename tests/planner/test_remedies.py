"""Remedies: the first-try demo becomes a job without a failing finding, and slips are undone."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.campaign import remedy as campaign
from tests.planner.made import CATALOG
from wiring.circuit import build_after, build_before
from wiring.files import catalog_root, load_job, read_job
from wiring.model.plan import Plan
from wiring.model.proposal import Change
from wiring.pipeline import plan
from wiring.planner.propose import failing
from wiring.planner.remedy import remedies
from wiring.planner.trial import Trial

DEMO = catalog_root() / "demo" / "malt-first-try.toml"


@pytest.fixture(scope="module")
def first() -> tuple[Plan, tuple[Change, ...]]:
    """The first-try demo and the changes proposed for it, proved with every single fault."""
    base = campaign.proved(load_job(DEMO), CATALOG)
    return base, remedies(base, plan, None, campaign.proved)


def test_the_first_try_becomes_a_job_without_failing_findings(first: tuple[Plan, tuple[Change, ...]]) -> None:
    """The whole change, last, leaves nothing that fails, and read back from its text it is the same plan."""
    base, changes = first
    assert len(failing(base)) > 10
    whole = changes[-1]
    assert whole.whole and whole.leaves == () and whole.plan is not None and failing(whole.plan) == []
    again = campaign.proved(read_job(whole.text, str(DEMO), CATALOG), CATALOG)
    assert again.digest == whole.plan.digest and failing(again) == []


def test_the_repaired_job_gives_every_motion_of_the_pendant(first: tuple[Plan, tuple[Change, ...]]) -> None:
    """Each key does what its button did, in every state that is looked at."""
    base, changes = first
    job = read_job(changes[-1].text, str(DEMO), CATALOG)
    assert Trial(build_before(base.job, CATALOG)).look(build_after(job, CATALOG)).stands
    assert {o.key for o in job.receiver.outputs} == {"up", "down"}
    assert set(base.job.transmitters[0].keys) <= set(job.transmitters[0].keys)


def test_comments_are_kept(first: tuple[Plan, tuple[Change, ...]]) -> None:
    """The repaired text still has the comments of everything that stayed."""
    text = first[1][-1].text
    old = Path(DEMO).read_text("utf-8")
    assert text.startswith(old[: old.index("[job]")])
    for comment in ('# "red is always down"', "# feed to both commons", "# EXAMPLE, not your hoist."):
        assert comment in old and comment in text


def test_each_smaller_change_answers_what_it_says(first: tuple[Plan, tuple[Change, ...]]) -> None:
    """A change for single findings takes those away, adds none, and is shorter than the whole one."""
    base, changes = first
    before = {f"{f.rule} {f.subject}" for f in failing(base)}
    assert len(changes) > 1
    for change in changes[:-1]:
        assert change.plan is not None and change.answers
        left = {f"{f.rule} {f.subject}" for f in failing(change.plan)}
        assert left < before and not left & set(change.answers)
        assert len(change.diff) < len(changes[-1].diff)


def test_a_limit_is_put_back_by_moving_one_end(first: tuple[Plan, tuple[Change, ...]]) -> None:
    """One of the small changes lands the output on the core again, before the limit."""
    moved = [c for c in first[1][:-1] if '-from = "hoist:C1.1"' in c.diff and '+from = "core:2"' in c.diff]
    assert moved and any("proof.limits-kept" in answer for c in moved for answer in c.answers)


def test_a_job_without_failing_findings_needs_no_remedy() -> None:
    """Nothing is proposed where nothing fails."""
    second = catalog_root() / "demo" / "malt-second-plan.toml"
    good = campaign.proved(load_job(second), CATALOG)
    assert failing(good) == []
    assert remedies(good, plan, None, campaign.proved) == ()


def test_slips_of_good_plans_are_answered() -> None:
    """A random slip of a good plan is repaired, by the same run as the long one."""
    result = campaign.run(1, 5, ("malt-second-plan",))
    assert result["answered"] == 1, result["not_answered"]


def test_a_conversion_that_nothing_near_answers_is_wired_anew() -> None:
    """Log hoist, no wired stop and no main contactor: one edit alone helps nothing, the planner's wiring
    does. What it cannot move is left and said: the isolator stays in the switch room."""
    job = load_job(Path(__file__).parents[1] / "jobs" / "worked" / "log-hoist-as-wished.toml")
    start = campaign.proved(job, CATALOG)
    whole = remedies(start, plan, None, campaign.proved)[-1]
    assert {device.type for device in whole.job.devices} >= {"emergency-stop", "main-contactor-24"}
    assert {"Z1", "Z2"} <= {device.id for device in whole.job.devices}
    assert len(whole.leaves) < start.report.counts.failed / 4
    assert all("K0 stuck-in and hoist:K" in line for line in whole.leaves)
