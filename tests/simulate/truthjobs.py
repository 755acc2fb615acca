"""Small conversions for the known truths, as job texts: only what the circuit needs."""

from __future__ import annotations

from wiring.circuit import build_after, build_before
from wiring.files import load_catalog, read_job
from wiring.model.circuit import Circuit

CATALOG = load_catalog()

HEAD = """
[job]
title = "{title}"
region = "iec"
stage = "design"

[supply]
system = "{system}"

[hoist]
type = "{hoist}"

[cord]
order = [{order}]
fate = "removed"

[pendant]
fate = "removed"
"""


def cores(*roles: str) -> str:
    """Cores 1, 2, ... with these roles; "earth" is core PE."""
    rows = []
    for number, role in enumerate(roles, 1):
        name = "PE" if role == "earth" else str(number)
        rows.append(f'[[core]]\nid = "{name}"\nrole = "{role}"\nby = "traced"\n')
    return "\n".join(rows)


def wires(*pairs: str) -> str:
    """Links `from > to` as connections."""
    rows = []
    for pair in pairs:
        start, _, end = pair.partition(" > ")
        rows.append(f'[[connection]]\nfrom = "{start}"\nto = "{end}"\n')
    return "\n".join(rows)


def outputs(mode: str, **keys: str) -> str:
    """Receiver outputs with their keys, all in one mode."""
    return "\n".join(
        f'[[receiver.output]]\nid = "{name}"\nkey = "{key}"\nmode = "{mode}"\n' for name, key in keys.items()
    )


def head(title: str, system: str, hoist: str, order: str) -> str:
    """The opening of a job."""
    listed = ", ".join(f'"{name}"' for name in order.split())
    return HEAD.format(title=title, system=system, hoist=hoist, order=listed)


TRANSMITTER = '[[transmitter]]\nid = "T1"\nkeys = ["up", "down", "stop", "start"]\n'
ISOLATOR = """[[stop]]
id = "Q1"
kind = "isolator"
device = "hoist:Q1"
reach = "near"
distance = "4 m"
path_clear = true
"""


def two_channel(mode: str) -> str:
    """A capacitor motor switched by two relay contacts, a wired stop in its feed."""
    return "\n".join(
        (
            head("two channels", "1ph L-N", "capacitor-motor-direct-230", "1 2 3 PE"),
            cores("feed", "up", "down", "earth"),
            '[receiver]\ntype = "two-channel-dry"\n',
            outputs(mode, CH1="up", CH2="down"),
            TRANSMITTER,
            '[[device]]\nid = "S1"\ntype = "emergency-stop"\n',
            wires(
                "core:1 > S1:11",
                "S1:12 > receiver:COM1",
                "receiver:COM1 > receiver:COM2",
                "receiver:NO1 > core:2",
                "receiver:NO2 > core:3",
                "core:1 > receiver:L",
                "hoist:X1.N > receiver:N",
            ),
            '[[stop]]\nid = "S1"\nkind = "wired emergency stop"\ndevice = "S1"\nreach = "operator"\n',
            ISOLATOR,
        )
    )


def stop_in_motion_common() -> str:
    """Contactor hoist: both stop relays stand in the feed of the motion outputs, nothing else."""
    return "\n".join(
        (
            head("stop in the common", "3ph 4-wire", "reversing-contactors-24", "1 2 3 PE"),
            cores("feed", "up", "down", "earth"),
            '[receiver]\ntype = "six-channel-stop-pair"\n',
            outputs("momentary", UP="up", DOWN="down", STOP1="stop", STOP2="stop"),
            '[[receiver.jumper]]\nid = "J1"\nfitted = true\n',
            TRANSMITTER,
            wires(
                "core:1 > receiver:3",
                "receiver:9 > core:2",
                "receiver:10 > core:3",
                "hoist:F4.2 > receiver:1",
                "hoist:T1.X2 > receiver:2",
            ),
            ISOLATOR,
        )
    )


def joined_returns() -> str:
    """A double-pole down button replaced by one contact on both of its returns."""
    return "\n".join(
        (
            head("joined returns", "1ph L-N", "capacitor-motor-direct-120-second-return", "1 2 3 4 PE"),
            cores("feed", "up", "down", "down-second", "earth"),
            '[receiver]\ntype = "two-channel-dry"\n',
            outputs("momentary", CH1="up", CH2="down"),
            TRANSMITTER,
            wires(
                "core:1 > receiver:COM1",
                "receiver:COM1 > receiver:COM2",
                "receiver:NO1 > core:2",
                "receiver:NO2 > core:3",
                "core:3 > core:4",
                "core:1 > receiver:L",
                "hoist:X1.N > receiver:N",
            ),
            ISOLATOR,
        )
    )


def circuits(text: str) -> tuple[Circuit, Circuit]:
    """The circuits of a job text, as found and as converted."""
    job = read_job(text, "truth.toml", CATALOG)
    return build_before(job, CATALOG), build_after(job, CATALOG)


CRANE_CORES = (
    "stop-out", "stop-in", "start", "common", "up", "down", "speed-2", "left", "right", "forward", "back",
    "earth",
)  # fmt: skip


def crane_conversion() -> str:
    """The two-speed crane with an eight-channel receiver: stop pair between cores 1 and 2, START
    between 2 and 3, motions from the common of core 4, a wired stop before the stop pair."""
    keys = ("up", "down", "left", "right", "forward", "back")
    plain = {key.upper(): key for key in keys}
    fast = outputs("momentary", **{"FAST_H-UP": "up.2", "FAST_H-DOWN": "down.2"})
    every = ", ".join(f'"{key}"' for key in (*keys, "up.2", "down.2", "stop", "start"))
    return "\n".join(
        (
            head("crane", "3ph 4-wire", "two-speed-crane-115", "1 2 3 4 5 6 7 8 9 10 11 PE"),
            cores(*CRANE_CORES),
            '[receiver]\ntype = "eight-channel-two-speed"\non_signal_loss = "0.5 s"\n',
            outputs("momentary", MAIN1="stop", MAIN2="stop", START="start", **plain),
            fast,
            f'[[transmitter]]\nid = "T1"\nkeys = [{every}]\n',
            '[[device]]\nid = "S1"\ntype = "emergency-stop"\n',
            wires(
                "core:1 > S1:11",
                "S1:12 > receiver:20",
                "receiver:22 > core:2",
                "core:2 > receiver:23",
                "receiver:24 > core:3",
                "core:4 > receiver:COMA",
                "receiver:1 > core:5",
                "receiver:2 > core:6",
                "receiver:3 > core:7",
                "receiver:4 > core:8",
                "receiver:5 > core:9",
                "receiver:6 > core:10",
                "receiver:7 > core:11",
                "hoist:F4.2 > receiver:L",
                "hoist:T1.X2 > receiver:N",
            ),
            '[[stop]]\nid = "S1"\nkind = "wired emergency stop"\ndevice = "S1"\nreach = "operator"\n',
            ISOLATOR,
        )
    )
