"""How long a stop may take on this hoist, and how far the hook goes in that time."""

from __future__ import annotations

from dataclasses import dataclass

from wiring.calc.stop import loss_time, release_time, slide_limit
from wiring.model.circuit import Circuit
from wiring.model.entry import Catalog
from wiring.model.job import Job
from wiring.model.value import Amount


@dataclass(frozen=True, slots=True)
class Times:
    """Stop times [s] and travel [m]. after: from open outputs to the closed brake; release, loss,
    wired: largest expected from the hand (or the loss, or the wired stop) to the closed brake;
    usual: customary for a loss; ceiling: most ever admitted; speed: of the hook, None where not
    stated; slide: of the brake by common practice; watch: good to this much when taken by hand;
    rests_on: recalled rows behind the sums."""

    after: float
    release: float
    loss: float | None
    wired: float
    usual: float
    ceiling: float
    speed: float | None
    slide: float
    watch: float
    rests_on: tuple[str, ...]


def times_of(job: Job, catalog: Catalog, circuit: Circuit) -> Times:
    """The times of a job. Raises KeyError where a table of the catalog is missing."""
    weak: list[str] = []

    def at(table: str, row: str, column: str = "time_high") -> float:
        value = catalog.tables[table].cell(row, column)
        if value is None:
            raise KeyError(f"{table}/{row}/{column}")
        if value.weak:
            weak.append(value.id)
        return value.si

    chain = [at("stop-time", "decode"), at("stop-time", "relay")]
    wired = []
    if any(part.kind == "coil" for part in circuit.parts):
        wired.append(at("stop-time", "contactor-ac" if alternating(circuit) else "contactor-dc"))
    if circuit.brakes:
        ac_side = any(brake.side == "ac" for brake in circuit.brakes)
        wired.append(at("stop-time", "brake-ac-side" if ac_side else "brake-dc-side"))
    after = [*chain, *wired]
    scan, frame = at("stop-time", "scan"), at("stop-time", "frame")
    stated = watchdog(job)
    speed = job.hoist.hook_speed.si if job.hoist.hook_speed else None
    share = at("hoist-practice", "slide", "ratio")
    return Times(
        after=sum(after),
        release=release_time(scan, at("stop-time", "frames", "ratio_high"), frame, after),
        loss=loss_time(stated, after) if stated is not None else None,
        wired=sum(wired),
        usual=at("hoist-practice", "loss-usual", "time"),
        ceiling=at("hoist-practice", "loss-ceiling", "time"),
        speed=speed,
        slide=slide_limit(speed, share) if speed is not None else 0.0,
        watch=at("commissioning", "watch", "time"),
        rests_on=tuple(dict.fromkeys(weak)),
    )


def alternating(circuit: Circuit) -> bool:
    """True where a source of the circuit has a frequency."""
    return any(
        part.kind == "source" and "frequency" in part.values and part.values["frequency"].si > 0
        for part in circuit.parts
    )


def watchdog(job: Job) -> float | None:
    """Time from loss of the signal to open outputs, the largest that was stated or seen. [s]"""
    found = [b.time.si for b in job.bench if b.test == "battery-out" and b.time is not None]
    if isinstance(job.receiver.on_signal_loss, Amount):
        found.append(job.receiver.on_signal_loss.si)
    return max(found) if found else None


def room(job: Job, key: str) -> float | None:
    """Clearance beyond the last position for the motion of a key. [m]"""
    clearance = job.place.clearance if job.place else {}
    found = clearance.get(key.partition(":")[2].partition(".")[0])
    return found.si if found else None


def most(times: Times, limit: float, clearance: float | None) -> float:
    """Longest time a stop may take: the limit, or less where the hook would leave its clearance. [s]"""
    if clearance is None or not times.speed:
        return limit
    return max(0.0, min(limit, (clearance - times.slide) / times.speed))
