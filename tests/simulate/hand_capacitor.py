"""The fault table of the capacitor-motor hoist, worked by hand from its diagram: one sentence a row.

Scores: 3 the handset's stop ends it, 1 only plug or isolator elsewhere do, None a short that
a fuse has to end.
"""

from __future__ import annotations

from tests.simulate.faulttable import Row
from wiring.simulate.faults_sights import (
    BOX_LIVE,
    CAPACITOR_SHORT,
    LET_GO,
    LIMIT_DEFEATED,
    NO_STOP,
    SHORT,
    STALL,
    STOP_DEFEATED,
    UNCOMMANDED,
    WRONG_WAY,
)

TYPE = "capacitor-motor-direct-230"
UP, DOWN = "hoist up", "hoist down"


def both(hazard: str, score: int) -> set[tuple[str, str, int | None]]:
    return {(hazard, UP, score), (hazard, DOWN, score)}


def hum(motion: str, score: int) -> set[tuple[str, str, int | None]]:
    """Current without torque opens a brake that is released by the motor's flux."""
    return {(STALL, motion, score), (LET_GO, motion, score)}


ROWS = [
    Row(
        "hoist:Q1.1-2 stuck-closed, hoist:Q1.3-4 stuck-closed, hoist:plug-L stuck-closed, "
        "hoist:plug-N stuck-closed",
        set(),
        "the other pole still opens the circuit",
    ),
    Row(
        "hoist:Q1.1-2 stuck-open, hoist:Q1.3-4 stuck-open, hoist:plug-L stuck-open, hoist:plug-N stuck-open, "
        "hoist:W1 open, hoist:W3 open, hoist:W4 open, hoist:W13 open, hoist:W14 open, hoist:W15 open, "
        "hoist:W16 open, hoist:V1 open, hoist:F1 open, core:feed open",
        set(),
        "no supply, no motion",
    ),
    Row(
        "hoist:TP stuck-open, hoist:W11 open, hoist:W12 open",
        set(),
        "both windings hang on the common lead: without it no current flows",
    ),
    Row("hoist:TP stuck-closed", set(), "the motor is no longer protected, nothing moves because of it"),
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
    Row(
        "hoist:LSU stuck-open, hoist:W5 open, hoist:W6 open, core:up open, pendant:up stuck-open",
        set(),
        "no up: the limit is before the whole group of capacitor and windings, so down still runs",
    ),
    Row(
        "hoist:LSD stuck-open, hoist:W8 open, hoist:W9 open, core:down open, pendant:down stuck-open",
        set(),
        "no down",
    ),
    Row("pendant:ES stuck-open", set(), "nothing is commanded"),
    Row(
        "pendant:ES stuck-closed, stop:ES detached",
        both(STOP_DEFEATED, 1),
        "the one contact of the stop is the motor line itself: what is left is the plug and the isolator",
    ),
    Row(
        "stop:plug detached, stop:Q1 detached",
        both(STOP_DEFEATED, 3),
        "the handset's stop still breaks the line",
    ),
    Row(
        "pendant:up stuck-closed, button:up stuck",
        {(UNCOMMANDED, UP, 3), (NO_STOP, UP, 3), *hum(DOWN, 3), (CAPACITOR_SHORT, "", None)},
        "up runs for good; with down pressed too both windings get the line, no torque is left, the brake is "
        "open, and the charged capacitor discharges through the contact that closes",
    ),
    Row(
        "pendant:down stuck-closed, button:down stuck",
        {(UNCOMMANDED, DOWN, 3), (NO_STOP, DOWN, 3), *hum(UP, 3), (CAPACITOR_SHORT, "", None)},
        "the same downwards",
    ),
    Row(
        "hoist:W7 open, hoist:W10 open, hoist:WA open, hoist:WB open",
        hum(UP, 3) | hum(DOWN, 3),
        "one winding alone hums: its flux opens the brake and nothing holds the load",
    ),
    Row(
        "hoist:C1 open, hoist:C1 short",
        hum(UP, 3) | hum(DOWN, 3),
        "without a phase shift between the windings there is no torque, only flux",
    ),
    Row(
        "short core:feed core:up",
        {
            (UNCOMMANDED, UP, 1),
            (NO_STOP, UP, 1),
            (STOP_DEFEATED, UP, 1),
            *hum(DOWN, 1),
            (CAPACITOR_SHORT, "", None),
        },
        "the up core is live before the stop, so the motor lifts and the stop does nothing; down pressed "
        "meanwhile bridges the charged capacitor",
    ),
    Row(
        "short core:up core:down",
        both(WRONG_WAY, 3) | hum(UP, 3) | hum(DOWN, 3) | {(CAPACITOR_SHORT, "", None)},
        "either button feeds both ends of the capacitor: it hums, and where one limit is open it turns the "
        "way of the other; touching while the motor runs, the cores discharge the capacitor",
    ),
    Row("earth core:feed", {(SHORT, "", None)}, "live to earth: the fuse opens"),
    Row(
        "short core:down core:earth, earth core:down",
        {(SHORT, "", None), *hum(UP, 3)},
        "down is a short; up puts the line on winding A while B is held at neutral through the earth: a hum",
    ),
    Row(
        "earth core:up",
        {(SHORT, "", None), *hum(DOWN, 3)},
        "up is a short; down puts the line on winding B while A is held at neutral through the earth: a hum",
    ),
    Row(
        "core:earth open, hoist:BOND open, hoist:plug-PE open, hoist:W2 open",
        set(),
        "a lost earth moves nothing by itself",
    ),
    Row(
        "hoist:W2 open + live hoist:PE hoist:F1.2, hoist:W2 open + earth core:feed",
        {(BOX_LIVE, "", None)},
        "the box has lost its earth and live touches it: no fuse opens, the box is live",
    ),
    Row(
        "hoist:W2 open + earth core:up, hoist:W2 open + earth core:down",
        set(),
        "at rest those cores are dead, and the box has no way to the neutral",
    ),
]
