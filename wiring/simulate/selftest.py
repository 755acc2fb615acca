"""The self-test of a hoist type: its expected rows against what its circuit does."""

from __future__ import annotations

from wiring.circuit import build_type
from wiring.model.behaviour import Settled
from wiring.model.entry import Expected, HoistType
from wiring.simulate.events import STANDING
from wiring.simulate.network import Network
from wiring.simulate.settle import settle


def self_test(hoist: HoistType) -> list[str]:
    """Expected rows that do not come out, each in one line; empty where all do.

    Raises ValueError where the type's circuit does not compile.
    """
    network = Network(build_type(hoist))
    return [text for row in hoist.expected for text in [_compare(network, row)] if text]


def expected_state(row: Expected) -> frozenset[str]:
    """The state a row describes: buttons by their bare names, everything else by full name."""
    pressed = (name if ":" in name else f"button:{name}" for name in row.press)
    return frozenset((*pressed, *row.open))


def _compare(network: Network, row: Expected) -> str:
    state = expected_state(row)
    missing = sorted(name for name in state if name not in network.input_bit)
    what = f"{' '.join(sorted(state)) or 'nothing pressed'}{' after START' if row.start else ''}"
    if missing:
        return f"{what}: no such input: {', '.join(missing)}"
    now = settle(network, frozenset())
    if row.start:
        for step in (frozenset(("button:start",)), frozenset[str]()):
            now = settle(network, step, now.energised, now.memory)
    now = settle(network, state, now.energised, now.memory)
    coils = [name for name in now.energised if network.parts[name].kind == "coil"]
    found = tuple(sorted(name.partition(":")[2] for name in coils))
    problem = _result(row, now)
    if not problem and tuple(sorted(row.motions)) != now.motions:
        problem = f"expected {_words(row.motions)}, found {_words(now.motions)}"
    if not problem and row.energised is not None and tuple(sorted(row.energised)) != found:
        problem = f"expected coils {_words(row.energised)}, found {_words(found)}"
    return f"{what}: {problem}" if problem else ""


def _result(row: Expected, now: Settled) -> str:
    if row.result == "short" and not now.shorts:
        return "expected a source short, found none"
    if row.result == "stall" and not any(torque in STANDING for torque in now.torque.values()):
        return "expected a motor that stalls, found none"
    return ""


def _words(names: tuple[str, ...]) -> str:
    return ", ".join(names) if names else "nothing"
