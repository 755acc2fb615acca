"""Single faults in processes of their own, while the first one does what needs none of them."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from concurrent.futures import BrokenExecutor, wait
from contextlib import contextmanager
from typing import Any

from wiring.model.behaviour import Faults
from wiring.model.circuit import Circuit
from wiring.simulate.fault_run import Ran, judged, ran
from wiring.simulate.faults import single_list
from wiring.simulate.network import Network
from wiring.simulate.workers import cheap, context, pool

Progress = Callable[[int, int], None]
#: Circuits with fewer parts together are through before a second process has started.
MANY = 40
#: Up to so many fault sets one other process is through as soon as the first wants them; a second would
#: only take its processor from it.
FEW = 400
#: Seconds between two looks at how far the others are.
LOOK = 0.1


def worth_it(before: Circuit, after: Circuit) -> bool:
    """True where other processes gain something."""
    return len(before.parts) + len(after.parts) >= MANY and cheap()


@contextmanager
def beside(
    before: Circuit, after: Circuit, progress: Progress | None = None
) -> Iterator[Callable[[], Faults]]:
    """The single faults of two circuits, run in one or two other processes meanwhile. What is yielded
    waits for them; progress is called with (done, total) then. An interrupt ends them; what one that was
    ended from outside leaves undone is run here. Raises one of `REFUSED` where none can be started."""
    began = time.perf_counter()
    done = context().Value("i", 0)
    total = sum(len(single_list(circuit)) for circuit in (before, after))
    others = pool(1 if total < FEW else 2, _hold, (before, after), done)
    ended = False
    try:
        futures = [others.submit(_run, number) for number in range(2)]

        def waited() -> Faults:
            while wait(futures, LOOK).not_done:
                if progress is not None and 0 < done.value < total:
                    progress(done.value, total)
            try:
                old, new = (future.result() for future in futures)
            except BrokenExecutor:
                old, new = (ran(Network(circuit), lambda: None) for circuit in (before, after))
            if progress is not None:
                progress(total, total)
            return judged(before, after, old, new, began)

        yield waited
        ended = True
    finally:
        others.shutdown(wait=ended, cancel_futures=True)


_held: list[Any] = []


def _hold(circuits: tuple[Circuit, Circuit], done: Any) -> None:
    """First thing in another process."""
    _held[:] = [circuits, done]


def _run(number: int) -> Ran:
    circuits, done = _held

    def one_more() -> None:
        with done.get_lock():
            done.value += 1

    return ran(Network(circuits[number]), one_more)
