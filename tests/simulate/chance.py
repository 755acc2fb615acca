"""Random circuits: rungs of contacts and coils with bridges, loads and suppressors thrown in."""

from __future__ import annotations

import itertools
import random

from tests.simulate.circuits import circuit, part
from wiring.model.circuit import Circuit, Motor, Part


def generated(rng: random.Random) -> Circuit:
    """A circuit with 2 to 5 coils, 3 to 5 inputs, and a motor switched by the first coils."""
    battery = rng.random() < 0.25
    volts = 24.0 if battery else 120.0
    coils = [f"K{i}" for i in range(rng.randint(2, 5))]
    names = [f"button:b{i}" for i in range(rng.randint(2, 3))] + ["limit:l0", "stop:s0"]
    parts = [
        part("V1", "source", "L N", voltage=volts, frequency=0 if battery else 60),
        part("F1", "fuse", "L LF", rating=10),
        part("BOND", "wire", "N PE"),
        part("ES", "contact", "LF R", "stop:s0", "NC"),
    ]
    common = "N"
    feed = "R"
    if not battery and rng.random() < 0.5:
        parts.append(
            part(
                "T1",
                "transformer",
                "R N S1 S2",
                primary=volts,
                secondary=24,
                power=rng.choice([40, 63]),
                primary_resistance=6,
                secondary_resistance=0.4,
                impedance=0.06,
            )
        )
        feed, common, volts = "S1", "S2", 24.0
        if rng.random() < 0.7:
            parts.append(part("XB", "wire", "S2 PE"))
    inner: list[str] = []
    causes = [*names, *(f"coil:{name}" for name in coils)]
    for name in coils:
        inner += _rung(rng, parts, name, feed, common, causes, volts, battery)
    _extras(rng, parts, inner, [feed, common], causes, volts)
    motor = _motor(rng, parts, coils, battery)
    return circuit(parts, " ".join(names), motors=(motor,))


def _rung(
    rng: random.Random, parts: list[Part], name: str, feed: str, common: str,
    causes: list[str], volts: float, battery: bool,
) -> list[str]:  # fmt: skip
    """Contacts in series, a coil at the end; some contacts have a parallel one."""
    points = [feed, *(f"{name}.n{i}" for i in range(rng.randint(1, 3)))]
    for i, (a, b) in enumerate(itertools.pairwise(points)):
        for twin in range(1 + (rng.random() < 0.25)):
            by = rng.choice([c for c in causes if c != f"coil:{name}" or i])
            form = "NC" if rng.random() < 0.35 else "NO"
            parts.append(part(f"{name}.c{i}{twin}", "contact", f"{a} {b}", by, form))
    if battery:
        parts.append(
            part(name, "coil", f"{points[-1]} {common}", voltage=volts, resistance=rng.uniform(20, 200))
        )
    else:
        parts.append(
            part(
                name,
                "coil",
                f"{points[-1]} {common}",
                voltage=volts,
                resistance=0.75 * volts**2 / 70,
                inrush=rng.uniform(20, 70),
                inrush_pf=0.75,
                sealed=rng.uniform(3, 8),
                sealed_pf=0.3,
            )
        )
    return points[1:]


def _extras(
    rng: random.Random, parts: list[Part], inner: list[str], rails: list[str], causes: list[str], volts: float
) -> None:
    """Bridges between rungs, lamps, capacitors: what makes sneak paths."""
    for i in range(rng.randint(0, 3)):
        a, b = rng.sample(inner, 2) if len(inner) > 1 else (inner[0], rails[1])
        kind = rng.choice(["bridge", "lamp", "rc"])
        if kind == "bridge":
            parts.append(part(f"X{i}", "contact", f"{a} {b}", rng.choice(causes), rng.choice(["NO", "NC"])))
        elif kind == "lamp":
            parts.append(
                part(
                    f"X{i}",
                    "load",
                    f"{a} {rng.choice([b, *rails])}",
                    resistance=volts**2 / rng.uniform(2, 15),
                )
            )
        else:
            capacitance = rng.uniform(0.05e-6, 0.5e-6)
            parts.append(
                part(f"X{i}", "suppressor", f"{a} {b}", rect="rc", capacitance=capacitance, resistance=100)
            )


def _motor(rng: random.Random, parts: list[Part], coils: list[str], battery: bool) -> Motor:
    one, two = f"coil:{coils[0]}", f"coil:{coils[1]}"
    if battery:
        for k, by in enumerate((one, two)):
            parts.append(part(f"P{k}a", "contact", f"R M{k}", by))
            parts.append(part(f"P{k}b", "contact", f"M{k} N", by, "NC"))
        parts.append(part("WM", "winding", "M0 M1", resistance=1, run_r=2.4, run_x=0, locked_r=1, locked_x=0))
        return Motor("motor", "dc-permanent-magnet", ("WM",), "in", "out", "winch")
    for k, by in enumerate((one, two)):
        parts.append(part(f"P{k}", "contact", f"R W{k}", by))
        parts.append(
            part(
                f"W{'AB'[k]}",
                "winding",
                f"W{k} N",
                resistance=3.2,
                run_r=18.5,
                run_x=18.5,
                locked_r=5,
                locked_x=6,
            )
        )
    parts.append(part("C1", "capacitor", "W0 W1", capacitance=rng.choice([70e-6, 40e-6])))
    return Motor("motor", "capacitor", ("WA", "WB"), "up", "down")
