"""Whether another order of a cable's conductors would do: every pair of them shorted, then laid out.

A short between two conductors that lie side by side is a fault of the plan; which ones do is a
choice. Asked only where an order has failed, because every pair is simulated.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations
from typing import TYPE_CHECKING

from wiring.check.case import Case

if TYPE_CHECKING:
    from wiring.model.circuit import Circuit
    from wiring.simulate.score import Pendant

#: Layouts tried before the search gives up.
_TRIES = 20_000


def better_order(case: Case, cable: str) -> tuple[str, ...]:
    """Conductors of a cable in an order in which no two neighbours do harm when they touch, as near to
    the given one as the search finds; empty where there is none."""
    key = ("better order", cable)
    if key not in case.facts.cache:
        names = case.after.conductor_order.get(cable, ())
        harmful = set(_harmful(case, names)) if len(names) > 2 else {frozenset(names)}
        case.facts.cache[key] = laid_out(names, harmful)
    found: tuple[str, ...] = case.facts.cache[key]
    return found


def laid_out(names: Sequence[str], harmful: set[frozenset[str]]) -> tuple[str, ...]:
    """The names in an order in which no harmful pair is adjacent, the given order tried first;
    empty where none was found.

    >>> laid_out(("1", "2", "3"), {frozenset(("1", "2"))}), laid_out(("1", "2"), {frozenset(("1", "2"))})
    (('1', '3', '2'), ())
    """
    tries = 0

    def place(done: tuple[str, ...], rest: tuple[str, ...]) -> tuple[str, ...]:
        nonlocal tries
        tries += 1
        if not rest or tries > _TRIES:
            return done if not rest else ()
        for name in rest:
            if not done or frozenset((done[-1], name)) not in harmful:
                whole = place((*done, name), tuple(n for n in rest if n != name))
                if whole:
                    return whole
        return ()

    return place((), tuple(names))


def _harmful(case: Case, names: Sequence[str]) -> Iterator[frozenset[str]]:
    """Pairs whose short is worse than with the pendant, or has no stop of the rank it needs."""
    from wiring.simulate.fault_run import Inspector, compiled, result
    from wiring.simulate.faults import CONDUCTOR, FaultSet

    known = {p.name for p in case.after.parts}
    pairs = list(combinations([n for n in names if n in known], 2))
    sets = tuple(FaultSet((f"short {a} {b}",), CONDUCTOR) for a, b in pairs)
    reference = _reference(case.before)
    found = Inspector(compiled(case.after), sets).run()
    for (a, b), (fault, seen) in zip(pairs, found, strict=True):
        judged = result(case.after, fault, seen, reference)
        if judged.judgement == "worse" or judged.below_floor:
            yield frozenset((a, b))


def _reference(before: Circuit) -> Pendant:
    """What faults of the circuit as found lead to, remembered for the last circuits asked about."""
    from wiring.simulate.fault_run import Inspector, compiled
    from wiring.simulate.faults import single_list
    from wiring.simulate.score import pendant

    key = id(before)
    if key not in _known or _known[key][0] is not before:
        if len(_known) > 4:
            _known.clear()
        found = list(Inspector(compiled(before), single_list(before)).run())
        _known[key] = (before, pendant(found))
    return _known[key][1]


_known: dict[int, tuple[Circuit, Pendant]] = {}
