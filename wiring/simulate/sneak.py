"""Voltages where none should be, and points newly joined or parted."""

from __future__ import annotations

from collections.abc import Sequence

from wiring.model.behaviour import Sneak
from wiring.simulate.impedance import number
from wiring.simulate.network import Network
from wiring.simulate.states import FULL, At, Space, counterparts, space_of, translate

#: Below this part of rated a voltage is not worth a line: rounding and leakage.
LEAST = 0.02


def sneaks(before: Network, after: Network) -> tuple[Sneak, ...]:
    """Partial voltages of both circuits, and points that the conversion joins or parts."""
    return (*partial(before), *partial(after), *joined(before, after), *parted(before, after))


def partial(network: Network) -> tuple[Sneak, ...]:
    """Coils and inputs with some voltage, but less than they need: the worst state of each."""
    space = space_of(network)
    worst: dict[str, tuple[float, int, float]] = {}
    for vector in _states(space):
        at = space.at(vector)
        _, _, solution, _ = space.power.moment(space.seen(vector), at.node)
        for coil in network.coils:
            volts = abs(solution.across[coil.load])
            share = volts / coil.rated if coil.rated else 0.0
            if share > LEAST and volts < coil.pick_up * (1 - 1e-9):
                old = worst.get(coil.name)
                if old is None or share > old[0] * (1 + 1e-9):
                    worst[coil.name] = (share, vector, volts)
    return tuple(
        Sneak(
            network.circuit.about, "partial-voltage", name, network.state_names(vector), volts, share,
            _path(network, space, vector, name),
        )
        for name, (share, vector, volts) in sorted(worst.items())
    )  # fmt: skip


def _states(space: Space) -> list[int]:
    return space.vectors() if space.count() <= FULL else space.few()


def _path(network: Network, space: Space, vector: int, name: str) -> tuple[str, ...]:
    """The loads that carry the same current as the coil, and the contacts of that state between them."""
    at = space.at(vector)
    _, mask, solution, _ = space.power.moment(space.seen(vector), at.node)
    amps = solution.amps()
    mine = abs(amps.get(name, 0j))
    chain = [
        load.name
        for load in network.loads
        if load.name != name and mine and abs(abs(amps.get(load.name, 0j)) - mine) < 0.02 * mine
    ]
    ends = {load.a for load in network.loads if load.name in (name, *chain)}
    ends |= {load.b for load in network.loads if load.name in (name, *chain)}
    closed = [
        switch.part.name
        for i, switch in enumerate(network.switches)
        if mask >> i & 1 and switch.a in ends and switch.b in ends
    ]
    return (name, *chain, *closed)


def joined(before: Network, after: Network) -> tuple[Sneak, ...]:
    """Points of the hoist and its cores that the pendant kept apart and wires now join for good.

    volts: the greatest voltage that a load has in some state and did not have with the
    pendant in the same state; path: that load.
    """
    groups: dict[int, list[str]] = {}
    for name in _shared(before, after):
        groups.setdefault(after.node(name), []).append(name)
    found: list[tuple[str, str]] = []
    for names in groups.values():
        sides: dict[int, str] = {}
        for name in names:
            sides.setdefault(before.node(name), name)
        first, *others = sides.values()
        found += [(first, other) for other in others if not _always(before, first, other)]
    if not found:
        return ()
    state, volts, share, load = gained(before, after)
    return tuple(
        Sneak("after", "joined", f"{one} + {two}", state, volts, share, (one, two, *load))
        for one, two in found
    )


def _shared(before: Network, after: Network) -> list[str]:
    """Point names of both circuits: terminals, and the hoist-side ends of the cores."""
    names = [name for name in before.point_names if name in after.point_id]
    names += [n for n in before.circuit.aliases if n in after.circuit.aliases or n in after.point_id]
    return names


def _always(network: Network, a: str, b: str) -> bool:
    """True where the two points are joined in every settled state."""
    space = space_of(network)
    one, two = network.node(a), network.node(b)
    for vector in _states(space):
        _, _, solution, _ = space.power.moment(space.seen(vector), space.at(vector).node)
        cut = solution.contraction
        if cut.group[one] != cut.group[two] or cut.offset[0][one] != cut.offset[0][two]:
            return False
    return True


def gained(before: Network, after: Network) -> tuple[frozenset[str], float, float, tuple[str, ...]]:
    """The load that gains most against the pendant over all comparable states: state, volts,
    part of its rated voltage, (load,)."""
    old, new = space_of(before), space_of(after)
    table = counterparts(before, after)
    best: tuple[frozenset[str], float, float, tuple[str, ...]] = (frozenset(), 0.0, 0.0, ())
    loads = [load.name for load in after.loads if load.name in before.load_index]
    for vector in _states(new):
        same = translate(vector, table)
        if same is None or not old.feasible(same):
            continue
        was, now = _across(old, old.at(same)), _across(new, new.at(vector))
        for name in loads:
            volts = abs(now[after.load_index[name]])
            gain = volts - abs(was[before.load_index[name]])
            rated = number(after.loads[after.load_index[name]].part, "voltage") or after.nominal
            if gain > LEAST * rated and volts / rated > best[2]:
                best = (after.state_names(vector), volts, volts / rated, (name,))
    return best


def _across(space: Space, at: At) -> Sequence[complex]:
    return space.power.moment(space.seen(at.state), at.node)[2].across


def parted(before: Network, after: Network) -> tuple[Sneak, ...]:
    """Core ends that the pendant's hoist joined by wires and nothing joins in any state after."""
    cores = sorted(n for n in before.circuit.aliases if n in after.circuit.aliases or n in after.point_id)
    found = []
    for i, one in enumerate(cores):
        for two in cores[:i]:
            if before.static(one, two) and not _ever(after, one, two):
                found.append(Sneak("after", "parted", f"{two} + {one}", frozenset(), 0.0, 0.0, (two, one)))
    return tuple(found)


def _ever(network: Network, a: str, b: str) -> bool:
    space = space_of(network)
    one, two = network.node(a), network.node(b)
    for vector in _states(space):
        _, _, solution, _ = space.power.moment(space.seen(vector), space.at(vector).node)
        cut = solution.contraction
        if cut.group[one] == cut.group[two] and cut.offset[0][one] == cut.offset[0][two]:
            return True
    return False
