"""The isolation gate: what must be on record before a reading is asked for."""

from __future__ import annotations

import datetime

from wiring.model.entry import Catalog
from wiring.model.job import Gate

STEPS = {
    "isolated_at": "where it is isolated: the plug in your hand, or the isolator with your lock on it",
    "locked": "locked, the key with you",
    "load_landed": "the load landed, the hook empty",
    "tester_proved": "the tester proved on a source that you know is live",
    "poles_dead": "every pole dead to every pole and to earth",
    "tester_proved_again": "the tester proved again on the known source",
    "capacitor_volts": "the capacitor measured across its terminals, V DC, and discharged",
    "transmitter_battery_out": "the transmitter's battery out, if there is one",
}


def pause_limit(catalog: Catalog) -> float:
    """After a pause longer than this the gate is asked again [s]; 0 where no figure is known."""
    value = catalog.value("meter-practice/gate-pause/time")
    return value.si if value else 0.0


def missing(
    gate: Gate | None, catalog: Catalog, now: datetime.datetime | None, last: datetime.datetime | None
) -> tuple[str, ...]:
    """Steps of the gate that are open, as keys; all of them where too much time has gone by.

    now: the time, None where no clock is to count; last: the newest reading.
    """
    if gate is None:
        return tuple(STEPS)
    left = [key for key in STEPS if not getattr(gate, key)]
    volts = catalog.value("hoist-practice/capacitor/voltage")
    if gate.capacitor_volts is not None and volts is not None and gate.capacitor_volts.si > volts.si:
        left.append("capacitor_volts")
    if left:
        return tuple(dict.fromkeys(left))
    return tuple(STEPS) if stale(gate, catalog, now, last) else ()


def stale(
    gate: Gate, catalog: Catalog, now: datetime.datetime | None, last: datetime.datetime | None
) -> bool:
    """True where the pause since the gate or the newest reading is too long, or nobody wrote when it was."""
    if now is None:
        return False
    times = [_bare(at) for at in (gate.at, last) if at is not None]
    if not times:
        return True
    return (_bare(now) - max(times)).total_seconds() > pause_limit(catalog)


def _bare(at: datetime.datetime) -> datetime.datetime:
    """The local time without a zone: files hold it so."""
    return at.astimezone().replace(tzinfo=None) if at.tzinfo else at
