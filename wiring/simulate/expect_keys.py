"""What has to be held for a key to move something: its first step, and enabling buttons that stay."""

from __future__ import annotations

from collections.abc import Iterator

from wiring.model.behaviour import State
from wiring.simulate.network import Network
from wiring.simulate.settle import settle

NOT_MOTION = ("key:start", "key:stop")
START = "key:start"


def holding(network: Network) -> dict[str, State]:
    """Key to the inputs that are operated while it commands: the fewest with which something moves,
    its own alone where nothing does."""
    found: dict[str, State] | None = network.memo.get("holding")
    if found is None:
        rest = settle(network, frozenset())
        if START in network.input_bit:
            given = settle(network, frozenset((START,)), rest.energised, rest.memory)
            rest = settle(network, frozenset(), given.energised, given.memory)
        found = {}
        for item in network.inputs:
            if item.kind != "key" or item.name in NOT_MOTION:
                continue
            own: State = frozenset((item.name, item.implies)) - {""}
            tried = (own | extra for extra in enabling(network))
            found[item.name] = next(
                (s for s in tried if settle(network, s, rest.energised, rest.memory).motions), own
            )
        network.memo["holding"] = found
    return found


def enabling(network: Network) -> Iterator[State]:
    """Nothing, each button that stays on the hoist, all of them."""
    buttons = [item.name for item in network.inputs if item.kind == "button"]
    yield frozenset()
    yield from (frozenset((name,)) for name in buttons)
    if len(buttons) > 1:
        yield frozenset(buttons)


def named(key: str, held: State) -> str:
    """A key as a person is told to hold it: with what else has to be held."""
    buttons = sorted(name for name in held if name.startswith("button:"))
    return f"{key} with {' and '.join(buttons)}" if buttons else key
