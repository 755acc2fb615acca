"""Single faults may be run in processes of their own."""

from __future__ import annotations

import multiprocessing
from dataclasses import replace

import pytest

from wiring.circuit import build_type
from wiring.files import load_catalog
from wiring.model.behaviour import Behaviour
from wiring.model.circuit import Circuit
from wiring.simulate import in_two_steps, underway, workers
from wiring.simulate.fault_run import single_faults
from wiring.simulate.network import Network


def pair() -> tuple[Circuit, Circuit]:
    """A hoist as found, and itself again as the converted one."""
    hoist = build_type(load_catalog().hoists["reversing-contactors-24"])
    return hoist, replace(hoist, about="after")


def test_three_processes_find_what_one_finds() -> None:
    """The faults of both circuits are the same whether one process runs them or two others."""
    before, after = pair()
    alone = single_faults(before, after)
    with underway.beside(before, after) as waited:
        shared = waited()
    assert replace(shared, seconds=0.0) == replace(alone, seconds=0.0)
    assert alone.count > 50


def test_progress_of_the_others_is_told() -> None:
    """How far the others are is told in growing numbers, the last of them the whole."""
    before, after = pair()
    told: list[tuple[int, int]] = []
    with underway.beside(before, after, lambda done, total: told.append((done, total))) as waited:
        found = waited()
    done = [number for number, _ in told]
    assert done == sorted(done)
    assert told[-1][0] == told[-1][1] == found.count + len(found.before)


def test_an_error_beside_is_passed_on() -> None:
    """What goes wrong while the other processes run ends them and comes through."""
    with pytest.raises(RuntimeError, match="here"), underway.beside(*pair()) as waited:
        waited()
        raise RuntimeError("here")


def test_no_process_beside_threads_or_for_small_circuits(monkeypatch: pytest.MonkeyPatch) -> None:
    """Others are started by a process of one thread only, on two processors, for circuits of some size."""
    before, after = pair()
    monkeypatch.setattr(workers.threading, "active_count", lambda: 1)
    monkeypatch.setattr(workers.os, "cpu_count", lambda: 2)
    assert underway.worth_it(before, after)
    small = replace(before, parts=before.parts[:5])
    assert not underway.worth_it(small, small)
    monkeypatch.setattr(workers.threading, "active_count", lambda: 2)
    assert not underway.worth_it(before, after)
    monkeypatch.setattr(workers.threading, "active_count", lambda: 1)
    monkeypatch.setattr(workers.os, "cpu_count", lambda: 1)
    assert not underway.worth_it(before, after)
    monkeypatch.setattr(workers.os, "cpu_count", lambda: 2)
    monkeypatch.setattr(workers.sys, "platform", "elsewhere")
    assert not underway.worth_it(before, after)


def test_what_a_dead_process_left_is_run_here() -> None:
    """Where another process is ended from outside, its faults are run by the first one."""
    before, after = pair()
    alone = single_faults(before, after)
    with underway.beside(before, after) as waited:
        for child in multiprocessing.active_children():
            child.kill()
        shared = waited()
    assert replace(shared, seconds=0.0) == replace(alone, seconds=0.0)


@pytest.mark.parametrize("refused", [OSError("no process to spare"), ImportError("no semaphores")])
def test_one_process_does_it_where_no_other_can_be_started(
    refused: Exception, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A system without shared memory or processes gets the same faults, only later."""
    before, after = map(Network, pair())
    monkeypatch.setattr(workers.threading, "active_count", lambda: 1)
    monkeypatch.setattr(workers.os, "cpu_count", lambda: 2)

    def none(*_: object) -> None:
        raise refused

    monkeypatch.setattr(underway, "pool", none)
    with in_two_steps(before, after, "single") as (_, complete):
        found = complete().faults
    assert found is not None
    assert replace(found, seconds=0.0) == replace(single_faults(before, after), seconds=0.0)


def test_the_first_step_has_no_faults_and_the_second_all(monkeypatch: pytest.MonkeyPatch) -> None:
    """The behaviour comes without faults first; the whole differs from it by the faults alone, whichever
    process ran them."""
    before, after = map(Network, pair())
    found: list[Behaviour] = []
    for many in (10**6, 0):
        monkeypatch.setattr(underway, "MANY", many)
        monkeypatch.setattr(workers.threading, "active_count", lambda: 1)
        monkeypatch.setattr(workers.os, "cpu_count", lambda: 2)
        with in_two_steps(before, after, "single") as (sound, complete):
            whole = complete()
        assert sound.faults is None and sound.stops == ()
        assert whole.faults is not None and whole.stops
        assert (whole.events, whole.after) == (sound.events, sound.after)
        assert "any fault: none was run" in sound.not_shown
        assert "more than one fault, except behind a hidden first one" in whole.not_shown
        still = replace(whole.faults, seconds=0.0)
        found.append(replace(whole, faults=still, seconds=0.0))
    assert found[0] == found[1]
