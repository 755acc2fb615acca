"""Processes that work beside the first one and never outlive it."""

from __future__ import annotations

import multiprocessing
import os
import signal
import sys
import threading
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from multiprocessing.connection import wait
from typing import Any

#: What starting processes raises on a system that has no shared memory or no process to spare.
REFUSED = (OSError, ImportError, NotImplementedError)


def context() -> multiprocessing.context.BaseContext:
    """How processes, and what they share, are made on this system."""
    return multiprocessing.get_context("fork" if sys.platform == "linux" else None)


def cheap() -> bool:
    """True where another process is a copy of this one: elsewhere it would read the caller's program anew.
    Never beside other threads, whose locks it would inherit; nor on a single processor."""
    return sys.platform == "linux" and threading.active_count() == 1 and (os.cpu_count() or 1) > 1


def pool(processes: int, start: Callable[..., None], *args: Any) -> ProcessPoolExecutor:
    """Processes that each call `start(*args)` first. They end without a word when the first one is
    interrupted or gone, however it went."""
    return ProcessPoolExecutor(processes, context(), initializer=_begin, initargs=(start, args))


def _begin(start: Callable[..., None], args: tuple[Any, ...]) -> None:
    signal.signal(signal.SIGINT, signal.SIG_DFL)
    parent = multiprocessing.parent_process()
    if parent is not None:
        threading.Thread(target=_leave_with, args=(parent.sentinel,), daemon=True).start()
    start(*args)


def _leave_with(sentinel: int) -> None:
    """End this process when its parent has ended."""
    wait([sentinel])
    os._exit(1)
