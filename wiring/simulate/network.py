"""A circuit compiled once so that it settles many times.

Points become numbers, wires are contracted for good, and everything that can
open or close is a bit: `mask` is an integer with one bit per switch (contact,
semiconductor, fuse). The mask at rest is `Network.rest`; operating a cause (an
input, a coil, an output) flips the bits in `Network.flips[cause]`, because each
switch has exactly one cause. This is all that lanes and faults need:

* `switches[i]`  part, its two nodes, bit `1 << i`
* `loads[i]`     part, two nodes, admittance out / in / locked per frequency
* `coils[i]`     what decides by voltage: contactor coils, receiver supply inputs,
                 drive inputs; bit `1 << i` of a coil mask; `load` is its load
* `sources`, `transformers` (rectifiers are transformers to the solver)
* `near[node]` loads at a node; `steady` switches that no coil and no output moves
* `input_bit[name]`, `node(point)`, `static(point, point)`

A faulted network is another Network: `Network(circuit, faults)`.
"""

from __future__ import annotations

import cmath
import math
from typing import Any

from wiring.model.circuit import Circuit, Input, Output, Part
from wiring.simulate.broken import Forced, broken
from wiring.simulate.elements import TWO_PIN, Coil, Load, Source, Switch, Transformer
from wiring.simulate.impedance import (
    BATTERY_CONTACT_OHM,
    BATTERY_VOLTS,
    CONTACT_OHM,
    DROP_OUT_AC,
    DROP_OUT_DC,
    FULL_WAVE,
    PICK_UP,
    UNSTATED_S,
    admittance,
    conductor_ohms,
    number,
    transformer_numbers,
)


class Network:
    """The compiled circuit. Raises ValueError for a contact whose cause does not exist."""

    def __init__(self, circuit: Circuit, faults: tuple[str, ...] = ()) -> None:
        self.original = circuit
        self.faults = faults
        self.forced: Forced
        circuit, self.forced = broken(circuit, faults)
        self.circuit = circuit
        self.parts: dict[str, Part] = {part.name: part for part in circuit.parts}
        self.inputs: tuple[Input, ...] = circuit.inputs
        self.input_bit: dict[str, int] = {item.name: 1 << i for i, item in enumerate(circuit.inputs)}
        self.outputs: tuple[Output, ...] = circuit.outputs
        self.memo: dict[Any, Any] = {}  # settled runs, by (state, coils, memory)
        self.solutions: dict[Any, Any] = {}  # by (mask, coils, locked) and mode
        self.variants: dict[tuple[str, ...], Network] = {}
        self._points(circuit)
        self._frequencies(circuit)
        self._elements(circuit)
        self._coils(circuit)
        self._switch_masks()

    # -- points -------------------------------------------------------------------------------
    def _points(self, circuit: Circuit) -> None:
        names = [point.name for point in circuit.points]
        known = set(names)
        for part in circuit.parts:
            names += [pin for pin in part.pins if pin not in known]
            known.update(part.pins)
        if circuit.earth and circuit.earth not in known:
            names.append(circuit.earth)
        self.point_id: dict[str, int] = {name: i for i, name in enumerate(names)}
        self.point_names = names
        parent = list(range(len(names)))

        def find(i: int) -> int:
            while parent[i] != i:
                parent[i] = parent[parent[i]]
                i = parent[i]
            return i

        joins = [part.pins for part in circuit.parts if part.kind == "wire"]
        for a, b in [*joins, *self.forced.joined]:
            parent[find(self.point_id[self.full(a)])] = find(self.point_id[self.full(b)])
        number_of: dict[int, int] = {}
        self.node_of = [number_of.setdefault(find(i), len(number_of)) for i in range(len(names))]
        self.node_count = len(number_of)
        self.earth = self.node(circuit.earth) if circuit.earth else -1

    def full(self, point: str) -> str:
        """The point's own name where `point` is an alias (`core:2`)."""
        return point if point in self.point_id else self.circuit.aliases.get(point, point)

    def node(self, point: str) -> int:
        """Node of a point after the wires are contracted. Raises KeyError for an unknown point."""
        return self.node_of[self.point_id[self.full(point)]]

    def static(self, a: str, b: str) -> bool:
        """True where wires alone join the two points, whatever is operated."""
        return self.node(a) == self.node(b)

    # -- elements -----------------------------------------------------------------------------
    def _frequencies(self, circuit: Circuit) -> None:
        sources = [part for part in circuit.parts if part.kind == "source"]
        whole = [part for part in self.original.parts if part.kind == "source"]  # a lost phase sets no rating
        found = sorted({number(part, "frequency") or 0.0 for part in whole}, reverse=True)
        self.hertz: tuple[float, ...] = tuple(found) or (0.0,)
        self.nominal = max((number(part, "voltage") or 0.0 for part in whole), default=0.0)
        self.sources = tuple(
            Source(part, self.node(part.pins[0]), self.node(part.pins[1]), self._phasors(part))
            for part in sources
        )
        self.line_voltage = self._line_voltage()
        self.rectified = self._behind_rectifiers(circuit)

    def _phasors(self, part: Part) -> tuple[complex, ...]:
        own = number(part, "frequency") or 0.0
        value = cmath.rect(number(part, "voltage") or 0.0, math.radians(number(part, "phase") or 0.0))
        return tuple(value if hertz == own else 0j for hertz in self.hertz)

    def _line_voltage(self) -> float:
        """Largest voltage between two source ends that share an end, or across one source [V]."""
        best = self.nominal
        whole = [(p, self._phasors(p)) for p in self.original.parts if p.kind == "source"]
        for i, (one, a) in enumerate(whole):
            for two, b in whole[:i]:
                if one.pins[1] == two.pins[1]:
                    best = max(best, *(abs(x - y) for x, y in zip(a, b, strict=True)))
        return best

    def _behind_rectifiers(self, circuit: Circuit) -> frozenset[str]:
        """Parts fed with DC by a rectifier: in its output's galvanic part, which holds no source."""
        near: dict[int, set[int]] = {}
        for part in circuit.parts:
            nodes = [self.node(pin) for pin in part.pins]
            groups = [nodes[:2], nodes[2:]] if part.kind in ("rectifier", "transformer") else [nodes]
            for group in groups:
                for node in group:
                    near.setdefault(node, set()).update(group)
        live = {node for source in self.sources for node in (source.plus, source.minus)}
        found: set[int] = set()
        for part in circuit.parts:
            if part.kind != "rectifier":
                continue
            seen = {self.node(part.pins[2]), self.node(part.pins[3])}
            queue = list(seen)
            while queue:
                for node in near.get(queue.pop(), ()):
                    if node not in seen:
                        seen.add(node)
                        queue.append(node)
            if not seen & live:
                found |= seen
        return frozenset(
            part.name for part in circuit.parts if all(self.node(pin) in found for pin in part.pins)
        )

    def _elements(self, circuit: Circuit) -> None:
        switches: list[Switch] = []
        loads: list[Load] = []
        transformers: list[Transformer] = []
        for part in circuit.parts:
            nodes = [self.node(pin) for pin in part.pins]
            if part.kind in ("contact", "semiconductor", "fuse"):
                cause = "" if part.kind == "fuse" else part.by
                switches.append(Switch(part, nodes[0], nodes[1], cause, number(part, "rating") or 0.0))
                if part.kind == "semiconductor" and number(part, "leakage"):
                    loads.append(self._load(part, part.name, nodes[0], nodes[1], len(switches) - 1))
            elif part.kind in TWO_PIN:
                loads.append(self._load(part, part.name, nodes[0], nodes[1]))
            elif part.kind == "motor3":
                star = self.node_count
                self.node_count += 1
                loads += [
                    self._load(part, f"{part.name}.{phase}", node, star)
                    for phase, node in zip("UVW", nodes, strict=True)
                ]
            elif part.kind == "transformer":
                transformers.append(
                    Transformer(
                        part, (nodes[0], nodes[1], nodes[2], nodes[3]), *transformer_numbers(part), False
                    )
                )
            elif part.kind == "rectifier":
                ratio = FULL_WAVE if self.hertz[0] else 1.0
                transformers.append(
                    Transformer(
                        part, (nodes[0], nodes[1], nodes[2], nodes[3]), ratio, 1 + 0j, UNSTATED_S + 0j, True
                    )
                )
        self.switches, self.loads, self.transformers = tuple(switches), tuple(loads), tuple(transformers)
        self.load_index = {load.name: i for i, load in enumerate(loads)}
        self.near: list[list[tuple[int, int]]] = [[] for _ in range(self.node_count)]
        for i, load in enumerate(loads):
            if load.a != load.b:
                self.near[load.a].append((i, load.b))
                self.near[load.b].append((i, load.a))
        self.leaking = sum(1 << load.switch for load in loads if load.switch >= 0)

    def _load(self, part: Part, name: str, a: int, b: int, switch: int = -1) -> Load:
        def by_frequency(energised: bool, locked: bool) -> tuple[complex, ...]:
            if part.name in self.forced.opened:
                return (0j,) * len(self.hertz)
            return tuple(
                admittance(
                    part, 0.0 if part.name in self.rectified else hertz, energised, locked, self.nominal
                )
                for hertz in self.hertz
            )

        return Load(
            name, part, a, b,
            by_frequency(False, False), by_frequency(True, False), by_frequency(False, True), -1, switch,
        )  # fmt: skip

    # -- coils --------------------------------------------------------------------------------
    def _coils(self, circuit: Circuit) -> None:
        deciding = [
            i
            for i, load in enumerate(self.loads)
            if load.part.kind in ("coil", "supply-input", "drive-input")
        ]
        order = {self.loads[i].name: k for k, i in enumerate(deciding)}
        against = [0] * len(deciding)
        for one, two in circuit.interlocks:
            if one in order and two in order and frozenset((one, two)) not in self.forced.jammed:
                against[order[one]] |= 1 << order[two]
                against[order[two]] |= 1 << order[one]
        self.coils = tuple(self._coil(i, against[k]) for k, i in enumerate(deciding))
        self.coil_bit = {coil.name: 1 << k for k, coil in enumerate(self.coils)}
        loads = list(self.loads)
        for k, i in enumerate(deciding):
            old = loads[i]
            loads[i] = Load(old.name, old.part, old.a, old.b, old.out, old.sealed, old.locked, k)
        self.loads = tuple(loads)
        self.supply_bits = sum(bit for coil, bit in self._bits() if coil.kind == "supply-input")

    def _bits(self) -> list[tuple[Coil, int]]:
        return [(coil, 1 << k) for k, coil in enumerate(self.coils)]

    def _coil(self, index: int, against: int) -> Coil:
        part = self.loads[index].part
        drop = DROP_OUT_AC if self.hertz[0] and part.name not in self.rectified else DROP_OUT_DC
        forced = self.forced.coils.get(part.name)
        if part.kind == "drive-input":
            on = number(part, "on") or PICK_UP * self.nominal
            off = number(part, "off")
            return Coil(part.name, part.kind, index, on, on, on if off is None else off, against, forced)
        if part.kind == "supply-input":
            low = number(part, "minimum") or PICK_UP * (number(part, "voltage") or self.nominal)
            return Coil(part.name, part.kind, index, low, low, drop * low, against, forced)
        rated = number(part, "voltage") or self.nominal
        pick, hold = number(part, "pick_up") or PICK_UP, number(part, "drop_out") or drop
        return Coil(part.name, part.kind, index, rated, pick * rated, hold * rated, against, forced)

    # -- masks --------------------------------------------------------------------------------
    def _switch_masks(self) -> None:
        rest = fuses = 0
        flips: dict[str, int] = {}
        for i, switch in enumerate(self.switches):
            bit = 1 << i
            if not switch.cause:
                fuses |= bit
                rest |= bit
                continue
            if switch.part.form == "NC":
                rest |= bit
            flips[switch.cause] = flips.get(switch.cause, 0) | bit
        self.rest, self.fuses, self.flips = rest, fuses, flips
        quick = ("coil:", "output:")
        self.steady = sum(1 << i for i, s in enumerate(self.switches) if not s.cause.startswith(quick))
        self.joint_order = [
            *(i for i in range(len(self.switches)) if self.steady >> i & 1),
            *(i for i in range(len(self.switches)) if not self.steady >> i & 1),
        ]
        self.input_flips = {self.input_bit[name]: flips.get(name, 0) for name in self.input_bit}
        self.coil_flips = [flips.get(f"coil:{coil.name}", 0) for coil in self.coils]
        self.output_flips = [flips.get(f"output:{output.name}", 0) for output in self.outputs]
        causes = set(self.input_bit) | {f"coil:{coil.name}" for coil in self.coils}
        causes |= {f"output:{output.name}" for output in self.outputs}
        unknown = sorted(set(flips) - causes)
        if unknown:
            raise ValueError(f"contacts closed by something that is not in the circuit: {', '.join(unknown)}")
        self.closed_names = tuple(switch.part.name for switch in self.switches)

    @property
    def joint_ohms(self) -> float:
        """Resistance of a welded contact or a short in real-wire mode [ohm]."""
        battery = self.hertz[0] == 0.0 and self.nominal <= BATTERY_VOLTS
        return BATTERY_CONTACT_OHM if battery else CONTACT_OHM

    def ohms(self, part: Part) -> float:
        """Resistance of a conductor in real-wire mode [ohm]."""
        return conductor_ohms(part, self.hertz[0] == 0.0 and self.nominal <= BATTERY_VOLTS)

    def faulted(self, faults: tuple[str, ...]) -> Network:
        """The same circuit with faults, compiled once per fault set."""
        if not faults:
            return self
        key = tuple(sorted(set(self.faults) | set(faults)))
        if key not in self.variants:
            self.variants[key] = Network(self.original, key)
        return self.variants[key]

    def state_bits(self, state: frozenset[str]) -> int:
        """A state as a number. Raises KeyError for an input the circuit does not have."""
        bits = 0
        for name in state:
            bits |= self.input_bit[name]
        return bits

    def state_names(self, bits: int) -> frozenset[str]:
        """The inputs whose bits are set."""
        return frozenset(name for name, bit in self.input_bit.items() if bits & bit)
