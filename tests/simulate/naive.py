"""An independent solver: every point a node, every contact a resistor, one dense matrix.

It shares the noun `Circuit` and the definitions of the model (thresholds, default
resistances) with the engine, and nothing else: its own admittances, its own
equations (sources and transformers as extra unknowns), its own settling and torque.
It knows no receiver memory: which outputs are closed is told to it.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from wiring.model.circuit import Circuit, Motor, Part
from wiring.simulate import impedance as model
from wiring.simulate.motions import CURRENT_FLOOR, DEAD_BAND, LEAST_TORQUE

#: Leakage of every node to earth: keeps the matrix regular where a node floats [S].
GMIN = 1e-9
DECIDING = ("coil", "supply-input", "drive-input")
TWO_PIN = (*DECIDING, "winding", "capacitor", "brake", "load", "suppressor")


@dataclass(frozen=True)
class Result:
    """energised: coils in; across: load to phasor [V]; torque: motor to class; steady: it came to rest."""

    energised: frozenset[str]
    closed: frozenset[str]
    across: Mapping[str, complex]
    torque: Mapping[str, str]
    steady: bool


def value(part: Part, name: str, default: float = 0.0) -> float:
    """A property as a float."""
    found = part.values.get(name)
    return default if found is None else found.si


def frequencies(circuit: Circuit) -> tuple[float, ...]:
    """The frequencies of the sources, highest first [Hz]."""
    found = {value(p, "frequency") for p in circuit.parts if p.kind == "source"}
    return tuple(sorted(found, reverse=True)) or (0.0,)


def hertz(circuit: Circuit) -> float:
    """The main frequency [Hz]: thresholds go by it."""
    return frequencies(circuit)[0]


def nominal(circuit: Circuit) -> float:
    """Highest source voltage [V]."""
    return max((value(p, "voltage") for p in circuit.parts if p.kind == "source"), default=0.0)


def impedance(circuit: Circuit, part: Part, energised: frozenset[str], f: float) -> complex | None:
    """Series impedance of a load at f [ohm]; None where nothing passes."""
    w = 2 * math.pi * f
    if part.kind == "coil":
        apparent = value(part, "sealed" if part.name in energised else "inrush")
        if f and apparent and value(part, "voltage"):
            pf = value(part, "sealed_pf" if part.name in energised else "inrush_pf", 1.0)
            return cmath.rect(value(part, "voltage") ** 2 / apparent, math.acos(min(1.0, pf)))
        return complex(value(part, "resistance", 1 / model.UNSTATED_S))
    if part.kind in ("winding", "motor3"):
        if f:
            return complex(value(part, "run_r", value(part, "resistance")), value(part, "run_x"))
        return complex(
            value(part, "resistance")
            if value(part, "run_x")
            else value(part, "run_r", value(part, "resistance"))
        )
    if part.kind == "capacitor":
        return 1 / (1j * w * value(part, "capacitance")) if f else None
    if part.kind == "suppressor":
        if part.rect == "bleeder":
            return complex(value(part, "resistance"))
        if part.rect != "rc" or not f:
            return None
        return value(part, "resistance") + 1 / (1j * w * value(part, "capacitance"))
    if part.kind == "brake":
        share = {"half": math.sqrt(2) / math.pi, "full": 2 * math.sqrt(2) / math.pi}.get(part.rect, 1.0)
        return complex(value(part, "resistance") / share**2)
    if part.kind == "supply-input":
        middle = (value(part, "minimum") + value(part, "maximum")) / 2
        return complex(middle**2 / value(part, "power"))
    if part.kind == "semiconductor":
        return complex(nominal(circuit) / value(part, "leakage")) if value(part, "leakage") else None
    return complex(value(part, "resistance"), value(part, "reactance") if f else 0.0)


def ohms(circuit: Circuit, part: Part) -> float:
    """Resistance of a conductor [ohm]."""
    return model.conductor_ohms(part, hertz(circuit) == 0.0 and nominal(circuit) <= model.BATTERY_VOLTS)


def two_port(part: Part) -> tuple[float, complex, complex]:
    """Ratio, series impedance and no-load admittance at the secondary of a transformer."""
    ratio = value(part, "secondary") / value(part, "primary")
    r = value(part, "secondary_resistance") + value(part, "primary_resistance") * ratio**2
    z = value(part, "impedance") * value(part, "secondary") ** 2 / value(part, "power")
    read = not (part.values["impedance"].weak or part.values["power"].weak)
    if read and "secondary_resistance" in part.values and part.values["secondary_resistance"].weak:
        r = min(r, z)  # a plate bounds what nobody measured
    return (
        ratio,
        complex(r, math.sqrt(max(0.0, z * z - r * r))),
        -1j * model.NO_LOAD * value(part, "power") / value(part, "secondary") ** 2,
    )


def branches(
    circuit: Circuit, closed: frozenset[str], energised: frozenset[str], f: float
) -> list[tuple[str, str, str, complex]]:
    """Every passive branch that conducts: (name, from, to, impedance)."""
    found = []
    for part in circuit.parts:
        if part.kind in ("wire", "fuse") or (
            part.kind in ("contact", "semiconductor") and part.name in closed
        ):
            found.append((part.name, part.pins[0], part.pins[1], complex(ohms(circuit, part))))
        elif part.kind in TWO_PIN or (part.kind == "semiconductor" and part.name not in closed):
            z = impedance(circuit, part, energised, f)
            if z is not None:
                found.append((part.name, part.pins[0], part.pins[1], z))
        elif part.kind == "motor3":
            z = impedance(circuit, part, energised, f)
            assert z is not None
            found += [
                (f"{part.name}.{k}", pin, f"{part.name}*", z) for k, pin in zip("UVW", part.pins, strict=True)
            ]
    return found


def voltages(
    circuit: Circuit, closed: frozenset[str], energised: frozenset[str], f: float
) -> dict[str, complex]:
    """Phasor of every point against earth with these contacts closed, from the sources of f [V]."""
    passive = branches(circuit, closed, energised, f)
    names = dict.fromkeys(pin for part in circuit.parts for pin in part.pins)
    names.update(dict.fromkeys(end for _, a, b, _ in passive for end in (a, b)))
    names.pop(circuit.earth, None)
    at = {name: i for i, name in enumerate(names)}
    extra = [p for p in circuit.parts if p.kind in ("source", "transformer")]
    n = len(at)
    a = np.zeros((n + len(extra), n + len(extra)), dtype=complex)
    rhs = np.zeros(n + len(extra), dtype=complex)
    a[range(n), range(n)] += GMIN

    def put(i: str, j: str, x: complex) -> None:
        if i in at and j in at:
            a[at[i], at[j]] += x

    for _, p, q, z in passive:
        for i, j, sign in ((p, p, 1), (q, q, 1), (p, q, -1), (q, p, -1)):
            put(i, j, sign / z)
    for k, part in enumerate(extra, start=n):
        if part.kind == "source":
            _ends(a, at, k, ((part.pins[0], 1.0), (part.pins[1], -1.0)), -complex(ohms(circuit, part)))
            if value(part, "frequency") == f:
                rhs[k] = cmath.rect(value(part, "voltage"), math.radians(value(part, "phase")))
        else:
            ratio, z, idle = two_port(part)
            p1, p2, s1, s2 = part.pins
            _ends(a, at, k, ((s1, 1.0), (s2, -1.0), (p1, -ratio), (p2, ratio)), -z)
            for i, j, sign in ((s1, s1, 1), (s2, s2, 1), (s1, s2, -1), (s2, s1, -1)):
                put(i, j, sign * idle)
    solved = np.linalg.solve(a, rhs)
    return {name: complex(solved[i]) for name, i in at.items()} | {circuit.earth: 0j}


def _ends(
    a: np.ndarray, at: dict[str, int], k: int, weights: Iterable[tuple[str, float]], z: complex
) -> None:
    """An unknown current into these ends, and the equation of its branch: sum(w V) + z I = right side."""
    for name, weight in weights:
        if name in at:
            a[at[name], k] += weight
            a[k, at[name]] += weight
    a[k, k] += z


def loads_of(circuit: Circuit, closed: frozenset[str], energised: frozenset[str]) -> dict[str, complex]:
    """Phasor over every load; the rms sum where sources of several frequencies act on it."""
    each = [across(circuit, voltages(circuit, closed, energised, f)) for f in frequencies(circuit)]
    return merge(each)


def merge(each: list[dict[str, complex]]) -> dict[str, complex]:
    """One phasor of the voltages at several frequencies."""
    found = {}
    for name in each[0]:
        parts = [one[name] for one in each if abs(one[name]) > 1e-6]
        rms = complex(math.hypot(*map(abs, parts))) if parts else 0j
        found[name] = parts[0] if len(parts) == 1 else rms
    return found


def across(circuit: Circuit, volts: Mapping[str, complex]) -> dict[str, complex]:
    """Phasor over every load."""
    found: dict[str, complex] = {}
    for part in circuit.parts:
        if part.kind in ("capacitor", "suppressor") and not hertz(circuit):
            continue  # passes nothing on DC: its voltage is a ghost
        if part.kind == "suppressor" and part.rect not in ("rc", "bleeder"):
            continue  # a varistor or a diode in reverse passes nothing either
        if part.kind in TWO_PIN or (part.kind == "semiconductor" and "leakage" in part.values):
            found[part.name] = volts[part.pins[0]] - volts[part.pins[1]]
        elif part.kind == "motor3":
            star = volts[f"{part.name}*"]
            found.update(
                {f"{part.name}.{k}": volts[pin] - star for k, pin in zip("UVW", part.pins, strict=True)}
            )
    return found


def thresholds(circuit: Circuit, part: Part) -> tuple[float, float]:
    """Pick-up and drop-out voltage [V]."""
    drop = model.DROP_OUT_AC if hertz(circuit) else model.DROP_OUT_DC
    if part.kind == "drive-input":
        return value(part, "on"), value(part, "off")
    if part.kind == "supply-input":
        return value(part, "minimum"), drop * value(part, "minimum")
    rated = value(part, "voltage", nominal(circuit))
    return value(part, "pick_up", model.PICK_UP) * rated, value(part, "drop_out", drop) * rated


def closed_contacts(
    circuit: Circuit, state: frozenset[str], energised: frozenset[str], outputs: frozenset[str]
) -> frozenset[str]:
    """Names of the contacts that conduct."""
    causes = state | {f"coil:{name}" for name in energised} | {f"output:{name}" for name in outputs}
    return frozenset(
        part.name
        for part in circuit.parts
        if part.kind in ("contact", "semiconductor") and (part.by in causes) == (part.form == "NO")
    )


def settle(
    circuit: Circuit, state: frozenset[str], start: frozenset[str] = frozenset(),
    outputs: frozenset[str] = frozenset(), held: Mapping[str, bool] | None = None,
) -> Result:  # fmt: skip
    """Change one coil after the other, taking turns in the order of the parts, until none wants to.

    held: coils that a fault holds in (True) or out.
    """
    held = held or {}
    energised = (frozenset(start) | {n for n, is_in in held.items() if is_in}) - {
        n for n, is_in in held.items() if not is_in
    }
    coils = [part for part in circuit.parts if part.kind in DECIDING and part.name not in held]
    against = [frozenset(pair) for pair in circuit.interlocks]
    for _ in range(4 * len(coils) + 8):
        closed = closed_contacts(circuit, state, energised, outputs)
        loads = loads_of(circuit, closed, energised)
        for k, part in enumerate(coils):
            now = part.name in energised
            pick, drop = thresholds(circuit, part)
            want = abs(loads[part.name]) >= (drop if now else pick)
            if part.kind == "supply-input" and "supply" in state:
                want = False
            blocked = not now and any(
                part.name in pair and pair - {part.name} <= energised for pair in against
            )
            if want != now and not blocked:
                energised = energised ^ {part.name}
                coils = coils[k + 1 :] + coils[: k + 1]
                break
        else:
            turning = {m.name: torque(circuit, m, loads, energised) for m in circuit.motors}
            return Result(energised, closed, loads, turning, True)
    return Result(energised, closed, loads, {}, False)


def torque(circuit: Circuit, motor: Motor, loads: Mapping[str, complex], energised: frozenset[str]) -> str:
    """Class of a motor's torque from the voltages across its parts."""
    if motor.kind == "drive":
        on = [name in energised for name in motor.parts]
        if on[0] == on[1] or not all(on[2:]):
            return "none"
        return "positive" if on[0] else "negative"
    parts = [circuit.part(name) for name in motor.parts]
    z = [impedance(circuit, part, energised, hertz(circuit)) or 1e9 for part in parts]
    rated = motor.values["voltage"].si if "voltage" in motor.values else nominal(circuit)
    if motor.kind == "three-phase":
        if "voltage" not in motor.values:
            rated *= math.sqrt(3)
        return _sequence(
            [loads[f"{parts[0].name}.{k}"] / z[0] for k in "UVW"], rated / math.sqrt(3) / abs(z[0])
        )
    current = [loads[part.name] / zz for part, zz in zip(parts, z, strict=True)]
    full = [rated / abs(sum(z))] * 2 if motor.kind == "series" else [rated / abs(zz) for zz in z]
    if all(abs(i) <= CURRENT_FLOOR * f for i, f in zip(current, full, strict=False)):
        return "none"
    if motor.kind == "dc-permanent-magnet":
        share = loads[parts[0].name].real / rated
        return _class(math.copysign(share**2, share), 1.0 if share else 0.0, "stall")
    if not all(current):
        return "stall"
    size = abs(current[0]) * abs(current[1]) / (full[0] * full[1])
    angle = cmath.phase(current[1] / current[0])
    return _class(size * (math.cos(angle) if motor.kind == "series" else math.sin(angle)), size, "stall")


def _sequence(phases: list[complex], full: float) -> str:
    turn = cmath.rect(1, 2 * math.pi / 3)
    if max(map(abs, phases)) <= CURRENT_FLOOR * full:
        return "none"
    u, v, w = phases
    forward, backward = abs(u + turn * v + turn**2 * w) / 3, abs(u + turn**2 * v + turn * w) / 3
    power = (forward**2 + backward**2) / full**2
    return _class((forward**2 - backward**2) / full**2, power, "single-phase")


def _class(torque: float, most: float, little: str) -> str:
    """Too little torque, or too little of what these currents could give, is none."""
    if abs(torque) < LEAST_TORQUE or abs(torque / most) <= DEAD_BAND:
        return little
    return "positive" if torque > 0 else "negative"
