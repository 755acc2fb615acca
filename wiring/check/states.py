"""Settled states as rules look at them: by state, in words, pendant and receiver side by side."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from wiring.check.case import Case
from wiring.model.behaviour import Settled, State
from wiring.model.circuit import Circuit

OPPOSITE = {
    "up": "down", "down": "up", "left": "right", "right": "left",
    "forward": "back", "back": "forward", "in": "out", "out": "in",
}  # fmt: skip


def settled_at(case: Case, about: str, state: Iterable[str]) -> Settled:
    """The circuit at rest in one state; simulated where the behaviour did not keep it."""
    wanted = frozenset(state)
    cache = case.facts.cache
    table: dict[State, Settled] | None = cache.get(about)
    if table is None:
        table = cache[about] = {s.state: s for s in case.settled(about)}
    found = table.get(wanted)
    if found is None:
        found = table[wanted] = _simulated(case, about, wanted)
    return found


def _simulated(case: Case, about: str, state: State) -> Settled:
    """One state settled from the circuit at rest."""
    settler: Settler | None = case.facts.cache.get(f"settler {about}")
    if settler is None:
        settler = case.facts.cache[f"settler {about}"] = Settler(case.circuit(about))
    return settler.at(state)


class Settler:
    """Settles states of one circuit from rest, START given first where the circuit asks for it."""

    def __init__(self, circuit: Circuit) -> None:
        from wiring.simulate import Network, settle

        self._network, self._settle = Network(circuit), settle
        self._rest = settle(self._network, frozenset())
        self._armed = self._rest
        self._start = next((i.name for i in circuit.inputs if i.name in ("key:start", "button:start")), "")
        if self._start:
            for step in (frozenset((self._start,)), frozenset[str]()):
                self._armed = settle(self._network, step, self._armed.energised, self._armed.memory)

    def at(self, state: State) -> Settled:
        """The circuit settled in a state."""
        start = self._rest if self._start and self._start in state else self._armed
        return self._settle(self._network, state, start.energised, start.memory)


def to_earth(case: Case, about: str, state: Iterable[str]) -> Mapping[str, complex]:
    """Potential of every point that has one, against the protective earth. [V]"""
    wanted = frozenset(state)
    key = ("to earth", about, wanted)
    found: Mapping[str, complex] | None = case.facts.cache.get(key)
    if found is None:
        potential = settled_at(case, about, wanted).potential
        earth = potential.get(case.circuit(about).earth, 0j)
        found = case.facts.cache[key] = {name: volts - earth for name, volts in potential.items()}
    return found


def with_implied(circuit: Circuit, name: str) -> frozenset[str]:
    """An input with the first step that it cannot be pressed without."""
    for item in circuit.inputs:
        if item.name == name and item.implies:
            return frozenset((name, item.implies))
    return frozenset((name,))


def command(case: Case, about: str, bare: str) -> frozenset[str]:
    """The state of one command held: `up` is button:up before and key:up after."""
    kind = "button" if about == "before" else "key"
    return with_implied(case.circuit(about), f"{kind}:{bare}")


def commands(circuit: Circuit) -> Mapping[str, tuple[str, ...]]:
    """Bare command to the motions it is there for: `up.2` -> ("hoist up fast",)."""
    return {name.partition(":")[2]: motions for name, motions in circuit.expected.items() if motions}


def opposing(circuit: Circuit) -> Iterator[tuple[str, str]]:
    """Pairs of first-step commands that ask for opposite motions."""
    names = commands(circuit)
    for one in names:
        other = OPPOSITE.get(one, "")
        if other in names and one < other:
            yield one, other


def opposed(circuit: Circuit) -> list[tuple[str, tuple[str, str]]]:
    """Each opposing pair of commands with both keys as its subject."""
    return [(f"key:{one} + key:{other}", (one, other)) for one, other in opposing(circuit)]


def base(motion: str) -> str:
    """A motion without its speed: `hoist up fast` is a `hoist up`."""
    words = [w for w in motion.split(" ") if w not in ("slow", "fast")]
    return " ".join(words)


def words(state: Iterable[str]) -> str:
    """A state in words: `up key held, up limit open`."""
    return ", ".join(_word(name) for name in sorted(state, key=_rank)) or "nothing pressed"


def _rank(name: str) -> tuple[int, str]:
    order = ("button", "key", "limit", "stop", "thermal", "selector", "link", "supply")
    kind = name.partition(":")[0]
    return (order.index(kind) if kind in order else len(order), name)


def _word(name: str) -> str:
    kind, _, bare = name.partition(":")
    text = {
        "button": f"{bare} button held", "key": f"{bare} key held", "limit": f"{bare} limit open",
        "stop": f"stop {bare} pressed", "thermal": f"thermal {bare} tripped", "link": "link lost",
        "supply": "receiver supply off", "selector": f"selector at {bare}",
    }  # fmt: skip
    return text.get(kind, name)


def moving(motions: Iterable[str]) -> str:
    """Motions in words."""
    return " and ".join(motions) or "nothing moves"
