"""A fault told as a sequence of short sentences that a person can follow at the hoist."""

from __future__ import annotations

from wiring.model.circuit import Circuit
from wiring.simulate.faults_sights import (
    BOX_LIVE,
    CAPACITOR_SHORT,
    LET_GO,
    LIMIT_DEFEATED,
    NO_STOP,
    RESTART,
    SHORT,
    STALL,
    STOP_DEFEATED,
    UNCOMMANDED,
    UNFUSED,
    Seen,
)

_WORDS = {
    "stuck-in": "{} sticks in with all its contacts",
    "stuck-closed": "{} stays closed",
    "stuck-open": "{} no longer closes",
    "detached": "the contacts of {} no longer follow the actuator",
    "stuck": "{} stays operated",
    "dead": "{} no longer does anything",
    "frozen": "{} freezes, its outputs hold what they have",
    "on": "{} closes without command",
    "latching": "{} latches instead of following its key",
    "open": "{} is open",
    "short": "{} is short-circuited",
}

POINTS = {
    SHORT: "a source is shorted",
    UNFUSED: "a source is shorted and no fuse of the circuit ends it",
    CAPACITOR_SHORT: "the charged capacitor is shorted through the contacts",
    BOX_LIVE: "the box is live and nothing shows it",
}


def cause(name: str) -> str:
    """What happened, as a sentence."""
    words = name.split(" ")
    if name == "receiver:loss-timer stuck":
        return "the receiver does not notice that the link is lost"
    if name == "receiver:memory restores":
        return "the receiver restores its outputs when its supply comes back"
    if words[0] == "short":
        return f"{words[1]} and {words[2]} touch"
    if words[0] == "live":
        return f"{words[2]} touches {words[1]}"
    if words[0] == "earth":
        return f"{' '.join(words[1:])} touches earth"
    if words[0] == "swap":
        return f"{words[1]} and {words[2]} are swapped"
    if len(words) == 3 and words[1] == "jammed":
        return f"the mechanical interlock of {words[0]} and {words[2]} no longer blocks"
    subject, _, how = name.rpartition(" ")
    return _WORDS.get(how, "{} " + how).format(subject)


def _pressed(circuit: Circuit, state: frozenset[str]) -> str:
    keys = [i.name for i in circuit.inputs if i.name in state and i.kind in ("button", "key", "selector")]
    return f"press {', '.join(keys)}" if keys else "nothing pressed"


def _opened(circuit: Circuit, state: frozenset[str]) -> list[str]:
    names = [i.name for i in circuit.inputs if i.name in state and i.kind in ("limit", "thermal")]
    return [f"{', '.join(names)} is open"] if names else []


def story(circuit: Circuit, names: tuple[str, ...], seen: Seen) -> tuple[str, ...]:
    """How the hazard comes about and what ends it. names: the faults, in the order they happen."""
    causes = [cause(name) for name in names]
    press = _pressed(circuit, seen.state)
    first = seen.moment.partition("+")[0].removesuffix(" off")
    opened = _opened(circuit, seen.state)
    if first in ("held", "released"):
        told = [press, *opened, *causes]
    elif first == "cold":
        told = [*causes, "the supply is off", f"{press}, the supply comes back", *opened]
    else:
        told = [*causes, press, *opened]
    return (*told, _shown(seen, first), *_ended(circuit, seen))


def _shown(seen: Seen, first: str) -> str:
    """The sentence in which the hazard is seen."""
    if seen.hazard in POINTS:
        return POINTS[seen.hazard]
    if seen.hazard == LET_GO:
        return f"{seen.subject} is open and no motor holds the load"
    if seen.hazard == STALL:
        return f"{seen.subject} takes current and does not turn"
    if seen.hazard == LIMIT_DEFEATED:
        return f"{seen.subject} is reached: still {seen.motion}"
    if seen.hazard == STOP_DEFEATED:
        return f"{seen.subject} pressed: still {seen.motion}"
    if seen.hazard == RESTART:
        after = "" if first == "cold" else f"{seen.subject} comes back, nothing pressed: "
        return f"{after}{seen.motion} starts"
    if seen.hazard == NO_STOP:
        what = "link lost" if seen.subject == "link" else "release"
        return f"{what}: still {seen.motion}"
    return f"{seen.motion} without command" if seen.hazard == UNCOMMANDED else f"{seen.motion} instead"


def _ended(circuit: Circuit, seen: Seen) -> list[str]:
    """Which stops were tried in vain, and what ends it."""
    if seen.score is None:
        return ["the fuse of that circuit has to end it"] if seen.hazard == SHORT else []
    thing = "the current" if seen.hazard == STALL else "it"
    ranked = sorted(circuit.stops, key=lambda s: (-s.rank, s.input))
    vain = [s.input for s in ranked if s.input not in seen.stops and s.rank > seen.score]
    told = [f"{name} does not end {thing}" for name in vain if name != seen.subject]
    if not seen.stops:
        return [*told, "no stop of the circuit ends it"]
    return [*told, f"{seen.stops[0]} ends {thing}"]
