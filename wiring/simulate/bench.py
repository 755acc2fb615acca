"""A circuit to play with: press, let go, cut, dip, break, and take a step back.

Every step settles the circuit from the moment before it, with the same engine that
proves it. The screens show what a step returns.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from wiring.model.behaviour import Settled, State
from wiring.model.circuit import Circuit, Input
from wiring.simulate.faults_effect import effect
from wiring.simulate.network import Network
from wiring.simulate.settle import settle

#: Inputs that a hand holds and lets go.
HELD = frozenset(("button", "key"))
START = ("button:start", "key:start")


@dataclass(frozen=True, slots=True)
class Moment:
    """One step: what was done, what is operated and broken since, and the settled circuit."""

    done: str
    state: State
    faults: tuple[str, ...]
    settled: Settled


class Bench:
    """One circuit, step by step. Begins at rest with everything dead; `arm` gives START.

    `now` is the settled circuit, `state` what is operated, `faults` what is broken, `steps`
    all moments so far. Names that the circuit does not have raise KeyError, faults it cannot
    have raise ValueError; neither changes anything.
    """

    def __init__(self, circuit: Circuit | Network, faults: Iterable[str] = (), mode: str = "ideal") -> None:
        self.network = circuit if isinstance(circuit, Network) else Network(circuit)
        self.mode = mode
        self.inputs: dict[str, Input] = {item.name: item for item in self.network.inputs}
        broken = self._known(tuple(faults))
        first = settle(self.network, frozenset(), faults=broken, mode=mode)
        self.steps: list[Moment] = [Moment("at rest", frozenset(), broken, first)]

    @property
    def now(self) -> Settled:
        """The settled circuit of this moment."""
        return self.steps[-1].settled

    @property
    def state(self) -> State:
        """Inputs operated now."""
        return self.steps[-1].state

    @property
    def faults(self) -> tuple[str, ...]:
        """Faults in the circuit now, in the order they came."""
        return self.steps[-1].faults

    @property
    def starts(self) -> bool:
        """True where the circuit has a START to give."""
        return any(name in self.inputs for name in START)

    # -- hands --------------------------------------------------------------------------------
    def press(self, *names: str) -> Settled:
        """Hold buttons or keys; a second step holds its first too, of an exclusive pair the
        other one comes up."""
        state = set(self.state)
        for name in names:
            item = self._input(name)
            for group in self.network.circuit.exclusive:
                if name in group or item.implies in group:
                    state -= {other for other in group if other not in (name, item.implies)}
            state |= {name, item.implies} - {""}
        return self._go(f"press {', '.join(names)}", frozenset(state))

    def release(self, *names: str) -> Settled:
        """Let go of these, or of everything that a hand holds. A first step takes its second along."""
        gone = set(names) or {n for n in self.state if self.inputs[n].kind in HELD}
        for name in names:
            self._input(name)
        gone |= {item.name for item in self.inputs.values() if item.implies in gone}
        done = f"release {', '.join(names)}" if names else "release everything"
        return self._go(done, self.state - gone)

    def arm(self) -> Settled:
        """Press START and let it go, where the circuit has one; the keys held come up first."""
        start = [name for name in START if name in self.inputs]
        if not start:
            return self.now
        self.release()
        self.press(*start)
        return self.release(*start)

    # -- everything else that is operated ------------------------------------------------------
    def operate(self, name: str) -> Settled:
        """Reach a limit, press a stop, trip a thermal device, move a selector."""
        self._input(name)
        return self._go(f"operate {name}", self.state | {name})

    def reset(self, name: str) -> Settled:
        """Undo `operate` or `cut` of one input."""
        self._input(name)
        return self._go(f"reset {name}", self.state - {name})

    def cut(self, what: str) -> Settled:
        """Cut the `link` or the receiver's `supply`."""
        self._input(what)
        return self._go(f"cut {what}", self.state | {what})

    def dip(self) -> Settled:
        """The mains go and come back with everything as it is: every coil drops out, the receiver too."""
        memory = self.now.memory
        if "supply" in self.inputs:
            off = self.state | {"supply"}
            memory = settle(self.network, off, (), memory, self.faults, self.mode).memory
        back = settle(self.network, self.state, (), memory, self.faults, self.mode)
        self.steps.append(Moment("supply dips", self.state, self.faults, back))
        return back

    # -- faults -------------------------------------------------------------------------------
    def fault(self, *names: str) -> Settled:
        """Break something, now."""
        broken = self._known((*self.faults, *(n for n in names if n not in self.faults)))
        return self._go(f"fault {', '.join(names)}", self.state, broken)

    def repair(self, *names: str) -> Settled:
        """Take faults away again, or all of them."""
        gone = names or self.faults
        left = tuple(name for name in self.faults if name not in gone)
        return self._go(f"repair {', '.join(gone)}", self.state, left)

    def jump(self, state: Iterable[str], faults: Iterable[str] = ()) -> Settled:
        """Start anew: rest, START given, then this state with these faults in it from the start."""
        wanted = frozenset(state)
        for name in wanted:
            self._input(name)
        fresh = Bench(self.network, faults, self.mode)
        fresh.arm()
        self.steps = fresh.steps
        return self._go(f"state {', '.join(sorted(wanted)) or 'rest'}", wanted)

    def undo(self) -> Settled:
        """One step back; at the first moment nothing happens."""
        if len(self.steps) > 1:
            self.steps.pop()
        return self.now

    # -- settling -----------------------------------------------------------------------------
    def _go(self, done: str, state: State, faults: tuple[str, ...] | None = None) -> Settled:
        broken = self.faults if faults is None else faults
        before = self.now
        memory = before.memory if broken == self.faults else self._remembered(before)
        after = settle(self.network, state, before.energised, memory, broken, self.mode)
        self.steps.append(Moment(done, state, broken, after))
        return after

    def _remembered(self, before: Settled) -> tuple[str, ...]:
        """The memory with the outputs that are closed now: a channel that freezes keeps them."""
        closed = set(before.closed)
        held = {
            part.by.removeprefix("output:")
            for part in self.network.circuit.parts
            if part.by.startswith("output:") and (part.name in closed) == (part.form == "NO")
        }
        return tuple(sorted({*before.memory, *(f"on {name}" for name in held)}))

    def _input(self, name: str) -> Input:
        try:
            return self.inputs[name]
        except KeyError:
            raise KeyError(f"no input {name}; there are {', '.join(self.inputs)}") from None

    def _known(self, faults: tuple[str, ...]) -> tuple[str, ...]:
        try:
            effect(self.network.circuit, faults)
        except KeyError as unknown:
            raise ValueError(f"no such fault: {unknown.args[0]}") from unknown
        return faults
