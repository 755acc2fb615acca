"""What turns: torque of each motor from the currents in it, and which brakes are open.

Sign conventions (the catalog names `positive` and `negative` to match, its
self-test shows it):
capacitor       parts a, b: positive when b's current leads a's (a on the line, b through the capacitor)
main-auxiliary  parts main, auxiliary: positive when the auxiliary's current leads the main's
three-phase     positive sequence at U, V, W
dc-permanent-magnet  first pin positive against the second
series          field and armature current in the same sense, pin 1 to pin 2
drive           parts forward input, reverse input, enables: forward alone with every enable

"No torque" is not "stopped": a motor with current and no torque is `stall` (one or
two phases) or `single-phase`, and a running motor may keep turning.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from wiring.model.circuit import Brake, Motor
from wiring.simulate.impedance import PICK_UP, number, rectified
from wiring.simulate.network import Network
from wiring.simulate.real import RealSolution
from wiring.simulate.solve import Solution

#: Direction counts where the currents are this far from neutral: the sine of the angle between two
#: windings' currents, forward against backward sequence. Definition of the model: one winding
#: alone gives 0, a sound motor nearly 1.
DEAD_BAND = 0.25
#: Torque below this part of nominal counts as none. Definition of the model, on the sensitive
#: side: torque goes with the square of the voltage, so a motor on 22 % of its voltage still counts
#: as turning, because an empty hook needs little.
LEAST_TORQUE = 0.05
#: Current below this part of the winding's nominal counts as none (leakage, suppressors).
CURRENT_FLOOR = 0.10
#: A brake coil below this part of its rated voltage has let go for certain (as a DC coil).
BRAKE_DROP = 0.10

_A = cmath.rect(1.0, 2.0 * math.pi / 3.0)


@dataclass(frozen=True, slots=True)
class Turning:
    """What moves. torque: motor to positive | negative | stall | single-phase | none;
    may_open: brakes between let-go and release voltage."""

    torque: Mapping[str, str]
    motions: tuple[str, ...]
    brakes_open: tuple[str, ...]
    may_open: tuple[str, ...]


def turning(network: Network, solution: Solution | RealSolution, coils: int) -> Turning:
    """Torque of every motor, the motions it makes, the state of every brake."""
    torque = {motor.name: _torque(network, motor, solution, coils) for motor in network.circuit.motors}
    motions = set()
    for motor in network.circuit.motors:
        if torque[motor.name] == "positive" and motor.positive:
            motions.add(motor.positive)
        elif torque[motor.name] == "negative" and motor.negative:
            motions.add(motor.negative)
    levels = {brake.name: _brake(network, brake, solution, torque) for brake in network.circuit.brakes}
    return Turning(
        MappingProxyType(torque),
        tuple(sorted(motions)),
        tuple(name for name, level in levels.items() if level == "open"),
        tuple(name for name, level in levels.items() if level == "may"),
    )


def _brake(
    network: Network, brake: Brake, solution: Solution | RealSolution, torque: Mapping[str, str]
) -> str:
    """A flux brake opens with any current in its motor, also where that makes no torque."""
    if brake.released_by == "flux":
        return "open" if any(torque.get(name, "none") != "none" for name in brake.motors) else "shut"
    index = network.load_index.get(brake.part)
    if index is None:
        return "shut"  # the brake's coil is out of the circuit: the spring closes it
    part = network.loads[index].part
    rated = number(part, "voltage") or network.nominal * rectified(part)
    level = abs(solution.across[index]) * rectified(part) / rated if rated else 0.0
    if level >= PICK_UP:
        return "open"
    return "may" if level > BRAKE_DROP else "shut"


def _torque(network: Network, motor: Motor, solution: Solution | RealSolution, coils: int) -> str:
    if motor.kind == "drive":
        return _drive(network, motor, coils)
    if any(part not in network.parts for part in motor.parts):
        return _left(network, motor, solution)
    if motor.kind == "three-phase":
        return _three_phase(network, motor, solution)
    currents = [_current(network, name, solution) for name in motor.parts]
    nominal = [_nominal(network, motor, name) for name in motor.parts]
    flows = [abs(i) > CURRENT_FLOOR * n for i, n in zip(currents, nominal, strict=True)]
    if not any(flows):
        return "none"
    if motor.kind == "dc-permanent-magnet":
        index = network.load_index[motor.parts[0]]
        if network.hertz[0] and network.loads[index].part.name not in network.rectified:
            return "stall"
        volts = solution.across[index].real / (_rated(network, motor) or 1.0)
        return _class(volts * abs(volts), abs(volts) ** 2)
    one, two = currents
    scale = min(nominal) ** 2 if motor.kind == "series" else nominal[0] * nominal[1]
    product = two * one.conjugate()
    torque = product.real if motor.kind == "series" else product.imag
    return _class(torque / scale if scale else 0.0, abs(product) / scale if scale else 0.0)


def _left(network: Network, motor: Motor, solution: Solution | RealSolution) -> str:
    """A motor with a winding broken: current in what is left is a stall."""
    for name in motor.parts:
        index = network.load_index.get(name)
        if index is not None and abs(_current(network, name, solution)) > CURRENT_FLOOR * _nominal(
            network, motor, name
        ):
            return "stall"
    return "none"


def _class(torque: float, most: float) -> str:
    """Class of a torque [part of nominal]. most: what the same currents could give at best."""
    if abs(torque) < LEAST_TORQUE or abs(torque) <= DEAD_BAND * most:
        return "stall"
    return "positive" if torque > 0.0 else "negative"


def _rated(network: Network, motor: Motor) -> float:
    value = motor.values.get("voltage")
    if value is not None:
        return value.si
    return network.line_voltage if motor.kind == "three-phase" else network.nominal


def _current(network: Network, name: str, solution: Solution | RealSolution) -> complex:
    index = network.load_index[name]
    return solution.across[index] * network.loads[index].out[0]


def _nominal(network: Network, motor: Motor, name: str) -> float:
    """Current of the winding alone at the motor's rated voltage [A]; of a series motor, through both."""
    volts = _rated(network, motor)
    if motor.kind == "series":
        whole = sum(
            1.0 / network.loads[network.load_index[part]].out[0]
            for part in motor.parts
            if part in network.load_index
        )
        return volts / abs(whole) if whole else 0.0
    return volts * abs(network.loads[network.load_index[name]].out[0])


def _three_phase(network: Network, motor: Motor, solution: Solution | RealSolution) -> str:
    name = motor.parts[0]
    u, v, w = (_current(network, f"{name}.{phase}", solution) for phase in "UVW")
    nominal = (
        _rated(network, motor) / math.sqrt(3.0) * abs(network.loads[network.load_index[f"{name}.U"]].out[0])
    )
    if not nominal or max(abs(u), abs(v), abs(w)) <= CURRENT_FLOOR * nominal:
        return "none"
    forward = abs(u + _A * v + _A * _A * w) / 3.0
    backward = abs(u + _A * _A * v + _A * w) / 3.0
    torque, most = forward**2 - backward**2, forward**2 + backward**2
    found = _class(torque / nominal**2, most / nominal**2)
    return "single-phase" if found == "stall" else found


def _drive(network: Network, motor: Motor, coils: int) -> str:
    on = [bool(coils & network.coil_bit.get(name, 0)) for name in motor.parts]
    if len(on) < 2 or not all(on[2:]) or on[0] == on[1]:
        return "none"
    return "positive" if on[0] else "negative"
