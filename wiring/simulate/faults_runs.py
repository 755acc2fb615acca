"""The runs every fault is put through, all faults and all base states side by side.

Base states: at most one limit or thermal device open, and every state of the keys of a small hoist,
at most two held of a large one.
From the circuit at rest and armed: the fault comes at rest and the keys are
pressed (`pressed`), or it comes while they are held (`held`); then everything is
let go (`released`, `let go`), the supply comes back with the keys held (`cold`),
limits, stops, link and receiver supply are tried one by one.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from wiring.model.behaviour import State
from wiring.simulate import lanes_apart
from wiring.simulate.lanes_batch import Batch
from wiring.simulate.lanes_board import Board, Setting
from wiring.simulate.lanes_power import Moves, either, moves
from wiring.simulate.lanes_settle import Lanes, Settler, cold
from wiring.simulate.network import Network
from wiring.simulate.states import space_of

#: Inputs that base states hold operated: what is pressed, and what the load runs into.
HELD = frozenset(("button", "key", "selector"))
MET = frozenset(("limit", "thermal"))
START = ("button:start", "key:start")
#: Up to this many base states all are tried, above it a choice.
ALL = 64
#: Moments of a fault that the sound circuit knows under another name.
SOUND = {"held": "pressed", "let_go": "released"}


@dataclass(frozen=True, slots=True)
class Shot:
    """One settled moment of a batch and what moves in it."""

    lanes: Lanes
    moves: Moves


def base_states(network: Network, keys: int = 2) -> tuple[State, ...]:
    """The base states of the faults, rest first. At most one limit or thermal device is open; of the
    keys every state is tried where those are at most `ALL`, else at most `keys` are held."""
    names = {item.name for item in network.inputs if item.kind in HELD | MET and item.name != "key:stop"}
    held = len(names) if every_state(network) else keys
    return tuple(network.state_names(v) for v in space_of(network).few(held, 1, held + 1, names))


def every_state(network: Network) -> bool:
    """True where keys, with one limit or thermal device besides, have so few states that all are tried."""
    keys = [i for i in network.inputs if i.kind in HELD and i.name != "key:stop"]
    seconds = sum(1 for item in keys if item.implies)
    met = sum(1 for item in network.inputs if item.kind in MET)
    return 2.0 ** (len(keys) - 2 * seconds) * 3.0**seconds * (1 + met) <= ALL


class Plane:
    """Base states as lanes: for each input the states that operate it."""

    def __init__(self, network: Network, states: tuple[State, ...]) -> None:
        self.network, self.states = network, states
        self.width = (len(states) + 7) // 8 * 8
        self.all = (1 << len(states)) - 1
        self.kinds = {item.name: item.kind for item in network.inputs}
        self.base = {
            name: sum(1 << i for i, state in enumerate(states) if name in state) for name in self.kinds
        }

    def let_go(self) -> list[str]:
        """Inputs that end when everything is let go."""
        return [name for name, kind in self.kinds.items() if kind in ("button", "key")]


class Runner:
    """One batch of faults with the runs it has been through, each done once."""

    def __init__(self, board: Board, settings: list[Setting], plane: Plane, nominal: Runner | None) -> None:
        self.batch = Batch(board, settings, plane.width)
        self.settler = Settler(self.batch)
        self.plane, self.nominal = plane, nominal
        self.state = {name: self.batch.spread(lanes) for name, lanes in plane.base.items()}
        self.shots: dict[str, Shot] = {}
        self.operated: dict[str, dict[str, int]] = {}
        self.races: dict[str, int] = {}  # moment to the lanes in which the order decides
        self.last: tuple[dict[str, int], Lanes] = ({}, cold(self.batch))
        self.settlings = 0

    # -- moments ------------------------------------------------------------------------------
    def shot(self, name: str) -> Shot:
        """A moment by name: `held`, `pressed`, `held+stop:S0`, ... Settled when first asked for."""
        found = self.shots.get(name)
        if found is None:
            found = self.shots[name] = self._shoot(name)
        return found

    def _shoot(self, name: str) -> Shot:
        lanes = self._lanes(name)
        shown = moves(self.settler, lanes)
        doubtful = lanes.met & self._fresh(name)
        if doubtful:
            shown = self._either(name, lanes, shown, doubtful)
        return Shot(lanes, shown)

    def _fresh(self, name: str) -> int:
        """Lanes whose order of coil changes is asked for: not those that race in the sound circuit."""
        if self.nominal is None:
            return self.batch.full
        return self.batch.full ^ self.batch.spread(self.nominal.shot(_sound(name)).lanes.met)

    def _either(self, name: str, lanes: Lanes, shown: Moves, doubtful: int) -> Moves:
        """What moves in one order of coil changes or in the other; the next moment starts from the first."""
        operated, start = self.last
        numbers = [n for n in range(len(self.batch.settings)) if self.batch.cut(doubtful, n)]
        other = lanes_apart.again(self.settler, operated, start, lanes, numbers)
        differ = 0
        for one, two in zip(lanes.coils, other.coils, strict=True):
            differ |= one ^ two
        differ &= doubtful
        self.races[name] = differ
        return either(shown, moves(self.settler, other), differ) if differ else shown

    def _lanes(self, name: str) -> Lanes:
        """Settle a moment. `X+stop:S0`: the stop is operated in moment X; `X off`: after X nothing
        is operated any more."""
        if name.endswith(" off"):
            before = name.removesuffix(" off")
            self.shot(before)
            self.operated[name] = {}
        elif "+" in name:
            before, _, extra = name.rpartition("+")
            self.shot(before)
            self.operated[name] = {**self.operated[before], extra: self.batch.full}
        else:
            self.operated[name] = self._plain(name)
            return getattr(self, f"_{name}")()  # type: ignore[no-any-return]
        return self._run(self.operated[name], self.shots[before].lanes)

    def _plain(self, name: str) -> dict[str, int]:
        if name == "rest":
            return {}
        return self._without_keys() if name in ("released", "let_go") else self.state

    def _without_keys(self) -> dict[str, int]:
        keys = set(self.plane.let_go())
        return {name: lanes for name, lanes in self.state.items() if name not in keys}

    def _run(self, operated: dict[str, int], start: Lanes) -> Lanes:
        self.settlings += self.batch.lanes
        self.last = operated, start
        return lanes_apart.settle(self.settler, operated, start)

    # -- the runs -----------------------------------------------------------------------------
    def _rest(self) -> Lanes:
        """At rest and armed; the fault has just come."""
        if self.nominal is not None:
            return self._run({}, self._from(self.nominal.shot("rest").lanes))
        now = self._run({}, cold(self.batch))
        start = [name for name in START if name in self.plane.kinds]
        if not start:
            return now
        return self._run({}, self._run(dict.fromkeys(start, self.batch.full), now))

    def _pressed(self) -> Lanes:
        return self._run(self.state, self.shot("rest").lanes)

    def _held(self) -> Lanes:
        if self.nominal is None:
            return self.shot("pressed").lanes
        return self._run(self.state, self._from(self.nominal.shot("pressed").lanes))

    def _let_go(self) -> Lanes:
        """Everything let go; the fault was there before the keys were pressed."""
        return self._run(self._without_keys(), self.shot("pressed").lanes)

    def _released(self) -> Lanes:
        """Everything let go; the fault came while the keys were held."""
        return self._run(self._without_keys(), self.shot("held").lanes)

    def _cold(self) -> Lanes:
        """The supply comes back with the keys held."""
        return self._run(self.state, cold(self.batch))

    def _from(self, lanes: Lanes) -> Lanes:
        """A moment of the sound circuit, in every fault set of this batch."""
        spread = self.batch.spread
        return replace(
            lanes,
            coils=tuple(spread(c) for c in lanes.coils),
            cond=(),
            outputs={name: spread(n) for name, n in lanes.outputs.items()},
            words={name: spread(n) for name, n in lanes.words.items()},
            blown={i: spread(n) for i, n in lanes.blown.items() if n},
            shorts=0,
            tripped=spread(lanes.tripped),
            met=0,
        )


def _sound(name: str) -> str:
    """The moment of the sound circuit that corresponds to one under a fault."""
    root = name.partition("+")[0].removesuffix(" off")
    return SOUND.get(root, root) + name[len(root) :]
