"""The circuit at rest in one state: coils change one at a time until nothing wants to change.

A coil comes in at its pick-up voltage and goes out below its must-drop voltage;
between them it stays as it is and is reported as may-hold (`futures` gives the
other outcome). Where two coils want to change at once every order is explored
(up to `EXPLORE` moments; above that two opposite orders): different ends are a
race, no end at all is an oscillation. A fuse that opened on the way stays open.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import NamedTuple

from wiring.model.behaviour import Settled, State
from wiring.simulate.motions import Turning, turning
from wiring.simulate.network import Network
from wiring.simulate.real import RealSolution, real_solution
from wiring.simulate.receiver import Memory, Receiver
from wiring.simulate.solve import Lazy, Solution, solve

#: Every order of changes is explored up to so many moments of one settling; above it the ends found
#: by then count, and those of two opposite orders.
EXPLORE = 1000
#: A load this close to a threshold (part of rated) is solved again with real wires and marked.
NEAR = 0.05


class Node(NamedTuple):
    """One moment: coils that are in (mask), memory of the receiver, fuses that are open (mask)."""

    coils: int
    memory: Memory
    blown: int


@dataclass(frozen=True, slots=True, eq=False)
class Run:
    """The end of a settling. ends: every end that some order reaches, the first is reported;
    race: more than one; restless: coils (mask) that never come to rest; shorts: source
    shorts met on the way; two: two coils wanted to change at once."""

    ends: tuple[Node, ...]
    mask: int
    solution: Solution | RealSolution
    race: bool
    restless: int
    shorts: tuple[str, ...]
    two: bool


class Engine:
    """Settling for one network and one mode. Keeps the memo; get it by `engine(network)`."""

    def __init__(self, network: Network, real: bool) -> None:
        self.network, self.real = network, real
        self.receiver = Receiver(network)
        self.memo: dict[tuple[int, int, Memory], Run] = {}
        self.turned: dict[tuple[int, int], Turning] = {}
        self.supply_bit = network.input_bit.get("supply", 0)
        self.forced_in = sum(1 << k for k, c in enumerate(network.coils) if c.forced is True)
        self.forced_out = sum(1 << k for k, c in enumerate(network.coils) if c.forced is False)
        self.stuck = sum(network.input_bit.get(name, 0) for name in network.forced.inputs)
        self.deaf = sum(network.input_bit.get(name, 0) for name in network.forced.dead_inputs)
        self.cut_short = 0  # settlings in which not every order was explored
        self._inputs: dict[int, int] = {}
        self._coils: dict[int, int] = {}
        self._wants: dict[tuple[int, int, bool], list[int]] = {}
        self._moments: dict[tuple[int, Node], tuple[Node, int, Solution | RealSolution, list[int]]] = {}

    # -- one moment ---------------------------------------------------------------------------
    def moment(self, state: int, node: Node) -> tuple[Node, int, Solution | RealSolution, list[int]]:
        """The node with its memory brought up to date, its switch mask, its solution, and the
        coils (indices) that want to change."""
        key = (state, node)
        found = self._moments.get(key)
        if found is None:
            found = self._moments[key] = self._moment(state, node)
        return found

    def _moment(self, state: int, node: Node) -> tuple[Node, int, Solution | RealSolution, list[int]]:
        supplies = self.network.supply_bits
        powered = not supplies or bool(node.coils & supplies)
        outputs, memory = self.receiver.step(state, powered, node.memory)
        mask = (self._by_inputs(state) ^ outputs ^ self._by_coils(node.coils)) & ~node.blown
        solution = self.solution(mask, node.coils)
        blown = node.blown
        if solution.contraction.blown:
            blown |= solution.contraction.blown
            mask &= ~blown
        off = bool(state & self.supply_bit)
        key = (mask, node.coils, off)
        wanting = self._wants.get(key)
        if wanting is None:
            wanting = self._wants[key] = self._wanting(node.coils, mask, solution, off)
        return Node(node.coils, memory, blown), mask, solution, wanting

    def _by_inputs(self, state: int) -> int:
        """Switches closed at rest, flipped by the inputs operated."""
        found = self._inputs.get(state)
        if found is None:
            found, rest = self.network.rest, state
            while rest:
                low = rest & -rest
                rest ^= low
                found ^= self.network.input_flips[low]
            self._inputs[state] = found
        return found

    def _by_coils(self, coils: int) -> int:
        """Switches flipped by the coils that are in."""
        found = self._coils.get(coils)
        if found is None:
            found = 0
            for k, flip in enumerate(self.network.coil_flips):
                if coils >> k & 1:
                    found ^= flip
            self._coils[coils] = found
        return found

    def solution(
        self, mask: int, coils: int, locked: frozenset[str] = frozenset()
    ) -> Solution | RealSolution:
        """The solution of one switch pattern in this engine's mode."""
        if self.real:
            return real_solution(self.network, mask, coils, locked)
        return solve(self.network, mask, coils, locked)

    def _wanting(self, coils: int, mask: int, solution: Solution | RealSolution, off: bool) -> list[int]:
        """Coils (indices) that want to change. off: the receiver's supply is forced off."""
        wanting = []
        for k, coil in enumerate(self.network.coils):
            now = bool(coils >> k & 1)
            if not now and coils & coil.against:
                continue
            if self._decide(coils, mask, solution, off, k) != now:
                wanting.append(k)
        return wanting

    def _decide(self, coils: int, mask: int, solution: Solution | RealSolution, off: bool, k: int) -> bool:
        coil = self.network.coils[k]
        if coil.forced is not None:
            return coil.forced
        if off and coil.kind == "supply-input":
            return False
        limit = coil.drop_out if coils >> k & 1 else coil.pick_up
        volts = abs(solution.across[coil.load])
        if not self.real and volts > 0.0 and abs(volts - limit) <= NEAR * coil.rated:
            volts = abs(real_solution(self.network, mask, coils).across[coil.load])
        return volts >= limit * (1.0 - 1e-9)

    # -- to the end ---------------------------------------------------------------------------
    def run(self, state: int, coils: int = 0, memory: Memory = ()) -> Run:
        """Settle from `coils` and `memory` with the inputs `state` operated. Memoised."""
        key = (state, coils, memory)
        found = self.memo.get(key)
        if found is None:
            found = self.memo[key] = self._run(state, coils, memory)
        return found

    def _run(self, state: int, coils: int, memory: Memory) -> Run:
        state = (state | self.stuck) & ~self.deaf
        blown, words = self._open_fuses(memory)
        coils = (coils | self.forced_in) & ~self.forced_out
        start = Node(coils, words, blown)
        shorts: dict[str, None] = {}
        first, two, restless = self._follow(state, start, False, shorts)
        ends = [first]
        if two:
            ends, restless = self._orders(state, start, first, restless, shorts)
        _, mask, solution, _ = self.moment(state, ends[0])
        different = len({(e.coils, e.blown) for e in ends}) > 1 or bool(restless)
        return Run(tuple(ends), mask, solution, different, restless, tuple(shorts), two)

    def _follow(
        self, state: int, node: Node, backwards: bool, shorts: dict[str, None]
    ) -> tuple[Node, bool, int]:
        """Change one coil after the other, taking turns so that none waits for ever.

        Returns the end, whether two wanted to change at once, and the coils (mask) that go in
        and out without end: then the node is one moment of that cycle.
        """
        two, last = False, -1
        seen: dict[tuple[Node, int], int] = {}
        order: list[Node] = []
        while True:
            node, _, solution, wanting = self.moment(state, node)
            shorts.update(dict.fromkeys(solution.contraction.shorts))
            if not wanting:
                return node, two, 0
            two = two or len(wanting) > 1
            if (node, last) in seen:
                moving = 0
                for one in order[seen[node, last] :]:
                    moving |= one.coils ^ node.coils
                return node, two, moving
            seen[node, last] = len(order)
            order.append(node)
            if backwards:
                last = next((k for k in reversed(wanting) if k < last), wanting[-1])
            else:
                last = next((k for k in wanting if k > last), wanting[0])
            node = Node(node.coils ^ (1 << last), node.memory, node.blown)

    def _orders(
        self, state: int, start: Node, first: Node, restless: int, shorts: dict[str, None]
    ) -> tuple[list[Node], int]:
        """Every end that some order of changes reaches, the given one first; coils without rest."""
        ends: dict[Node, None] = {}
        seen: set[Node] = set()
        queue = [start]
        while queue and len(seen) < EXPLORE:
            node, _, solution, wanting = self.moment(state, queue.pop())
            if node in seen:
                continue
            seen.add(node)
            shorts.update(dict.fromkeys(solution.contraction.shorts))
            if not wanting:
                ends[node] = None
            for k in wanting:
                queue.append(Node(node.coils ^ (1 << k), node.memory, node.blown))
        if queue:
            self.cut_short += 1
            last, _, other = self._follow(state, start, True, shorts)
            rested = [node for node, moving in ((first, restless), (last, other)) if not moving]
            ends |= dict.fromkeys(rested)
            restless |= other
        found = sorted(ends, key=lambda e: (e != first, e.coils, e.memory))
        return found or [first], restless

    # -- fuses in memory ----------------------------------------------------------------------
    def _open_fuses(self, memory: Memory) -> tuple[int, Memory]:
        blown = 0
        for word in memory:
            if word.startswith("blown "):
                names = self.network.closed_names
                blown |= 1 << names.index(word[6:]) if word[6:] in names else 0
        return blown, tuple(word for word in memory if not word.startswith("blown "))

    def memory(self, node: Node) -> Memory:
        """The memory to carry to the next state, with the fuses that are open."""
        if not node.blown:
            return node.memory
        return tuple(sorted((*node.memory, *(f"blown {name}" for name in self.names(node.blown)))))

    def names(self, mask: int) -> tuple[str, ...]:
        """Switch names of a mask."""
        return tuple(name for i, name in enumerate(self.network.closed_names) if mask >> i & 1)

    def turning(self, node: Node, mask: int) -> Turning:
        """What the motors and brakes do. Memoised by switch pattern and coils."""
        key = (mask, node.coils)
        found = self.turned.get(key)
        if found is None:
            found = self.turned[key] = turning(self.network, self.solution(mask, node.coils), node.coils)
        return found


def engine(network: Network, mode: str = "ideal") -> Engine:
    """The engine of a network. mode: "ideal" | "real" (wires, contacts and sources with resistance)."""
    if mode not in ("ideal", "real"):
        raise ValueError(f"mode is ideal or real, not {mode}")
    found = network.memo.get(mode)
    if found is None:
        found = network.memo[mode] = Engine(network, mode == "real")
    return found


def settle(
    network: Network,
    state: State,
    coils: Sequence[str] = (),
    memory: Memory = (),
    faults: tuple[str, ...] = (),
    mode: str = "ideal",
) -> Settled:
    """Settle one state. coils, memory: `energised` and `memory` of the settled state before it
    (empty: everything was dead). Raises KeyError for an unknown input, KeyError for an
    unknown fault."""
    used = network.faulted(faults)
    power = engine(used, mode)
    start = sum(used.coil_bit[name] for name in coils if name in used.coil_bit)
    run = power.run(used.state_bits(state), start, tuple(memory))
    return settled(power, state, run, run.ends[0])


def settled(power: Engine, state: State, run: Run, node: Node) -> Settled:
    """One end of a run as the value that other rooms read."""
    network = power.network
    bits = (network.state_bits(state) | power.stuck) & ~power.deaf
    _, mask, solution, _ = power.moment(bits, node)
    turn = power.turning(node, mask)
    return Settled(
        state=state,
        energised=tuple(coil.name for k, coil in enumerate(network.coils) if node.coils >> k & 1),
        closed=tuple(
            network.closed_names[i]
            for i in range(len(network.switches))
            if mask >> i & 1 and network.switches[i].cause
        ),
        motions=turn.motions,
        torque=turn.torque,
        volts=Lazy(solution.volts),
        amps=Lazy(lambda: standing(power, mask, node, turn).amps()),
        potential=Lazy(solution.potential),
        brakes_open=turn.brakes_open,
        shorts=run.shorts,
        blown=power.names(node.blown),
        may_hold=tuple(sorted({*_holding(power, solution), *_restless(network, run), *turn.may_open})),
        marginal=_marginal(network, node, solution),
        race=run.race,
        memory=power.memory(node),
    )


def standing(power: Engine, mask: int, node: Node, turn: Turning) -> Solution | RealSolution:
    """The solution with every motor that does not turn at its locked-rotor impedance."""
    locked = frozenset(
        part
        for motor in power.network.circuit.motors
        if turn.torque.get(motor.name) in ("stall", "single-phase")
        for part in motor.parts
    )
    return power.solution(mask, node.coils, locked)


def futures(
    network: Network, state: State, coils: Sequence[str] = (), memory: Memory = (), mode: str = "ideal"
) -> Iterator[Settled]:
    """Every settled state that may follow: each end of a race, and each coil that may hold both
    in and out. The first is what `settle` gives."""
    power = engine(network, mode)
    bits = network.state_bits(state)
    start = sum(network.coil_bit[name] for name in coils if name in network.coil_bit)
    seen: set[Node] = set()
    queue = [power.run(bits, start, tuple(memory))]
    while queue:
        run = queue.pop(0)
        for node in run.ends:
            if node in seen:
                continue
            seen.add(node)
            yield settled(power, state, run, node)
            _, _, solution, _ = power.moment((bits | power.stuck) & ~power.deaf, node)
            doubtful = [network.coil_bit[name] for name in _holding(power, solution)]
            for count in range(1, len(doubtful) + 1):
                for chosen in combinations(doubtful, count):
                    queue.append(power.run(bits, node.coils ^ sum(chosen), power.memory(node)))


def _holding(power: Engine, solution: Solution | RealSolution) -> list[str]:
    found = []
    for coil in power.network.coils:
        volts = abs(solution.across[coil.load])
        if coil.forced is None and coil.drop_out * (1 + 1e-9) < volts < coil.pick_up * (1 - 1e-9):
            found.append(coil.name)
    return found


def _restless(network: Network, run: Run) -> list[str]:
    return [coil.name for k, coil in enumerate(network.coils) if run.restless >> k & 1]


def _marginal(network: Network, node: Node, solution: Solution | RealSolution) -> tuple[str, ...]:
    near = []
    for k, coil in enumerate(network.coils):
        volts = abs(solution.across[coil.load])
        limit = coil.drop_out if node.coils >> k & 1 else coil.pick_up
        if volts > 0.0 and abs(volts - limit) <= NEAR * coil.rated:
            near.append(coil.name)
    return tuple(near)
