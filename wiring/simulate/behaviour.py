"""Everything the simulation shows about a conversion, in one value."""

from __future__ import annotations

import functools
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import replace
from typing import TYPE_CHECKING

from wiring.model.behaviour import Behaviour, Event, Faults, StopRow
from wiring.model.circuit import Circuit
from wiring.simulate.events import events
from wiring.simulate.network import Network
from wiring.simulate.settle import engine
from wiring.simulate.sneak import sneaks
from wiring.simulate.states import (
    FULL,
    differences,
    every_difference,
    kept_states,
    races,
    space_of,
    truth,
)

if TYPE_CHECKING:
    from wiring.model.behaviour import Settled, Truth

Progress = Callable[[int, int], None]
Analysed = tuple[Faults, tuple[StopRow, ...]]

NOT_SHOWN = (
    "wires nobody traced",
    "mechanical condition",
    "timing inside switching",
    "radio interference",
)


def behaviour(
    before: Circuit | Network,
    after: Circuit | Network,
    faults: str = "none",
    progress: Progress | None = None,
) -> Behaviour:
    """Truth tables, differences, events, races and sneak paths of both circuits; faults if asked.

    faults: "none" | "single" | "double"; progress is called with (done, total) while
    they run. Raises ValueError for another word.
    """
    with in_two_steps(before, after, faults, progress) as (_, whole):
        return whole()


@contextmanager
def in_two_steps(
    before: Circuit | Network,
    after: Circuit | Network,
    faults: str,
    progress: Progress | None = None,
) -> Iterator[tuple[Behaviour, Callable[[], Behaviour]]]:
    """The behaviour without its faults, and how to get the whole of it: see `behaviour`. Single faults
    run in another process meanwhile, where one may be started."""
    if faults not in ("none", "single", "double"):
        raise ValueError(f"faults are none, single or double, not {faults}")
    began = time.perf_counter()
    old, new = _compiled(before), _compiled(after)
    with _analysis(old, new, faults, progress) as analysis:
        sound = _sound(old, new, began)

        @functools.cache
        def whole() -> Behaviour:
            if analysis is None:
                return sound
            found, stops = analysis()
            shown = (*_not_shown(old, new, sound.events, faults), *found.notes)
            took = time.perf_counter() - began
            return replace(sound, faults=found, stops=stops, not_shown=shown, seconds=took)

        yield sound, whole


def _sound(old: Network, new: Network, began: float) -> Behaviour:
    """What both circuits do without a fault."""
    happened = (*events(old), *events(new))
    tables = _tables(old, new)
    return Behaviour(
        before=tables[0],
        after=tables[1],
        differences=differences(old, new),
        events=happened,
        faults=None,
        stops=(),
        races=(*races(old), *races(new)),
        sneaks=sneaks(old, new),
        not_shown=_not_shown(old, new, happened, "none"),
        seconds=time.perf_counter() - began,
        settled_before=tables[2],
        settled_after=tables[3],
    )


@contextmanager
def _analysis(
    old: Network, new: Network, kind: str, progress: Progress | None
) -> Iterator[Callable[[], Analysed] | None]:
    """How to get the faults and the stop matrix, None where none were asked for. Loaded only then."""
    if kind == "none":
        yield None
        return
    from wiring.simulate.fault_run import fault_analysis
    from wiring.simulate.stops import stop_matrix
    from wiring.simulate.underway import beside, worth_it
    from wiring.simulate.workers import REFUSED

    with ExitStack() as stack:
        waited: Callable[[], Faults] | None = None
        if kind == "single" and worth_it(old.circuit, new.circuit):
            with suppress(*REFUSED):
                waited = stack.enter_context(beside(old.circuit, new.circuit, progress))

        def analysed() -> Analysed:
            if waited is None:
                return fault_analysis(old, new, kind, progress)
            found = waited()
            return found, stop_matrix(old, new, found)

        yield analysed


def _compiled(circuit: Circuit | Network) -> Network:
    return circuit if isinstance(circuit, Network) else Network(circuit)


def _tables(old: Network, new: Network) -> tuple[Truth, Truth, tuple[Settled, ...], tuple[Settled, ...]]:
    return truth(old), truth(new), kept_states(old), kept_states(new)


def _not_shown(old: Network, new: Network, happened: tuple[Event, ...], faults: str) -> tuple[str, ...]:
    found = list(NOT_SHOWN)
    found.append(
        {
            "none": "any fault: none was run",
            "single": "more than one fault, except behind a hidden first one",
            "double": "more than two faults",
        }[faults]
    )
    for network in (old, new):
        about = _circuit_word(network)
        held = sorted(output.name for output in network.outputs if output.mode is None and not output.invert)
        if held:
            found.append(f"{about}: mode of {', '.join(held)} is not recorded, simulated as momentary")
    if not every_difference(new):
        space = space_of(new)
        found.append(f"differences outside {len(space.few())} of {space.count()} states")
    if new.circuit.outputs:
        found.append("outputs of the receiver while it boots")
    found += _capped(old) + _capped(new)
    return tuple(found)


def _circuit_word(network: Network) -> str:
    """Which circuit it is, as people are told."""
    about = network.circuit.about
    return {"before": "as found", "after": "as converted"}.get(about, about)


def _capped(network: Network) -> list[str]:
    """What was looked for in a part of the states only, and how many that were."""
    about, space = _circuit_word(network), space_of(network)
    count = space.count()
    if count > FULL:
        found = [
            f"{about}: events ran from {len(space.few(total=2))} of {count} states",
            f"{about}: races and sneak paths were looked for in {len(space.few())} of {count} states",
        ]
    else:
        left = count - len(space.few())
        what = "only release, losses and stops were played, no other event"
        found = [f"{about}: from {left} of {count} states {what}"] if left else []
    short = engine(network).cut_short
    if short:
        found.append(f"{about}: in {short} settlings not every order of coil changes was tried")
    return found
