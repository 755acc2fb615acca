"""Live readings: volts with the cord open and nothing pressed, by a qualified person only.

They are proposed last, when nothing dead is left that would tell, and only when
the gate names who takes them.
"""

from __future__ import annotations

from wiring.identify.choose import VOICES, Choice
from wiring.identify.meter import FRAME
from wiring.identify.panel import panel
from wiring.identify.probe import Probe
from wiring.identify.space import Space
from wiring.identify.volts import volts_of

#: Trouble of a live reading: it needs another person, another gate and the power on.
TROUBLE = 5.0


def choice(space: Space, skipped: frozenset[Probe]) -> Choice | None:
    """The live reading that tells the answers that are left apart; None where none does."""
    asked = {taken.probe for taken in space.taken} | skipped
    speaking = list(panel(space, 0, VOICES).voices())
    best: Choice | None = None
    for core in space.cores:
        shares: dict[int | None, float] = {}
        system = "volts AC"
        for voice in speaking:
            roles = [role for role, at in voice.at(space).items() if at == core]
            volts = volts_of(voice.block.model).get(roles[0]) if roles else None
            step = None if volts is None else round(volts / 40.0)
            shares[step] = shares.get(step, 0.0) + voice.weight
            if voice.block.model.hoist.supply_system == "dc":
                system = "volts DC"
        probe = Probe(frozenset([core]), frozenset([FRAME]), "hoist", frozenset(), system)
        known = {step: share for step, share in shares.items() if step is not None}
        if probe in asked or len(known) < 2:
            continue
        worth = 1.0 - max(known.values())
        if best is None or worth > best.bits:
            best = Choice(probe, worth, len(known), TROUBLE)
    return best
