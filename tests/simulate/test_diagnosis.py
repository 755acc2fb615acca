"""Diagnosis: the planted fault among the first, nothing where nothing is wrong, a next look that helps."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.campaign import diagnosis as campaign
from wiring.circuit import build_after
from wiring.files import load_catalog, load_job
from wiring.simulate.diagnosis import Diagnostician

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def doctor() -> Diagnostician:
    path = ROOT / "catalogs" / "demo" / "malt-second-plan.toml"
    return Diagnostician(build_after(load_job(str(path)), load_catalog(path.parent)))


def test_sound_hoist_raises_no_alarm(doctor: Diagnostician) -> None:
    """Everything as the sound circuit shows it: nothing to explain, nothing proposed."""
    seen = {id: doctor.expected(id) for id, probe in doctor.probes.items() if probe.kind != "point"}
    found = doctor.diagnose(seen)
    assert (found.alarms, found.explanations, found.next) == ((), (), "")


def test_broken_core_is_named_first(doctor: Diagnostician) -> None:
    """UP dead with full volts on its coil points at the power path of UP, not at the control."""
    seen = {
        "hold-up": (),
        "hold-down": ("hoist down",),
        "volts-K10.up-up": 119.8,
        "volts-K10.down-down": 118.4,
    }
    best = doctor.diagnose(seen).explanations[0]
    assert best.misses == 0
    assert "W1:2 open" in best.faults
    assert "receiver:CH1 stuck-open" not in best.faults


def test_welded_contactor_is_told_from_stuck_output(doctor: Diagnostician) -> None:
    """Running on after release: coil volts decide between the contactor and what drives it."""
    seen = {"hold-up": ("hoist up",), "release-up": ("hoist up",)}
    both = doctor.diagnose(seen)
    names = {name for e in both.explanations if not e.misses for name in e.faults}
    assert {"K10.up:1-2 stuck-closed", "receiver:CH1 latching"} <= names
    assert both.probe
    welded = doctor.diagnose(seen | {"volts-K10.up-rest": 0.0, "rest": ("hoist up",)})
    assert "K10.up:1-2 stuck-closed" in welded.explanations[0].faults
    assert "receiver:CH1 latching" not in welded.explanations[0].faults


def test_next_probe_splits_the_best(doctor: Diagnostician) -> None:
    """The proposed probe shows at least two different things among the best explanations."""
    found = doctor.diagnose({"hold-down": (), "hold-up": ("hoist up",)})
    best = [name for e in found.explanations if e.misses == found.explanations[0].misses for name in e.faults]
    assert len({doctor.rounded(found.probe, name) for name in best[:12]}) > 1


def test_impossible_observation_explains_itself_not(doctor: Diagnostician) -> None:
    """What no single fault shows has no explanation that fits all, and none is made up."""
    found = doctor.diagnose({"hold-up": ("hoist down",), "hold-down": ("hoist up",), "rest": ()})
    assert found.alarms
    assert all(e.misses for e in found.explanations)


def test_unknown_probe_is_refused(doctor: Diagnostician) -> None:
    """An observation of something that is not there raises."""
    with pytest.raises(KeyError):
        doctor.diagnose({"hold-sideways": ()})


def test_campaign_in_small(monkeypatch: pytest.MonkeyPatch) -> None:
    """A few planted faults with noise on two hoists: nine in ten among the first three."""
    monkeypatch.setattr(campaign, "JOBS", campaign.JOBS[1:3])
    found = campaign.run(24, 5)
    assert found["share_among_first_three"] >= 0.9
    assert found["false_alarms"] == []
