"""Outputs set to momentary, and what was only true of the old setting taken back."""

from __future__ import annotations

from tests.planner.made import CATALOG, job_of
from wiring.files import load_job
from wiring.files.catalog import catalog_root
from wiring.planner.modes import momentary

FIRST = load_job(catalog_root() / "demo" / "malt-first-try.toml")


def test_toggle_outputs_become_momentary_and_the_jumper_turns() -> None:
    """Both outputs, and the jumper that their setting names, go to the other position."""
    job = momentary(FIRST, CATALOG.receivers["two-channel-dry"])
    assert [o.mode for o in job.receiver.outputs] == ["momentary", "momentary"]
    assert {o.mode_set_by for o in job.receiver.outputs} == {"jumper J1 removed"}
    assert [(j.id, j.fitted) for j in job.receiver.jumpers] == [("J1", False)]


def test_what_was_seen_with_the_old_setting_is_no_longer_known() -> None:
    """The source of the mode, "stays" on loss and the bench test that saw it are gone, the rest stands."""
    job = momentary(FIRST, CATALOG.receivers["two-channel-dry"])
    assert {o.mode_source for o in job.receiver.outputs} == {None}
    assert job.receiver.on_signal_loss is None
    assert [(b.test, b.result) for b in job.bench] == [("key", "closes")]
    assert job.receiver.outputs[0].rating == FIRST.receiver.outputs[0].rating


def test_momentary_outputs_are_left_alone() -> None:
    """A job that is set right comes back as it is."""
    job = job_of("capacitor-motor-direct-120", "two-channel-dry")
    assert momentary(job, CATALOG.receivers["two-channel-dry"]) is job
