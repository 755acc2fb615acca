"""Voltages of one switch pattern: by topology where that is enough, by a small linear solve where not.

The groups of `contract` are the unknowns. An *island* is what loads join, up to
the group at earth. Islands are solved one by one and only when somebody asks
for a voltage in them, so a coil's decision never solves a motor. Inside an
island a group that hangs on one other potential takes it, without current;
what is left is solved as complex phasors, with the frequency as a parameter
(0 for DC).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from types import MappingProxyType

from wiring.simulate.contract import Contraction, contract
from wiring.simulate.islands import Islands
from wiring.simulate.network import Network


class Across(Sequence[complex]):
    """Phasor over each load, by load index [V], computed when first asked for."""

    __slots__ = ("found", "islands", "size")

    def __init__(self, islands: tuple[Islands, ...], size: int) -> None:
        self.islands = islands
        self.size = size
        self.found: dict[int, complex] = {}

    def __len__(self) -> int:
        return self.size

    def __getitem__(self, index: int) -> complex:  # type: ignore[override]
        value = self.found.get(index)
        if value is None:
            if index >= self.size:
                raise IndexError(index)
            islands = self.islands
            if len(islands) == 1:
                value = islands[0].across(index)
            else:
                value = combined([one.across(index) for one in islands])
            self.found[index] = value
        return value

    def __iter__(self) -> Iterator[complex]:
        return (self[i] for i in range(self.size))


class Solution:
    """Voltages of one (switch pattern, coil state). across: phasor over each load, by load index
    [V]; contraction: the groups of the pattern."""

    __slots__ = ("_amps", "_potential", "_volts", "across", "contraction", "islands", "network")

    def __init__(self, network: Network, contraction: Contraction, islands: tuple[Islands, ...]) -> None:
        self.network = network
        self.contraction = contraction
        self.islands = islands
        self.across = Across(islands, len(network.loads))
        self._volts: Mapping[str, complex] | None = None
        self._amps: Mapping[str, complex] | None = None
        self._potential: Mapping[str, complex] | None = None

    @property
    def analog(self) -> bool:
        """True where something had to be solved: not every load has all or nothing."""
        list(self.across)
        return any(one.solved for one in self.islands)

    def volts(self) -> Mapping[str, complex]:
        """Part name to phasor across it [V]; a three-phase load also under `name.U`, `.V`, `.W`."""
        if self._volts is None:
            self._volts = named(self.network, self.across)
        return self._volts

    def amps(self) -> Mapping[str, complex]:
        """Part name to phasor through it [A]; a three-phase load: its largest phase."""
        if self._amps is None:
            loads, y = self.network.loads, self.islands[0].y
            through = [v * y[i] for i, v in enumerate(self.across)]
            found = {load.name: through[i] for i, load in enumerate(loads)}
            for load, current in zip(loads, through, strict=True):
                if load.part.kind == "motor3":
                    found[load.part.name] = max(found.get(load.part.name, 0j), current, key=abs)
            self._amps = MappingProxyType(found)
        return self._amps

    def potential(self) -> Mapping[str, complex]:
        """Point to phasor against earth [V]; points that nothing ties to earth are absent."""
        if self._potential is None:
            network, found = self.network, {}
            by_node: dict[int, complex | None] = {}
            for name, i in network.point_id.items():
                node = network.node_of[i]
                if node not in by_node:
                    parts = [one.potential(node) for one in self.islands]
                    by_node[node] = None if None in parts else combined([p for p in parts if p is not None])
                volts = by_node[node]
                if volts is not None:
                    found[name] = volts
            self._potential = MappingProxyType(found)
        return self._potential


class Lazy(Mapping[str, complex]):
    """A mapping that is computed when somebody looks into it."""

    __slots__ = ("_found", "_make")

    def __init__(self, make: object) -> None:
        self._make = make
        self._found: Mapping[str, complex] | None = None

    def _get(self) -> Mapping[str, complex]:
        if self._found is None:
            self._found = self._make()  # type: ignore[operator]
            self._make = None
        return self._found

    def __getitem__(self, name: str) -> complex:
        return self._get()[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._get())

    def __len__(self) -> int:
        return len(self._get())

    def __reduce__(self) -> tuple[type[dict[str, complex]], tuple[dict[str, complex]]]:
        return dict, (dict(self._get()),)


def named(network: Network, across: Sequence[complex]) -> Mapping[str, complex]:
    """Load voltages by part name; a three-phase part carries its largest line voltage."""
    found = {load.name: across[i] for i, load in enumerate(network.loads)}
    for load in network.loads:
        if load.part.kind == "motor3" and load.part.name not in found:
            u, v, w = (found[f"{load.part.name}.{p}"] for p in "UVW")
            found[load.part.name] = max(u - v, v - w, w - u, key=abs)
    return MappingProxyType(found)


def combined(parts: list[complex]) -> complex:
    """One phasor of the voltages at several frequencies: itself when alone, else the rms sum."""
    if len(parts) == 1:
        return parts[0]
    live = [p for p in parts if abs(p) > 1e-6]  # less than a microvolt is rounding
    if len(live) < 2:
        return live[0] if live else 0j
    return complex(sum(abs(p) ** 2 for p in live) ** 0.5)


def admittances(
    network: Network, mask: int, coils: int, locked: frozenset[str]
) -> tuple[tuple[complex, ...], ...]:
    """Admittance of every load, per frequency: sealed where its coil is in, locked where named."""
    open_leaks = mask & network.leaking
    key = ("y", open_leaks, coils, locked)
    found = network.solutions.get(key)
    if found is None:
        found = network.solutions[key] = tuple(
            tuple(_row(network, mask, coils, locked, f)) for f in range(len(network.hertz))
        )
    return found


def _row(network: Network, mask: int, coils: int, locked: frozenset[str], f: int) -> Iterator[complex]:
    for load in network.loads:
        if load.switch >= 0 and mask >> load.switch & 1:
            yield 0j
        elif locked and load.part.name in locked:
            yield load.locked[f]
        elif load.coil >= 0 and coils >> load.coil & 1:
            yield load.sealed[f]
        else:
            yield load.out[f]


def solve(network: Network, mask: int, coils: int, locked: frozenset[str] = frozenset()) -> Solution:
    """The ideal-wire solution for the switches closed in `mask` and the coils in `coils`. Memoised."""
    key = (mask, coils, locked)
    found: Solution | None = network.solutions.get(key)
    if found is None:
        cut = contract(network, mask)
        y = admittances(network, mask & ~cut.blown, coils, locked)
        islands = tuple(Islands(network, cut, f, y[f]) for f in range(len(network.hertz)))
        found = network.solutions[key] = Solution(network, cut, islands)
    return found
