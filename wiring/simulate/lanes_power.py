"""Motors and brakes in lanes: which way each turns, which brakes are open.

A motor with every pin on a label depends on those labels alone; one with a
hanging pin on what else hangs there. Either way lanes are parted by what the
motor can see, and each part asks `motions` once.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import cast

from wiring.simulate.lanes_pattern import (
    Ends,
    Islands,
    Name,
    around,
    label_of,
    lane_of,
    leaves,
    parted,
    soft,
    turned,
)
from wiring.simulate.lanes_settle import Lanes, Settler
from wiring.simulate.motions import Turning

#: Words of `motions` for a motor with current and no torque in its direction.
STANDING = ("stall", "single-phase")


@dataclass(frozen=True, slots=True)
class Moves:
    """What a settled batch does. torque: motor to word to lanes (`none` left out); motion:
    motion to lanes; brakes: brake to lanes in which it is open."""

    torque: Mapping[str, Mapping[str, int]]
    motion: Mapping[str, int]
    brakes: Mapping[str, int]

    def current(self, motor: str) -> int:
        """Lanes in which the motor carries current, turning or not."""
        total = 0
        for lanes in self.torque.get(motor, {}).values():
            total |= lanes
        return total


def either(one: Moves, other: Moves, lanes: int) -> Moves:
    """What one or the other does in `lanes`, the first elsewhere."""

    def mixed(a: Mapping[str, int], b: Mapping[str, int]) -> dict[str, int]:
        return {k: a.get(k, 0) | (b.get(k, 0) & lanes) for k in {*a, *b}}

    torque = {m: mixed(one.torque[m], other.torque[m]) for m in one.torque}
    return Moves(torque, mixed(one.motion, other.motion), mixed(one.brakes, other.brakes))


def moves(settler: Settler, now: Lanes) -> Moves:
    """What turns in a settled batch."""
    return _Reader(settler, now).read()


class _Reader:
    def __init__(self, settler: Settler, now: Lanes) -> None:
        self.settler, self.batch, self.net = settler, settler.batch, settler.net
        self.now = now
        self.islands: Islands | None = None
        self.near: list[tuple[int, int]] | None = None
        self.cond, self.coils = list(now.cond), list(now.coils)
        self.reach = settler.power(now)
        self.hard = settler.field.hard(self.reach)
        own = settler.field.distinct(self.reach)
        found = settler.field.seeds(settler.field.power_loads, self.reach, self.hard, own)
        lanes = 0
        for got in found:
            lanes |= got
        self.touched = [0] * self.batch.count
        if lanes:
            self.touched, _ = soft(
                self.batch,
                settler.field.power_loads,
                settler.field.power_edges,
                self.cond,
                self.reach,
                self.hard,
                own,
                lanes,
            )

    def read(self) -> Moves:
        circuit = self.net.circuit
        torque: dict[str, dict[str, int]] = {}
        for motor in circuit.motors:
            drive = motor.kind == "drive"
            torque[motor.name] = self._drive(motor.parts) if drive else self._motor(motor.name, motor.parts)
        motion: dict[str, int] = {}
        for motor in circuit.motors:
            for word, name in (("positive", motor.positive), ("negative", motor.negative)):
                lanes = torque[motor.name].get(word, 0)
                if name and lanes:
                    motion[name] = motion.get(name, 0) | lanes
        brakes: dict[str, int] = {}
        for brake in circuit.brakes:
            if brake.released_by == "coil":
                brakes[brake.name] = self._brake(brake.name, brake.part)
            else:
                total = 0
                for name in brake.motors:
                    for lanes in torque.get(name, {}).values():
                        total |= lanes
                brakes[brake.name] = total
        return Moves(torque, motion, brakes)

    def _drive(self, parts: tuple[str, ...]) -> dict[str, int]:
        index = self.batch.board.coil_index
        on = [self.coils[index[part]] if part in index else 0 for part in parts]
        if len(on) < 2:
            return {}
        enabled = self.batch.full
        for lanes in on[2:]:
            enabled &= lanes
        return {"positive": on[0] & ~on[1] & enabled, "negative": on[1] & ~on[0] & enabled}

    def _motor(self, name: str, parts: tuple[str, ...]) -> dict[str, int]:
        found: dict[str, int] = {}
        for leaf, turn in self._parted(name, parts):
            word = turn.torque[name]
            if word != "none":
                found[word] = found.get(word, 0) | leaf
        return found

    def _brake(self, name: str, part: str) -> int:
        lanes = 0
        for leaf, turn in self._parted(name, (part,)):
            if name in turn.brakes_open:
                lanes |= leaf
        return lanes

    def _pins(self, parts: tuple[str, ...]) -> list[int]:
        nodes: dict[int, None] = {}
        loads = self.net.loads
        for part in parts:
            for phase in ("", ".U", ".V", ".W"):
                i = self.net.load_index.get(part + phase)
                if i is not None:
                    nodes[self.batch.node[loads[i].a]] = None
                    if not phase:
                        nodes[self.batch.node[loads[i].b]] = None
        return list(nodes)

    def _parted(self, name: str, parts: tuple[str, ...]) -> Iterator[tuple[int, Turning]]:
        """(lanes, what moves there) for every pattern in which the parts see any voltage."""
        pins = self._pins(parts)
        any_hard = affected = 0
        for pin in pins:
            any_hard |= self.hard[pin]
            affected |= self.touched[pin]
        labels = [one[pin] for pin in pins for one in self.reach if one[pin]]
        plain = any_hard & ~affected & self.batch.full
        for leaf in leaves(plain, labels):
            lane = lane_of(leaf)
            key = (name, tuple(self._volts(pin, lane) for pin in pins))
            if len(set(key[1])) == 1:
                continue  # every pin at one potential
            yield leaf, self._known(key, lane)
        if affected:
            for leaf, sign in parted(affected, self._marks(pins)):
                yield leaf, self._hung(name, pins, leaf, sign)

    def _marks(self, pins: list[int]) -> Iterator[tuple[int, int]]:
        """What decides a motor of these pins, as bits of the board with the lanes of each."""
        if self.near is None:
            power = self.settler.field.power_loads, self.settler.field.power_edges
            shape = tuple(self.batch.node), tuple(i for i, *_ in power[1]), tuple(n for n, *_ in power[0])
            labels = tuple((label.frame, label.volts) for label in self.batch.labels)
            decide = around(power[1], power[0], self.cond, self.reach, self.touched)
            self.near = [(self._bit(("shape", shape, labels)), self.batch.full)]
            self.near += [(self._bit(name), lanes) for name, lanes in (*decide, *self._sealed())]
        for k, pin in enumerate(pins):
            for label, one in enumerate(self.reach):
                if one[pin]:
                    yield self._bit(("pin", k, label)), one[pin]
        yield from self.near

    def _bit(self, name: Name) -> int:
        """One bit for each name on this board."""
        marks = self.batch.board.marks
        return marks.setdefault(name, 1 << len(marks))

    def _sealed(self) -> list[tuple[Name, int]]:
        """Coils whose own impedance matters, those that hang on a touched node, and where they are in."""
        found: list[tuple[Name, int]] = []
        for k, a, b in self.settler.deciding:
            near = self.coils[k] & (self.touched[a] | self.touched[b])
            if near:
                found.append((("coil", k), near))
        return found

    def _volts(self, pin: int, lane: int) -> Ends:
        return label_of(self.batch, self.reach, pin, lane)

    def _hung(self, name: str, pins: list[int], leaf: int, sign: int) -> Turning:
        """What moves in the lanes of a leaf: by the bits that hold in it, or, where these were never
        seen, by what hangs around the parts."""
        memo = self.batch.board.memo
        found = memo.get((name, sign))
        if found is None:
            if self.islands is None:
                power = self.settler.field.power_loads, self.settler.field.power_edges
                self.islands = Islands(self.batch, *power, self.cond, self.coils, self.reach, self.touched)
            lane = lane_of(leaf)
            own = tuple(self._volts(pin, lane) for pin in pins)
            found = memo[name, sign] = self._known((name, own, self.islands.key(lane)), lane)
        return cast(Turning, found)

    def _known(self, key: object, lane: int) -> Turning:
        found = self.batch.board.memo.get(key)
        if found is None:
            found = self.batch.board.memo[key] = turned(self.batch, self.cond, self.coils, lane)
        return cast(Turning, found)
