"""Double faults can be interrupted: the processes end and the interrupt is passed on."""

from __future__ import annotations

import multiprocessing
import time

import pytest

from tests.simulate.circuits import contactor_hoist
from wiring.simulate.faults_double import CHUNK, Pairs, run_pairs
from wiring.simulate.network import Network


def test_an_interrupt_between_two_chunks_leaves_no_process_behind() -> None:
    """An interrupt at the first sign of progress comes through, and both workers are gone soon after."""
    circuit = contactor_hoist()
    assert len(Pairs(Network(circuit)).pairs()) > 2 * CHUNK
    calls: list[tuple[int, int]] = []

    def progress(done: int, total: int) -> None:
        calls.append((done, total))
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        list(run_pairs(circuit, 2, progress))
    assert len(calls) == 1 and 0 < calls[0][0] < calls[0][1]
    end = time.monotonic() + 60
    while multiprocessing.active_children() and time.monotonic() < end:
        time.sleep(0.05)
    assert not multiprocessing.active_children()
