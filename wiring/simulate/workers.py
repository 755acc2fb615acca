"""Processes that work beside the first one and never outlive it."""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from multiprocessing.connection import wait
from typing import Any


def pool(processes: int, start: Callable[..., None], *args: Any) -> ProcessPoolExecutor:
    """Processes that each call `start(*args)` first. They end without a word when the first one is
    interrupted or gone, however it went."""
    return ProcessPoolExecutor(processes, initializer=_begin, initargs=(start, args))


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
