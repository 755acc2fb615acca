"""What a fault leads to: hazards by motion, where they show, which stops still end them.

A motion ends only when its motor is without current: a motor that hums or runs on
two phases may keep turning. A stop ends a hazard only where it is seen to do so in
every base state that shows it; the worst state tells the story.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import reduce
from operator import or_

from wiring.model.behaviour import State
from wiring.model.circuit import Circuit, Stop
from wiring.simulate.faults_points import point_sights
from wiring.simulate.faults_runs import Plane, Runner, Shot
from wiring.simulate.faults_sights import (
    LET_GO,
    LIMIT_DEFEATED,
    NO_STOP,
    RESTART,
    STALL,
    STOP_DEFEATED,
    UNCOMMANDED,
    WRONG_WAY,
    Seen,
    Sight,
)
from wiring.simulate.lanes_power import STANDING

#: Moments of the sound circuit that must come to rest for a fault to be told there.
SETTLED = ("pressed", "released", "cold")


class Watch:
    """Reads the hazards of one batch against the sound circuit."""

    def __init__(self, circuit: Circuit, plane: Plane, runner: Runner, sound: Runner) -> None:
        self.circuit, self.plane, self.runner, self.sound = circuit, plane, runner, sound
        self.batch = runner.batch
        self.motor_of: dict[str, list[str]] = {}
        self.against: dict[str, str] = {}
        for motor in circuit.motors:
            for name, other in ((motor.positive, motor.negative), (motor.negative, motor.positive)):
                if name:
                    self.motor_of.setdefault(name, []).append(motor.name)
                    self.against[name] = other
        self.command = self._commanded()
        self.too_weak = {(s.input, m) for s in circuit.stops for m in self.motor_of if self._too_weak(s, m)}
        self.real = self.batch.spread(plane.all & ~self._restless())
        self.rest = self.batch.spread(1)  # base state 0 is rest

    def _restless(self) -> int:
        """Base states in which the sound circuit never comes to rest: no fault can be told there,
        the races of the circuit are reported for themselves."""
        total = 0
        for moment in SETTLED:
            total |= self._nominal(moment).lanes.restless
        return total

    # -- what is commanded --------------------------------------------------------------------
    def _commanded(self) -> dict[str, int]:
        """Motion to the lanes in which a key for it is held."""
        found = dict.fromkeys(self.motor_of, 0)
        for key in self.plane.let_go():
            for motion in self._motions_of(key):
                if motion in found:
                    found[motion] |= self.plane.base[key]
        return {motion: self.batch.spread(lanes) for motion, lanes in found.items()}

    def _motions_of(self, key: str) -> tuple[str, ...]:
        stated = self.circuit.expected.get(key)
        if stated is not None:
            return tuple(stated)
        shot = self.sound.shot("pressed")
        for n, state in enumerate(self.plane.states):
            implied = {i.implies for i in self.circuit.inputs if i.name == key}
            if key in state and state <= implied | {key}:
                return tuple(m for m, lanes in shot.moves.motion.items() if lanes >> n & 1)
        return ()

    def _nominal(self, moment: str) -> Shot:
        return self.sound.shot(moment)

    def _sound_motion(self, moment: str, motion: str) -> int:
        return self.batch.spread(self._nominal(moment).moves.motion.get(motion, 0))

    def _current(self, shot: Shot, motion: str) -> int:
        """Lanes in which a motor of the motion carries current."""
        total = 0
        for motor in self.motor_of[motion]:
            total |= shot.moves.current(motor)
        return total

    def running(self, shot: Shot, motion: str) -> int:
        """Lanes in which the motion goes on, or its motor hums and may keep turning that way."""
        return self._current(shot, motion) & ~shot.moves.motion.get(self.against[motion], 0)

    def _sound_running(self, moment: str, motion: str) -> int:
        return self.batch.spread(self.running(self._nominal(moment), motion))

    # -- sights -------------------------------------------------------------------------------
    def sights(self) -> list[Sight]:
        """Every hazard that shows in some lane of the batch."""
        found = [
            *self._moving(),
            *self._stops_defeated(),
            *self._limits_defeated(),
            *self._restarts(),
            *self._let_go(),
            *self._stalls(),
            *point_sights(self),
        ]
        return [sight for sight in found if sight.lanes]

    def _same_way(self, motion: str) -> int:
        """Lanes in which a motion of this direction is asked for, slow or fast."""
        way = motion.split()[:2]
        return reduce(or_, (bits for other, bits in self.command.items() if other.split()[:2] == way), 0)

    def _moving(self) -> Iterator[Sight]:
        """Motion without command, the wrong way, and motion that outlasts its key."""
        pressed, held = self.runner.shot("pressed"), self.runner.shot("held")
        released, let_go = self.runner.shot("released"), self.runner.shot("let_go")
        for motion in self.motor_of:
            moves = pressed.moves.motion.get(motion, 0) & self.real
            # with both directions asked for at once, either of them was asked for, at any speed
            against = self.command.get(self.against[motion], 0)
            loose = moves & ~self.command[motion] & ~self._sound_motion("pressed", motion)
            loose &= ~(against & self._same_way(motion))
            at_rest = loose & self.rest
            wrong = loose & against
            resting = self._everywhere(at_rest)
            yield Sight(WRONG_WAY, motion, "pressed", wrong & ~resting)
            yield Sight(UNCOMMANDED, motion, "pressed", at_rest | (loose & ~wrong & ~resting))
            sound = self._sound_running("released", motion)
            for before, after, name in ((held, released, "released"), (pressed, let_go, "let_go")):
                ran = before.moves.motion.get(motion, 0) & self.command[motion] & self.real
                on = ran & self.running(after, motion) & ~sound
                yield Sight(NO_STOP, motion, name, on & ~resting if name == "let_go" else on)
        if self.circuit.outputs:
            yield from self._link_lost(held)

    def _everywhere(self, lanes: int) -> int:
        """All base states of every fault set that shows in `lanes`."""
        total = 0
        for n in range(len(self.batch.settings)):
            if self.batch.cut(lanes, n):
                total |= self.batch.of([n])
        return total

    def _link_lost(self, held: Shot) -> Iterator[Sight]:
        """The link is lost with a key held, and nothing stops."""
        lost = self.runner.shot("held+link")
        for motion in self.motor_of:
            ran = held.moves.motion.get(motion, 0) & self.command[motion] & self.real
            on = ran & self.running(lost, motion) & ~self._sound_running("held+link", motion)
            yield Sight(NO_STOP, motion, "held+link", on, "link")

    def _stops_defeated(self) -> Iterator[Sight]:
        held = self.runner.shot("held")
        for stop in self.circuit.stops:
            moment = f"held+{stop.input}"
            for motion in self.motor_of:
                sound = self._sound_motion("pressed", motion) & ~self._sound_running(moment, motion)
                ran = held.moves.motion.get(motion, 0) & sound & self.real
                if ran:
                    on = ran & self.running(self.runner.shot(moment), motion)
                    yield Sight(STOP_DEFEATED, motion, "held", on, stop.input)

    def _limits_defeated(self) -> Iterator[Sight]:
        held = self.runner.shot("held")
        for limit in self.circuit.limits:
            if limit.input not in self.plane.kinds:
                continue
            moment = f"held+{limit.input}"
            already = self.batch.spread(self.plane.base.get(limit.input, 0))
            for motion in self.motor_of:
                if not motion.startswith(limit.motion):
                    continue
                ran = held.moves.motion.get(motion, 0) & self.real & ~already
                ran &= self._sound_motion("pressed", motion) & ~self._sound_motion(moment, motion)
                ran &= ~self.command[self.against[motion]] if self.against[motion] else -1
                if ran:
                    # a limit that leaves the motor humming is defeated by a fault that makes it turn
                    shot, hums = self.runner.shot(moment), self._sound_running(moment, motion)
                    on = ran & ~hums & self.running(shot, motion)
                    on |= ran & hums & shot.moves.motion.get(motion, 0)
                    yield Sight(LIMIT_DEFEATED, motion, "held", on, limit.input)

    def _restarts(self) -> Iterator[Sight]:
        """Supply back with keys held, stop reset, link or receiver supply back with nothing held."""
        cold = self.runner.shot("cold")
        pressed = self.runner.shot("pressed")
        for motion in self.motor_of:
            loose = pressed.moves.motion.get(motion, 0) & ~self.command[motion] & self.rest
            known = self._everywhere(loose)
            moved = cold.moves.motion.get(motion, 0) & self.real & self._sound_motion("pressed", motion)
            yield Sight(RESTART, motion, "cold", moved & ~known & ~self._any_sound("cold"), "supply")
            for subject in self._undone():
                moment = f"held+{subject} off"
                back = self.runner.shot(moment).moves.motion.get(motion, 0) & self.real
                ended = ~self._current(self.runner.shot(f"held+{subject}"), motion)
                yield Sight(RESTART, motion, moment, back & ended & ~known, subject)

    def _any_sound(self, moment: str) -> int:
        """Lanes in which anything moves in the sound circuit."""
        total = 0
        for lanes in self._nominal(moment).moves.motion.values():
            total |= lanes
        return self.batch.spread(total)

    def _undone(self) -> list[str]:
        names = [stop.input for stop in self.circuit.stops]
        names += [n for n in ("link", "supply") if n in self.plane.kinds]
        return names

    def _let_go(self) -> Iterator[Sight]:
        """A brake is open while no motor on its hook has torque."""
        for moment in ("pressed", "held", "cold", "released"):
            shot, sound = self.runner.shot(moment), self._nominal("pressed" if moment == "held" else moment)
            for brake in self.circuit.brakes:
                free = self._free(shot, brake.name, brake.motors) & self.real
                free &= ~self.batch.spread(self._free(sound, brake.name, brake.motors) & self.plane.all)
                for motion, lanes in self._by_command(brake.motors, free):
                    yield Sight(LET_GO, motion, moment, lanes, brake.name)

    def _free(self, shot: Shot, brake: str, motors: tuple[str, ...]) -> int:
        lanes = shot.moves.brakes.get(brake, 0)
        for motor in motors:
            words = shot.moves.torque.get(motor, {})
            lanes &= ~(words.get("positive", 0) | words.get("negative", 0))
        return lanes

    def _by_command(self, motors: tuple[str, ...], lanes: int) -> Iterator[tuple[str, int]]:
        """Lanes by the motion of these motors that runs there in the sound circuit, else by the one
        that is commanded, else by the first motor's negative."""
        named = [m for m in self.circuit.motors if m.name in motors]
        motions = [m for motor in named for m in (motor.positive, motor.negative) if m]
        found = dict.fromkeys(motions, 0)
        left = lanes
        runs = {motion: self._sound_motion("pressed", motion) for motion in motions}
        for owner in (runs, self.command):
            for motion in motions:
                found[motion] |= left & owner[motion]
                left &= ~owner[motion]
        if left and motions:
            found[motions[-1] if len(named) == 1 else named[0].negative or motions[0]] |= left
        yield from ((motion, got) for motion, got in found.items() if got)

    def _stalls(self) -> Iterator[Sight]:
        """A motor that carries current and does not turn, for as long as the key is held."""
        for moment in ("pressed", "held"):
            shot, sound = self.runner.shot(moment), self._nominal("pressed")
            for motor in self.circuit.motors:
                lanes = self._standing(shot, motor.name) & self.real
                lanes &= ~self.batch.spread(self._standing(sound, motor.name) & self.plane.all)
                for motion, part in self._by_command((motor.name,), lanes):
                    yield Sight(STALL, motion, moment, part, motor.name)

    def _standing(self, shot: Shot, motor: str) -> int:
        words = shot.moves.torque.get(motor, {})
        total = 0
        for word in STANDING:
            total |= words.get(word, 0)
        return total

    def any_current(self, shot: Shot) -> int:
        """Lanes in which some motor carries current."""
        total = 0
        for motor in self.circuit.motors:
            total |= shot.moves.current(motor.name)
        return total

    def _too_weak(self, stop: Stop, motion: str) -> bool:
        """True where a contact of the stop stands in the motor line and is known to break less than
        the motor's locked rotor (its full load where that is not stated) takes. Not known: counted,
        a rule of its own asks for the rating."""
        board, line = self.sound.batch.board, {e[0] for e in self.sound.settler.field.power_edges}
        takes = 0.0
        for motor in self.circuit.motors:
            if motor.name in self.motor_of[motion]:
                value = motor.values.get("locked_rotor_current") or motor.values.get("full_load_current")
                takes = max(takes, value.si if value else 0.0)
        limits = [
            part.values["breaking"].si
            for part in self.circuit.parts
            if part.name in stop.parts and "breaking" in part.values and board.index[part.name] in line
        ]
        return bool(limits) and min(limits) < takes

    # -- stops --------------------------------------------------------------------------------
    def seen(self, number: int, sights: list[Sight]) -> tuple[Seen, ...]:
        """The hazards of one fault set, one per hazard and motion, each at its worst."""
        worst: dict[tuple[str, str], Seen] = {}
        for sight in sights:
            lanes = self.batch.cut(sight.lanes, number)
            if not lanes:
                continue
            made = self._judged(number, sight, lanes)
            key = (sight.hazard, sight.motion)
            old = worst.get(key)
            if old is None or (made.score or 0) < (old.score or 0):
                worst[key] = made
        return tuple(worst.values())

    def _judged(self, number: int, sight: Sight, lanes: int) -> Seen:
        if not sight.motion:
            return Seen(sight.hazard, "", self._state(lanes), sight.moment, None, ())
        ended = {stop.input: lanes & self._ends(stop, sight, number) for stop in self.circuit.stops}
        left, score, lane = lanes, 0, lanes
        for stop in sorted(self.circuit.stops, key=lambda s: -s.rank):
            reach = left & ended[stop.input]
            if reach:
                score, lane = stop.rank, reach
            left &= ~reach
        if left:
            score, lane = 0, left
        low = lane & -lane
        ranked = sorted(self.circuit.stops, key=lambda s: (-s.rank, s.input))
        stops = tuple(stop.input for stop in ranked if ended[stop.input] & low)
        failed = next((stop.rank for stop in self.circuit.stops if stop.input == sight.subject), 0)
        state = self._state(low)
        return Seen(sight.hazard, sight.motion, state, sight.moment, score, stops, sight.subject, failed)

    def _state(self, lanes: int) -> State:
        return self.plane.states[(lanes & -lanes).bit_length() - 1]

    def _ends(self, stop: Stop, sight: Sight, number: int) -> int:
        """Base states of one fault set in which the stop ends what `sight` shows."""
        if (stop.input, sight.motion) in self.too_weak:
            return 0
        shot = self.runner.shot(f"{sight.moment}+{stop.input}")
        if sight.hazard == LET_GO:
            on = shot.moves.brakes.get(sight.subject, 0)
        elif sight.hazard == STALL:
            on = shot.moves.current(sight.subject)
        else:
            on = self._current(shot, sight.motion)
        return ~self.batch.cut(on, number) & self.batch.block
