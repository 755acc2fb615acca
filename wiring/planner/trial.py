"""The quick look at a converted circuit: does each key do what its button did, and nothing else?

It settles a few hundred states at most and costs milliseconds, so that a search can try
thousands of wirings. What passes here is planned in full before it is offered.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from wiring.model.circuit import Circuit
from wiring.simulate.network import Network
from wiring.simulate.states import At, Space, counterparts, space_of, translate

STANDING = ("stall", "single-phase")
#: More than this over its rated voltage burns a coil: above the upper end of the operating range (110 %)
#: with the tolerance of the supply on top.
BURNS = 1.3


@dataclass(frozen=True, slots=True)
class Seen:
    """What was wrong, each with the state."""

    wrong: tuple[str, ...]

    @property
    def stands(self) -> bool:
        """True where nothing was wrong."""
        return not self.wrong


class Trial:
    """The hoist as found, ready to compare conversions with."""

    def __init__(self, before: Circuit) -> None:
        self.before = Network(before)
        self.old = space_of(self.before)
        self.was: dict[int, tuple[tuple[str, ...], bool]] = {}

    def look(self, after: Circuit, enough: int | None = None) -> Seen:
        """Compare one conversion. enough: stop after so many things are wrong."""
        try:
            network = Network(after)
        except ValueError as error:
            return Seen((str(error),))
        looking = Looking(self, network)
        wrong: list[str] = []
        for line in looking.all():
            wrong.append(line)
            if enough is not None and len(wrong) >= enough:
                break
        return Seen(tuple(wrong))

    def motions_before(self, state: int) -> tuple[tuple[str, ...], bool]:
        """Motions as found in a state, and whether a motor stands under current."""
        found = self.was.get(state)
        if found is None:
            at = self.old.at(state)
            found = self.was[state] = (self.old.motions(at), bool(standing(self.old, at)))
        return found


def standing(space: Space, at: At) -> tuple[str, ...]:
    """Motors that take current and do not turn."""
    turn = space.power.turning(at.node, space.power.moment(space.seen(at.state), at.node)[1])
    return tuple(name for name, torque in turn.torque.items() if torque in STANDING)


class Looking:
    """One conversion under the eye."""

    def __init__(self, trial: Trial, network: Network) -> None:
        self.trial, self.network = trial, network
        self.new = space_of(network)
        self.table = counterparts(trial.before, network)
        self.bit = network.input_bit
        buttons = trial.before.circuit.expected
        self.keys = {name: f"key:{name.partition(':')[2]}" for name in buttons}

    def all(self) -> Iterator[str]:
        """Everything that is wrong, the plain things first."""
        yield from self.rest()
        yield from self.each_key()
        yield from self.pairs()
        yield from self.lost()
        yield from self.stops()

    def state(self, *names: str) -> int:
        """The bits of inputs, a second step with its first, and the buttons kept that must be held."""
        found = 0
        for name in names:
            bit = self.bit[name]
            found |= bit | self.new.needs.get(bit, 0)
        return found

    def at(self, state: int) -> At:
        return self.new.at(state)

    def words(self, state: int) -> str:
        pressed, opened = self.new.names(state)
        return ", ".join([*(f"{n} held" for n in pressed), *(f"{n} open" for n in opened)]) or "rest"

    def look(self, state: int, wanted: tuple[str, ...] | None, less: bool = False) -> Iterator[str]:
        """One state. wanted: the motions of the pendant, None for no motion; less: fewer are no harm."""
        at = self.at(state)
        moves = self.new.motions(at)
        target = wanted or ()
        if moves != target and not (less and set(moves) <= set(target)):
            yield f"{self.words(state)}: {listed(moves)} instead of {listed(target)}"
        if at.run.shorts:
            yield f"{self.words(state)}: {at.run.shorts[0]} shorted"
        if at.node.blown:
            yield f"{self.words(state)}: a fuse blows"
        if at.run.race:
            yield f"{self.words(state)}: two ends are possible"
        yield from self.volts(state, at)

    def volts(self, state: int, at: At) -> Iterator[str]:
        """Coils and inputs with far more than they are made for, or held where they should not be."""
        solution = self.new.power.moment(self.new.seen(at.state), at.node)[2]
        for coil in self.network.coils:
            volts = abs(solution.across[coil.load])
            part = self.network.loads[coil.load].part
            rated = part.values.get("maximum") or part.values.get("voltage")
            if rated is not None and volts > rated.si * (1.1 if part.kind == "supply-input" else BURNS):
                yield f"{self.words(state)}: {volts:.0f} V on {coil.name}"

    def rest(self) -> Iterator[str]:
        yield from self.look(0, ())
        if self.network.supply_bits and not self.new.rest.node.coils & self.network.supply_bits:
            yield "rest: the receiver has no supply"

    def each_key(self) -> Iterator[str]:
        """Each key alone, and with each limit, thermal device and supply stop open."""
        others = [n for n in self.bit if n.startswith(("limit:", "thermal:"))]
        for key in self.keys.values():
            if key not in self.bit:
                yield f"{key} is not there"
                continue
            for other in ("", *others):
                state = self.state(key, other) if other else self.state(key)
                same = translate(state, self.table)
                if same is None:  # a limit of its own that the pendant's hoist did not have
                    yield from self.look(state, self.trial.motions_before(
                        translate(self.state(key), self.table) or 0)[0], less=True)  # fmt: skip
                    continue
                yield from self.look(state, self.wanted(key, other, same))
            if not self.at(self.state(key)).node.coils & self.network.supply_bits:
                yield f"{key} held: the receiver loses its supply"

    def wanted(self, key: str, other: str, same: int) -> tuple[str, ...]:
        """What the pendant did; a limit that it defeated or that blocked the wrong way is put right."""
        was = self.trial.motions_before(same)[0]
        if not other.startswith("limit:"):
            return was
        alone = self.trial.motions_before(translate(self.state(key), self.table) or 0)[0]
        mine = {limit.motion for limit in self.network.circuit.limits if limit.input == other}
        ends = any(motion.startswith(tuple(mine)) for motion in alone) if mine else False
        now = self.new.motions(self.at(self.state(key, other)))
        return now if now == (() if ends else alone) else was

    def pairs(self) -> Iterator[str]:
        """Every two keys together: no more than the pendant did, and nothing stands under current."""
        keys = [k for k in self.keys.values() if k in self.bit]
        for i, one in enumerate(keys):
            for other in keys[i + 1 :]:
                if one.partition(".")[0] == other.partition(".")[0]:
                    continue
                state = self.state(one, other)
                same = translate(state, self.table)
                possible = same is not None and self.trial.old.feasible(same)
                was, stood = self.trial.motions_before(same) if possible and same is not None else ((), False)
                at = self.at(state)
                alone = {m for k in (one, other) for m in self.new.motions(self.at(self.state(k)))}
                moves = set(self.new.motions(at))
                apart = at.run.race and self.kept_apart(at)
                if not moves <= alone | set(was):
                    yield f"{self.words(state)}: {listed(sorted(moves - alone))} without its key"
                if standing(self.new, at) and not stood:
                    yield f"{self.words(state)}: {standing(self.new, at)[0]} stands under current"
                if at.run.shorts:
                    yield f"{self.words(state)}: {at.run.shorts[0]} shorted"
                elif at.run.race and not apart:
                    yield f"{self.words(state)}: two ends are possible"

    def kept_apart(self, at: At) -> bool:
        """True where a mechanical interlock decides the race: one of the two comes in, never both."""
        coils = self.network.coils
        return not at.run.restless and all(
            any(end.coils >> k & 1 and coil.against for k, coil in enumerate(coils)) for end in at.run.ends
        )

    def lost(self) -> Iterator[str]:
        """Link lost, receiver supply lost: nothing moves."""
        for key in self.keys.values():
            for input in ("link", "supply"):
                if key in self.bit and input in self.bit:
                    held = self.new.go(self.state(key, input), self.at(self.state(key)))
                    if self.new.motions(held):
                        yield f"{key} held, {input} lost: {', '.join(self.new.motions(held))} goes on"

    def stops(self) -> Iterator[str]:
        """Where the pendant had a stop, one near the operator ends every motion, welds included."""
        circuit = self.network.circuit
        near = [s.input for s in circuit.stops if s.rank >= 2 and s.input in self.bit]
        had = any(s.kind == "pendant stop" for s in self.trial.before.circuit.stops)
        wired = [s.input for s in circuit.stops if s.rank >= 2 and s.kind == "wired emergency stop"]
        for key in self.keys.values():
            if key not in self.bit:
                continue
            for stop in near:
                at = self.at(self.state(key, stop))
                if stop in wired and self.new.motions(at):
                    yield f"{key} held, {stop} pressed: {', '.join(self.new.motions(at))}"
            if had and not any(not self.new.motions(self.at(self.state(key, s))) for s in near):
                yield f"{key}: no stop near the operator ends it"
        yield from welds(self.network, near)


def listed(names: Iterable[str]) -> str:
    """Names with commas, or "nothing"."""
    return ", ".join(names) or "nothing"


def welds(network: Network, near: list[str]) -> Iterator[str]:
    """Contactors whose weld nothing near ends."""
    power = {p.by for p in network.circuit.parts if p.role == "power" and p.by.startswith("coil:")}
    for cause in sorted(power):
        coil = cause.removeprefix("coil:")
        broken = network.faulted((f"{coil} stuck-in",))
        space = space_of(broken)
        moves = space.motions(space.rest)
        if moves and all(space.motions(space.at(broken.input_bit[stop])) for stop in near):
            yield f"weld: {coil} stuck in: {', '.join(moves)}, and no stop near ends it"
