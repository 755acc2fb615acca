"""How receivers of each class fit hoists of each class: known of the trade, before any search.

D: its contacts land where the handset's did. I: only through relays or contactors. X: not at
all. Two letters: depends on a rating that its class does not promise.
"""

from __future__ import annotations

RECEIVERS = (
    "two-channel-fed",
    "two-channel-dry",
    "four-channel-dry-dc",
    "six-channel-stop-pair",
    "eight-channel-two-speed",
    "two-channel-solid-state",
    "four-channel-transistor",
    "winch-high-side",
    "reversing-relay",
    "network-relay-module",
)

CAPACITOR = ("I", "DI", "I", "I", "I", "X", "X", "X", "DI", "X")
THREE_PHASE = ("I", "I", "I", "I", "I", "X", "XI", "X", "X", "X")
COILS = ("I", "D", "D", "D", "D", "I", "I", "X", "X", "X")

FACTS: dict[str, tuple[str, ...]] = {
    "capacitor-motor-direct-120": CAPACITOR,
    "capacitor-motor-direct-230": CAPACITOR,
    "main-auxiliary-direct-120": ("I", "I", "I", "I", "I", "X", "X", "X", "X", "X"),
    "three-phase-direct-two-pole-400": THREE_PHASE,
    "three-phase-direct-three-pole-460": THREE_PHASE,
    "reversing-contactors-24": COILS,
    "reversing-contactors-48": COILS,
    "reversing-contactors-115": ("I", "D", "D", "D", "D", "I", "I", "X", "DX", "X"),
    "two-speed-crane-115": ("X", "X", "X", "D", "D", "X", "I", "X", "X", "X"),
    "winch-permanent-magnet-12": ("X", "X", "DI", "X", "X", "X", "X", "DI", "X", "X"),
    "winch-series-12": ("X", "X", "DI", "X", "X", "X", "X", "DI", "X", "X"),
    "winch-negative-switching-12": ("X", "X", "DI", "X", "X", "X", "DI", "XI", "X", "X"),
    "drive-pnp-two-channel-stop": ("X", "I", "D", "D", "D", "X", "I", "X", "X", "X"),
    "drive-npn": ("X", "I", "D", "D", "D", "X", "D", "X", "X", "X"),
    "universal-motor-120": ("I", "I", "I", "I", "I", "X", "X", "X", "X", "X"),
}

TRIAC = (
    "The fact speaks of a triac in the motor circuit, where the run capacitor doubles its voltage. Here "
    "it drives the coil of a contactor only, its leakage is in the simulation, and a triac that fails "
    "closed is one of the faults that the wired stop in the motor line has to end."
)
TRANSISTOR = (
    "The fact leaves out a supply unit and relays between: with a 24 V DC supply of its own and one relay "
    "for each key the transistor switches nothing but its relays."
)
DIRECTION = (
    "The fact speaks of the one changeover in the motor circuit. Through a contactor pair its two outputs "
    "are two commands like any others, and both keys together still give one direction."
)
OWN_SUPPLY = (
    "The fact speaks of its mains output in a low-voltage circuit. With a transformer for its own supply and "
    "a relay for each output the two circuits never meet."
)
SAME_VOLTAGE = (
    "The control voltage is the voltage of its own supply here: what comes out of an output is what the "
    "handset's contact passed on, and the receiver is fed from the same two points."
)
SECOND_STEP = (
    "The fact allows it where one speed is given up, or speaks of a drive with one speed. This hoist has a "
    "second step on its handset, the receiver's keys have none, and no motion is ever given up."
)
TOO_FEW = "The fact counts one relay for each of eight outputs; this class has four, and no two-step keys."
UNDER_VOLTAGE = (
    "This class starts at 12 V, which a 12 V battery behind an isolator and a fuse just fails to give."
)

#: (hoist, receiver) where the search comes to another answer than the fact, with the argument.
DIFFERENCES: dict[tuple[str, str], str] = {
    **{
        (hoist, "two-channel-solid-state"): TRIAC
        for hoist in (
            "capacitor-motor-direct-120", "capacitor-motor-direct-230", "main-auxiliary-direct-120",
            "three-phase-direct-two-pole-400", "three-phase-direct-three-pole-460", "universal-motor-120",
        )
    },
    **{
        (hoist, "four-channel-transistor"): TRANSISTOR
        for hoist in (
            "capacitor-motor-direct-120", "capacitor-motor-direct-230", "main-auxiliary-direct-120",
            "universal-motor-120",
        )
    },
    **{
        (hoist, "reversing-relay"): DIRECTION
        for hoist in (
            "main-auxiliary-direct-120", "three-phase-direct-two-pole-400",
            "three-phase-direct-three-pole-460", "universal-motor-120",
        )
    },
    ("reversing-contactors-24", "reversing-relay"): OWN_SUPPLY,
    ("reversing-contactors-48", "reversing-relay"): OWN_SUPPLY,
    ("reversing-contactors-115", "two-channel-fed"): SAME_VOLTAGE,
    ("reversing-contactors-115", "two-channel-solid-state"): SAME_VOLTAGE,
    ("two-speed-crane-115", "six-channel-stop-pair"): SECOND_STEP,
    ("two-speed-crane-115", "four-channel-transistor"): TOO_FEW,
    ("winch-negative-switching-12", "four-channel-transistor"): UNDER_VOLTAGE,
    **{
        (hoist, receiver): SECOND_STEP
        for hoist in ("drive-pnp-two-channel-stop", "drive-npn")
        for receiver in (
            "two-channel-dry", "four-channel-dry-dc", "six-channel-stop-pair", "four-channel-transistor",
        )
    },
}  # fmt: skip
