"""The circuit as found may be run in a process of its own."""

from __future__ import annotations

from dataclasses import replace

import pytest

from wiring.circuit import build_type
from wiring.files import load_catalog
from wiring.simulate import fault_run
from wiring.simulate.network import Network


def test_two_processes_find_what_one_finds(monkeypatch: pytest.MonkeyPatch) -> None:
    """The faults of both circuits are the same whether one process runs them or two."""
    hoist = build_type(load_catalog().hoists["reversing-contactors-24"])
    old, new = Network(hoist), Network(hoist)
    alone = fault_run.single_faults(old, new)
    started: list[str] = []
    really = fault_run.beside

    def noted(circuit: object) -> object:
        started.append("beside")
        return really(circuit)  # type: ignore[arg-type]

    monkeypatch.setattr(fault_run, "MANY", 1)
    monkeypatch.setattr(fault_run.threading, "active_count", lambda: 1)
    monkeypatch.setattr(fault_run.os, "cpu_count", lambda: 2)
    monkeypatch.setattr(fault_run, "beside", noted)
    shared = fault_run.single_faults(old, new)
    assert started == ["beside"]
    assert replace(shared, seconds=0.0) == replace(alone, seconds=0.0)
    assert alone.count > 50


def test_an_error_beside_is_passed_on() -> None:
    """What goes wrong while the other process runs ends it and comes through."""
    hoist = build_type(load_catalog().hoists["reversing-contactors-24"])
    with pytest.raises(RuntimeError, match="here"), fault_run.beside(hoist) as rows:
        rows.result()
        raise RuntimeError("here")
