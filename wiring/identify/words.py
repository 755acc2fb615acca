"""Sentences of the session: why a reading is wanted, how to take it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from wiring.identify.meter import FRAME
from wiring.identify.probe import Probe, group_words

if TYPE_CHECKING:
    from wiring.identify.session import Session

BEEP = "Do not trust the beep: windings, coils and transformers beep too. Read the ohms."


def reason(purpose: str, session: Session, probe: Probe | None = None) -> str:
    """Why this is asked for, one or two sentences."""
    if purpose == "gate":
        return "Before the first reading: isolate, prove dead, discharge. Nothing is opened before that."
    if purpose == "gate again":
        return "Time has gone by since the last reading: somebody may have switched on. Prove dead again."
    if purpose == "direction":
        return (
            "The labels tell which button feeds which core, not which way the hook goes. Open the limit "
            "by hand: the core that goes from ohms to OL is that direction. Skip it if it is out of reach."
        )
    if purpose == "live":
        return "Nothing dead is left that would tell. For the qualified person named in the gate only."
    if purpose == "cover":
        return "The answer stands. A role rests on both ends of its core, and this end was not read yet."
    if purpose == "confirm":
        if session.space.best:
            return "Readings contradict each other: this one tells which of them was wrong."
        return "One answer is left, and one wrong reading could still have led to it: this one confirms it."
    left = session.left
    often = "" if left > 1000 else f"{left} answers are left; "
    side = "the handset's contacts" if probe is None or probe.side == "handset" else "what hangs on the cores"
    return f"{often}it splits them best for its trouble, by {side}."


def how(probe: Probe) -> str:
    """What to do with the leads, in one line."""
    side = "Handset side" if probe.side == "handset" else "Hoist side"
    held = [name.partition(":")[2] or name for name in sorted(probe.state) if not name.startswith("limit:")]
    held = [name for name in held if f"{name}.2" not in held]
    opened = [name.partition(":")[2] for name in sorted(probe.state) if name.startswith("limit:")]
    steps = [side]
    if held:
        keys = " and ".join(_key(name) for name in held)
        steps.append(f"hold {keys}")
    if opened:
        steps.append(f"hold the {opened[0]} limit open by hand")
    if not held and not opened:
        steps.append("nothing pressed")
    what = probe.live.capitalize() or "Ohms"
    return f"{', '.join(steps)}. {_tied(probe)}{what} between {_end(probe.a)} and {_end(probe.b)}."


def _key(name: str) -> str:
    if name.endswith(".2"):
        return f"{name[:-2].upper()} to its second step"
    return name.upper()


def _tied(probe: Probe) -> str:
    groups = [_end(group) for group in (probe.a, probe.b) if len(group) > 1]
    return f"Tie {' together, and '.join(groups)} together. " if groups else ""


def _end(group: frozenset[str]) -> str:
    metal = ["the bare metal of the hoist"] if FRAME in group else []
    return " + ".join([text for text in (group_words(group - {FRAME}),) if text] + metal)
