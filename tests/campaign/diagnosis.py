"""Planted single faults, read with noise, and how often the diagnosis names them among its first three.

Each sample takes a converted hoist, plants one fault that its function tests or coil
voltages show, and reads every such probe with a meter of +-(1 % + 3 digits) on a supply
that is up to 5 % off (the supply is read too, by the same meter). Times of release and
loss carry +-20 ms. As many unfaulted hoists are read for false alarms.
"""

from __future__ import annotations

import random
from pathlib import Path
from typing import Any

from wiring.circuit import build_after
from wiring.files import load_catalog, load_job
from wiring.simulate.diagnosis import Diagnostician
from wiring.simulate.diagnosis_probes import Seen

ROOT = Path(__file__).resolve().parents[2]
JOBS = (
    "catalogs/demo/malt-first-try.toml",
    "catalogs/demo/malt-second-plan.toml",
    "catalogs/demo/slipway-gantry.toml",
    "tests/jobs/own-types/curtain-winch.toml",
    "tests/jobs/own-types/pillar-crane.toml",
    "tests/jobs/own-types/two-motor-gantry.toml",
)
DIGIT = {True: 0.1, False: 0.01}  # last digit of a meter above and below 60 V
FIRST = 3
STEPS = 12  # probes of one guided search


def doctors() -> list[Diagnostician]:
    """A diagnostician for each job."""
    found = []
    for name in JOBS:
        path = ROOT / name
        found.append(Diagnostician(build_after(load_job(str(path)), load_catalog(path.parent))))
    return found


class Bed:
    """One hoist with the faults that can be seen on it."""

    def __init__(self, doctor: Diagnostician) -> None:
        self.doctor = doctor
        self.probes = [p.id for p in doctor.probes.values() if p.kind != "point"]
        self.visible = [f for f in doctor.faults if self.shows(f)]

    def shows(self, fault: str) -> bool:
        """True where some probe of the list reads beyond tolerance."""
        return any(self.doctor.miss(p, self.doctor.expected(p, fault)) for p in self.probes)

    def observed(self, fault: str, rng: random.Random) -> dict[str, Seen]:
        """Every probe read with noise, voltages set in proportion to the supply as it was read."""
        supply = 1 + rng.uniform(-0.05, 0.05)
        read_supply = noisy(120.0 * supply, rng) / 120.0
        seen: dict[str, Seen] = {}
        for probe in self.probes:
            value = self.doctor.expected(probe, fault)
            if self.doctor.timed(probe) and not isinstance(value, tuple):
                value = max(0.0, value + rng.uniform(-0.02, 0.02))
            elif not isinstance(value, tuple):
                value = noisy(value * supply, rng) / read_supply
            seen[probe] = value
        return seen


def noisy(volts: float, rng: random.Random) -> float:
    """What a meter of 1 % and 3 digits shows. [V]"""
    digit = DIGIT[volts >= 60]
    shown = volts * (1 + rng.uniform(-0.01, 0.01)) + rng.randint(-3, 3) * digit
    return max(0.0, round(shown / digit) * digit)


def found_among(bed: Bed, fault: str, seen: dict[str, Seen]) -> int | None:
    """Place (from 1) of the planted fault, or of one that shows exactly the same; None beyond."""
    result = bed.doctor.diagnose(seen)
    wanted = bed.doctor.signature(fault, seen)
    for place, explanation in enumerate(result.explanations[:FIRST], 1):
        if fault in explanation.faults or bed.doctor.signature(explanation.faults[0], seen) == wanted:
            return place
    return None


def walk(bed: Bed, fault: str, rng: random.Random) -> tuple[bool, int]:
    """From the first misbehaviour along the proposed probes: is the fault among the first three at the
    end, and after how many probes."""
    seen_all = bed.observed(fault, rng)
    first = next(p for p in bed.probes if bed.doctor.miss(p, seen_all[p]))
    seen = {first: seen_all[first]}
    while len(seen) < STEPS:
        result = bed.doctor.diagnose(seen)
        if not result.probe:
            break
        seen[result.probe] = seen_all.get(result.probe) or noisy_point(bed, result.probe, fault, rng)
    return found_among(bed, fault, seen) is not None, len(seen)


def noisy_point(bed: Bed, probe: str, fault: str, rng: random.Random) -> Seen:
    """A terminal against earth, read by the same meter."""
    value = bed.doctor.expected(probe, fault)
    return value if isinstance(value, tuple) else noisy(value, rng)


def run(n: int, seed: int) -> dict[str, Any]:
    """n planted faults, and a third as many hoists without one."""
    rng = random.Random(seed)
    beds = [Bed(doctor) for doctor in doctors()]
    places: dict[str, int] = {}
    missed = []
    walks: list[tuple[bool, int]] = []
    for number in range(n):
        bed = rng.choice(beds)
        fault = rng.choice(bed.visible)
        place = found_among(bed, fault, bed.observed(fault, rng))
        places[str(place or "not")] = places.get(str(place or "not"), 0) + 1
        if number % 3 == 0:
            walks.append(walk(bed, fault, rng))
        if place is None:
            missed.append(f"{bed.doctor.circuit.about}: {fault}")
    alarms = []
    for _ in range(max(1, n // 3)):
        bed = rng.choice(beds)
        alarms += bed.doctor.diagnose(bed.observed("", rng)).alarms
    named = n - places.get("not", 0)
    return {
        "jobs": list(JOBS),
        "faults": {name: len(bed.doctor.faults) for name, bed in zip(JOBS, beds, strict=True)},
        "visible": {name: len(bed.visible) for name, bed in zip(JOBS, beds, strict=True)},
        "places": places,
        "share_among_first_three": round(named / n, 4),
        "missed": missed,
        "walked": len(walks),
        "walked_found": sum(found for found, _ in walks),
        "walked_probes": round(sum(count for _, count in walks) / max(1, len(walks)), 1),
        "unfaulted": max(1, n // 3),
        "false_alarms": alarms,
        "failures": (["below 90 %"] if named < 0.9 * n else []) + alarms,
    }
