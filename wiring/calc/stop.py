"""Stopping: time from the operator's hand to the closed brake, travel in that time, limits of the link."""

from __future__ import annotations

import math
from collections.abc import Iterable

GRAVITY = 9.80665


def release_time(scan: float, frames: float, frame: float, after: Iterable[float]) -> float:
    """Time from letting go of a key to the closed brake while the link is good. [s]

    scan: transmitter reads its keys; frames needed and time of one; after: decoding, relay,
    interposing relay, contactor, brake [s]. Source: sum of the chain, basis: derived.

    >>> round(release_time(0.020, 1, 0.050, [0.020, 0.008, 0.0, 0.020, 0.132]), 3)
    0.25
    """
    return scan + frames * frame + math.fsum(after)


def loss_time(watchdog: float, after: Iterable[float]) -> float:
    """Time from loss of the link to the closed brake. [s]

    watchdog: time the receiver waits for a valid message; after: as in `release_time` [s].
    Source: sum of the chain, basis: derived.

    >>> round(loss_time(0.5, [0.020, 0.008, 0.0, 0.020, 0.122]), 2)
    0.67
    """
    return watchdog + math.fsum(after)


def guaranteed_time(release: float, loss: float) -> float:
    """The figure to plan with. [s]

    release, loss [s]: at the edge of the range a release takes as long as a loss, so the larger.
    Source: radio-control maker's manual, basis: read.

    >>> guaranteed_time(0.25, 0.67)
    0.67
    """
    return max(release, loss)


def stop_travel(speed: float, time: float, deceleration: float) -> float:
    """Travel from the operator's hand to rest. [m]

    speed [m/s]; time until the brake acts [s]; deceleration of the brake [m/s2] > 0.
    Speed is taken as constant until the brake acts; `gap_fall` adds what a load gains.
    Source: s = v t + v^2 / 2a, basis: derived.

    >>> round(stop_travel(8 / 60, 0.67, 1.0), 4)
    0.0982
    """
    return speed * time + speed**2 / (2.0 * deceleration)


def gap_fall(gap: float, share: float = 1.0) -> float:
    """Travel that a lowering load gains while the motor is off and the brake not yet closed. [m]

    gap: that time [s]; share of gravity that the gearing lets through, 1 is the worst case.
    Source: free fall, basis: derived.

    >>> round(gap_fall(0.1), 3)
    0.049
    """
    return 0.5 * share * GRAVITY * gap**2


def slide_limit(speed: float, share: float) -> float:
    """Brake slide that common practice accepts. [m]

    speed [m/s]; share of one minute's travel, e.g. 0.01. Source: trade practice, basis: practice.

    >>> round(slide_limit(8 / 60, 0.01), 3)
    0.08
    """
    return speed * 60.0 * share


def watchdog_grade(time: float, usual: float, ceiling: float) -> str:
    """What a time from loss of the link to open outputs is worth: "pass", "between" or "fail".

    time [s]; usual: customary value [s]; ceiling: largest ever admitted [s].
    Source: customary 0.5 s; rule of 1976 on radio-controlled cranes 2 s, basis: read.

    >>> [watchdog_grade(t, 0.5, 2.0) for t in (0.5, 1.2, 2.5)]
    ['pass', 'between', 'fail']
    """
    if time <= usual:
        return "pass"
    return "between" if time <= ceiling else "fail"


def hold_to_run(mode: str) -> bool:
    """True where an output in that mode follows its key: it opens on release and with the link.

    mode: as the job names it. Only momentary outputs do; latching, toggle, timed,
    interlocked-latching and run-to-limit outputs stay. Source: 29 CFR 1910.179(g)(3)(vii) and (ix);
    Machinery Directive annex I 4.2.1, basis: read.

    >>> hold_to_run("momentary"), hold_to_run("latching")
    (True, False)
    """
    return mode == "momentary"
