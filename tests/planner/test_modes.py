"""Outputs set to momentary, and what was only true of the old setting taken back."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from tests.planner.made import CATALOG, job_of
from wiring.files import load_job, parse
from wiring.files.catalog import catalog_root
from wiring.model.job import BenchResult, JumperSetting
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


def test_a_jumper_goes_to_the_other_position_than_it_is_in() -> None:
    """A bridge that is out goes in, one that nothing is stated about leaves the place it has from the
    factory; bridges that set nothing stay, and the outputs say what sets them now."""
    type = CATALOG.receivers["two-channel-dry"]
    j1 = next(p for p in type.net.parts if p.id == "J1")
    outputs = FIRST.receiver.outputs

    def set_with(*jumpers: JumperSetting, by: str = "jumper J1 removed") -> tuple[list[Any], set[Any]]:
        rows = tuple(replace(o, mode_set_by=by) for o in outputs)
        facts = replace(FIRST.receiver, jumpers=jumpers, outputs=rows)
        made = momentary(replace(FIRST, receiver=facts), type).receiver
        return [(j.id, j.fitted) for j in made.jumpers], {o.mode_set_by for o in made.outputs}

    assert set_with(JumperSetting("J1", False)) == ([("J1", True)], {"jumper J1 fitted"})
    assert set_with(JumperSetting("JX", True), JumperSetting("J1", True)) == (
        [("JX", True), ("J1", False)], {"jumper J1 removed"},
    )  # fmt: skip
    word = "fitted" if not j1.fitted else "removed"
    assert set_with() == ([("J1", not j1.fitted)], {f"jumper J1 {word}"})
    assert set_with(by="dip switch 2") == ([], {None})
    assert set_with(by="jumper J11 fitted") == ([], {None})


def test_outputs_set_right_keep_their_own_source() -> None:
    """Of two outputs one toggles: only that one is set, and only what was seen of it is taken out."""
    one, two = FIRST.receiver.outputs
    right = replace(two, mode="momentary", mode_source="bench")
    seen = tuple(
        BenchResult(test, output, result)
        for test, output, result in (
            ("release", one.id, "stays"), ("release", two.id, "stays"), ("release", one.id, "opens"),
            ("battery-out", None, "stays"), ("key", one.id, "closes"),
        )
    )  # fmt: skip
    job = replace(FIRST, receiver=replace(FIRST.receiver, outputs=(one, right)), bench=seen)
    made = momentary(job, CATALOG.receivers["two-channel-dry"])
    assert made.receiver.outputs[1] is right and made.receiver.outputs[0].mode == "momentary"
    assert made.bench == (seen[1], seen[2], seen[4])
    fixed = replace(CATALOG.receivers["two-channel-dry"], modes=("toggle",))
    assert momentary(job, fixed) is job


def test_times_of_the_signals_loss_are_kept() -> None:
    """How long the outputs take to open says nothing of the old setting, "stays" does."""
    type = CATALOG.receivers["two-channel-dry"]
    for loss, kept in ((parse("0.4 s", "time"), True), ("stays", False)):
        made = momentary(replace(FIRST, receiver=replace(FIRST.receiver, on_signal_loss=loss)), type)
        assert made.receiver.on_signal_loss == (loss if kept else None)
