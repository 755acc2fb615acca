"""Up or down: told dead only by a limit that is opened by hand.

The label of a button says which core it feeds, not which way the hook goes. With
the upper limit held open, the core whose coil or winding it feeds goes from ohms
to OL: that core is up.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from wiring.identify.choose import expected_of
from wiring.identify.confirm import standing
from wiring.identify.meter import FRAME
from wiring.identify.panel import Voice
from wiring.identify.probe import Probe, Taken
from wiring.identify.space import Space

if TYPE_CHECKING:
    from wiring.identify.session import Session

LIMITS = ("limit:up", "limit:down")


def probe(session: Session) -> Probe | None:
    """A reading that tells up from down, where the type has such a limit and nothing told it yet."""
    voices = standing(session.space, 1).answers
    if len(voices) != 1 or any(t.probe.state & set(LIMITS) for t in session.asides):
        return None
    voice = voices[0]
    for limit in LIMITS:
        found = _telling(session.space, voice, limit)
        if found is not None and found not in session.skipped:
            return found
    return None


def _telling(space: Space, voice: Voice, limit: str) -> Probe | None:
    """A reading of the hoist side that is a number at rest and OL with the limit open, whose twin
    on the opposite core stays a number."""
    if limit not in voice.block.model.limits:
        return None
    at = voice.at(space)
    role = limit.partition(":")[2]
    if role not in at:
        return None
    others = [FRAME, *(core for name, core in at.items() if name not in (role, "up", "down"))]
    opposite = {"up": "down", "down": "up"}.get(role, "")
    if opposite in at:
        others.append(at[opposite])
    for other in others:
        plain = Probe(frozenset([at[role]]), frozenset([other]), "hoist")
        lifted = Probe(plain.a, plain.b, "hoist", frozenset([limit]))
        rest, opened = expected_of(voice, space, plain), expected_of(voice, space, lifted)
        if rest.open or not opened.open or opened.high >= opened.low:
            continue
        if opposite in at and other != at[opposite]:
            twin = Probe(frozenset([at[opposite]]), plain.b, "hoist", lifted.state)
            if expected_of(voice, space, twin).open:
                continue
            return lifted
    return None


def shown(space: Space, asides: tuple[Taken, ...]) -> frozenset[str]:
    """Directions that a reading with an opened limit has told: the names of their roles."""
    voices = standing(space, 1).answers
    if len(voices) != 1:
        return frozenset()
    found = set()
    for taken in asides:
        expect = expected_of(voices[0], space, taken.probe)
        plain = Probe(taken.probe.a, taken.probe.b, taken.probe.side)
        if expect.accepts(taken.answer) and not expected_of(voices[0], space, plain).accepts(taken.answer):
            found |= {limit.partition(":")[2] for limit in taken.probe.state if limit in LIMITS}
    return frozenset(found)


def crossed(space: Space, asides: tuple[Taken, ...]) -> bool:
    """True where an opened limit acted on the core of the opposite button."""
    voices = standing(space, 1).answers
    return len(voices) == 1 and any(
        not expected_of(voices[0], space, taken.probe).accepts(taken.answer) for taken in asides
    )
