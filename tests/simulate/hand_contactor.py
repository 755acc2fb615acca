"""The fault table of the contactor hoist, worked by hand from its diagram: one sentence a row.

Scores: 3 the handset's stop ends it, 1 only the isolator elsewhere does, None a short that
a fuse has to end.
"""

from __future__ import annotations

from tests.simulate.faulttable import Row
from wiring.simulate.faults_sights import (
    BOX_LIVE,
    LET_GO,
    LIMIT_DEFEATED,
    NO_STOP,
    SHORT,
    STALL,
    STOP_DEFEATED,
    UNCOMMANDED,
    WRONG_WAY,
)

TYPE = "reversing-contactors-24"
UP, DOWN = "hoist up", "hoist down"


def both(hazard: str, score: int) -> set[tuple[str, str, int | None]]:
    return {(hazard, UP, score), (hazard, DOWN, score)}


ROWS = [
    # isolator and line
    Row(
        "hoist:Q1.1-2 stuck-closed, hoist:Q1.3-4 stuck-closed, hoist:Q1.5-6 stuck-closed",
        set(),
        "two poles still open, and one phase alone drives neither motor nor transformer",
    ),
    Row(
        "hoist:Q1.1-2 stuck-open, hoist:Q1.3-4 stuck-open, hoist:W1 open, hoist:W2 open, hoist:W4 open, "
        "hoist:W5 open, hoist:F1 open, hoist:F2 open, hoist:V1 open, hoist:V2 open",
        both(STALL, 3),
        "L1 or L2 also feeds the transformer: lost while running, the motor feeds it back at half voltage, "
        "the contactor may hold and the motor hums on two phases; from rest nothing pulls in",
    ),
    Row(
        "hoist:Q1.5-6 stuck-open, hoist:W3 open, hoist:W6 open, hoist:F3 open, hoist:V3 open, "
        "hoist:W9 open, hoist:OL.5-6 open, hoist:W15 open, hoist:W21 open",
        both(STALL, 3) | both(LET_GO, 3),
        "the brake sits across U and V and opens, while the motor without L3 has no torque: the load drops",
    ),
    Row(
        "hoist:W7 open, hoist:W8 open, hoist:W13 open, hoist:W14 open, hoist:OL.1-2 open, hoist:OL.3-4 open, "
        "hoist:W19 open, hoist:W20 open",
        both(STALL, 3),
        "L1 or L2 lost at the motor only: it hums, the brake gets too little to open for certain",
    ),
    Row(
        "swap hoist:V1 hoist:V2, swap hoist:V1 hoist:V3, swap hoist:V2 hoist:V3",
        both(WRONG_WAY, 3),
        "swapped phases turn the field: every command runs the other way, past the limit of its own coil",
    ),
    # contactors
    Row(
        "hoist:K1 stuck-in",
        {(UNCOMMANDED, UP, 1), (NO_STOP, UP, 1), (STOP_DEFEATED, UP, 1), (LIMIT_DEFEATED, UP, 1)},
        "limit, stop and button all open the coil circuit, and the coil no longer decides",
    ),
    Row(
        "hoist:K2 stuck-in",
        {(UNCOMMANDED, DOWN, 1), (NO_STOP, DOWN, 1), (STOP_DEFEATED, DOWN, 1), (LIMIT_DEFEATED, DOWN, 1)},
        "the same downwards",
    ),
    Row("hoist:K1 open, hoist:K2 open", set(), "a contactor that never comes in moves nothing"),
    Row(
        "hoist:K1 short, hoist:K2 short",
        {(SHORT, "", None)},
        "the command puts the control supply across the shorted coil: the control fuse opens",
    ),
    Row("hoist:K1 jammed hoist:K2", set(), "the cross-wired auxiliaries still keep the second contactor out"),
    Row(
        "hoist:K1.1-2 stuck-closed, hoist:K1.3-4 stuck-closed, hoist:K2.1-2 stuck-closed, "
        "hoist:K2.3-4 stuck-closed",
        {(SHORT, "", None)},
        "one welded pole moves nothing alone, but it meets the crossed pole of the other contactor",
    ),
    Row(
        "hoist:K1.5-6 stuck-closed, hoist:K2.5-6 stuck-closed",
        set(),
        "the third phase is not crossed: both contactors put L3 on the same terminal",
    ),
    Row(
        "hoist:K1.1-2 stuck-open, hoist:K1.3-4 stuck-open",
        {(STALL, UP, 3)},
        "upwards the motor runs on two phases with its brake unsure",
    ),
    Row(
        "hoist:K1.5-6 stuck-open",
        {(STALL, UP, 3), (LET_GO, UP, 3)},
        "upwards the brake opens on U and V while the motor lacks L3",
    ),
    Row(
        "hoist:K2.1-2 stuck-open, hoist:K2.3-4 stuck-open, hoist:W10 open, hoist:W11 open, hoist:W16 open, "
        "hoist:W17 open",
        {(STALL, DOWN, 3)},
        "downwards the motor runs on two phases with its brake unsure",
    ),
    Row(
        "hoist:K2.5-6 stuck-open, hoist:W12 open, hoist:W18 open",
        {(STALL, DOWN, 3), (LET_GO, DOWN, 3)},
        "downwards the brake opens on U and V while the motor lacks L3",
    ),
    Row(
        "hoist:K1.21-22 stuck-closed, hoist:K2.21-22 stuck-closed",
        set(),
        "the mechanical interlock still keeps the second contactor out",
    ),
    Row(
        "hoist:K1.21-22 stuck-open, hoist:K2.21-22 stuck-open",
        set(),
        "the other direction's coil loses its feed",
    ),
    # limits, overload
    Row(
        "hoist:LSU stuck-closed",
        {(LIMIT_DEFEATED, UP, 3)},
        "the hook runs into the drum, the stop still works",
    ),
    Row(
        "hoist:LSD stuck-closed",
        {(LIMIT_DEFEATED, DOWN, 3)},
        "the lower end is run past, the stop still works",
    ),
    Row("hoist:LSU stuck-open, hoist:LSD stuck-open", set(), "one direction is lost"),
    Row(
        "hoist:OL.95-96 stuck-closed, hoist:OL.95-96 stuck-open",
        set(),
        "the overload no longer protects the motor, or everything stays dead",
    ),
    # handset
    Row(
        "pendant:ES stuck-closed, stop:ES detached",
        both(STOP_DEFEATED, 1),
        "the handset's only stop contact does nothing: letting go still works, the next stop is the isolator",
    ),
    Row(
        "stop:Q1 detached",
        both(STOP_DEFEATED, 3),
        "the isolator's handle turns and nothing opens; the stop does",
    ),
    Row(
        "pendant:ES stuck-open, pendant:up stuck-open, pendant:down stuck-open", set(), "nothing is commanded"
    ),
    Row(
        "pendant:up stuck-closed, button:up stuck",
        {(UNCOMMANDED, UP, 3), (NO_STOP, UP, 3)},
        "up is commanded for good; the stop opens the common feed",
    ),
    Row(
        "pendant:down stuck-closed, button:down stuck",
        {(UNCOMMANDED, DOWN, 3), (NO_STOP, DOWN, 3)},
        "down is commanded for good; the stop opens the common feed",
    ),
    # cord
    Row(
        "core:feed open, core:up open, core:down open, core:earth open",
        set(),
        "a broken core commands nothing",
    ),
    Row(
        "short core:feed core:up",
        {(UNCOMMANDED, UP, 1), (NO_STOP, UP, 1), *both(STOP_DEFEATED, 1)},
        "the up core is live before the stop; with up held too it even feeds the down button past the stop",
    ),
    Row(
        "short core:up core:down",
        both(WRONG_WAY, 3),
        "either button feeds both coils, and the first contactor to come in locks the other out",
    ),
    Row(
        "short core:down core:earth, earth core:feed, earth core:up, earth core:down",
        {(SHORT, "", None)},
        "the control common is earthed: the live core to earth is a short and the control fuse opens",
    ),
    # control wiring
    Row(
        "hoist:W24 open, hoist:W25 open, hoist:T1 open, hoist:W26 open, hoist:F4 open, hoist:W27 open, "
        "hoist:W28 open, hoist:W35 open",
        set(),
        "no control supply, no motion",
    ),
    Row("hoist:W29 open, hoist:W30 open, hoist:W31 open", set(), "no up"),
    Row("hoist:W32 open, hoist:W33 open, hoist:W34 open, hoist:W36 open", set(), "no down"),
    Row("hoist:W22 open, hoist:W23 open, hoist:BR open", set(), "the brake stays shut"),
    Row(
        "hoist:BOND open, hoist:W37 open, hoist:W38 open",
        set(),
        "a lost earth moves nothing by itself: it waits for the first earth fault",
    ),
    Row(
        "hoist:W37 open + live hoist:PE hoist:F1.2",
        {(SHORT, "", None), *both(STALL, 3)},
        "the box still has its line earth: L1 behind its fuse is shorted, the fuse opens, and a running "
        "motor goes on on two phases",
    ),
    Row(
        "hoist:W38 open + live hoist:PE hoist:F1.2",
        {(BOX_LIVE, "", None)},
        "only the control winding ties the box to anything now: L1 makes it live and no fuse opens",
    ),
    Row(
        "hoist:W37 open + earth core:feed, hoist:W37 open + earth core:up, hoist:W37 open + earth core:down",
        set(),
        "the control circuit now floats, so the earth fault carries no current and is silent",
    ),
    Row(
        "hoist:W38 open + earth core:feed, hoist:W38 open + earth core:up, hoist:W38 open + earth core:down",
        {(SHORT, "", None)},
        "the box lost its line earth, but the control common is still tied to the box",
    ),
]
