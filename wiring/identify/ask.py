"""Which reading next, and why it is asked for: identify, then confirm.

States are opened one after the other. While nothing contradicts, a state is left
as soon as its readings single out one picture. Once something contradicts, a
state is first made sure of: a wrong reading that is carried along would multiply
the answers of every later state.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from math import perm

from wiring.identify.choose import WEAK_BITS, WEAK_PAIR_BITS, Choice, best_choice, matters
from wiring.identify.confirm import confirming, needed_gap, standing
from wiring.identify.desk import NOTHING, Standing
from wiring.identify.opening import opened, ready
from wiring.identify.probe import REST, Probe
from wiring.identify.rebuild import complete
from wiring.identify.space import CROWD, Space, needed
from wiring.model.behaviour import State

#: How far rivals are held off before a further state is opened, once something contradicts.
SURE = 2


@dataclass(frozen=True, slots=True)
class Next:
    """The next dead reading. purpose: identify | confirm | ""; space: with the states opened that
    were needed to see it; standing: of that space; done: every rival is held off."""

    choice: Choice | None
    purpose: str
    space: Space
    standing: Standing
    done: bool


def next_reading(space: Space, listed: list[State], ties: bool, skipped: frozenset[Probe]) -> Next:
    """The reading to ask for next."""
    weak = WEAK_BITS if ties else WEAK_PAIR_BITS
    seen = {state for side, state in space.views if side == "handset"}
    while True:
        able = [state for state in listed if state in seen or not matters(space, state)]
        waiting = [state for state in listed if state not in able]
        if not waiting:
            if not ready(space):
                return Next(None, "", space, NOTHING, False)
            return _last(opened(space, "hoist", REST), listed, ties, skipped)
        choice = best_choice(space, able, ties, skipped, False)
        if choice is not None and choice.bits >= weak:
            return Next(choice, "identify", space, NOTHING, False)
        if space.best > 0:
            space = complete(space, SURE - 1)
            now = standing(space, SURE)
            sure = confirming(space, now, able, ties, skipped) if len(now.rivals) else None
            if sure is not None:
                return Next(sure, "confirm", space, now, False)
        state = waiting[0] if ties else max(waiting, key=lambda state: closures(space, state))
        space = opened(space, "handset", state)
        seen.add(state)


def closures(space: Space, state: State) -> float:
    """How many pairs of cores a state of the handset joins, on the average of what is left: by pairs
    the first closure takes longest to find. States that would leave too much to carry come last."""
    found = size = 0.0
    for block in space.blocks:
        sheet = block.model.sheet("handset", state)
        together = Counter(sheet.moving[role] for role in block.model.roles)
        pairs = sum(n * (n - 1) / 2 for n in together.values())
        found += block.weight * len(block.rows) * pairs
        more = len(set(needed(block.model, sheet)) - set(block.placed))
        size += len(block.rows) * perm(len(space.cores) - len(block.placed), more)
    return found if size <= CROWD else found - size


def _last(space: Space, listed: list[State], ties: bool, skipped: frozenset[Probe]) -> Next:
    """Every state is open: what still tells, then what confirms."""
    choice = best_choice(space, listed, ties, skipped, True)
    if choice is not None:
        return Next(choice, "identify", space, NOTHING, False)
    need = needed_gap(space)
    space = complete(space, need - 1)
    now = standing(space, need)
    if not space.taken or not now.answers:
        return Next(None, "", space, now, False)
    sure = confirming(space, now, listed, ties, skipped) if len(now.rivals) else None
    return Next(sure, "confirm" if sure else "", space, now, not len(now.rivals) and space.whole(need - 1))
