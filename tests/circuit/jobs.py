"""Jobs of our own for the tests of this room: an engine gantry and a malt hoist."""

from __future__ import annotations

from wiring.files.quantity import parse
from wiring.model.job import (
    AddedDevice,
    Cable,
    Connection,
    Cord,
    Core,
    HoistFacts,
    Job,
    Pendant,
    ReceiverFacts,
    ReceiverOutput,
    Remove,
    StopFact,
    Supply,
    Transmitter,
)
from wiring.model.value import WireSize

MM2_1 = WireSize("mm2", "1", 1e-6, "1 mm2")
AWG_16 = WireSize("awg", "16", 1.308696e-6, "16 AWG")


def cores(*rows: tuple[str, str, str | None]) -> tuple[Core, ...]:
    """Cores from (id, colour, role)."""
    return tuple(Core(id, colour, role, "readings") for id, colour, role in rows)


def output(id: str, key: str, mode: str | None = "momentary") -> ReceiverOutput:
    """An output as set."""
    return ReceiverOutput(id, key=key, mode=mode)


GANTRY = Job(
    file="gantry.toml",
    title="Engine gantry",
    region="iec",
    stage="design",
    supply=Supply(
        "3ph 4-wire", parse("400 V", "voltage"), parse("50 Hz", "frequency"), parse("10 %", "ratio")
    ),
    hoist=HoistFacts(type="reversing-contactors-24", type_by="readings"),
    cord=Cord(size=MM2_1, length=parse("4 m", "length"), order=("1", "2", "PE", "3"), fate="removed"),
    cores=cores(
        ("1", "brown", "feed"), ("2", "black", "up"), ("3", "grey", "down"), ("PE", "green/yellow", "earth")
    ),
    pendant=Pendant(fate="removed"),
    receiver=ReceiverFacts(
        type="six-channel-stop-pair",
        on_signal_loss=parse("0.5 s", "time"),
        outputs=(output("UP", "up"), output("DOWN", "down")),
    ),
    transmitters=(Transmitter("T1", ("up", "down", "stop", "start")),),
    devices=(AddedDevice("K0", "main-contactor-24"),),
    removes=(Remove("hoist:W7", "main contactor goes in here"),),
    cables=(Cable("W1", size=MM2_1, length=parse("10 m", "length"), order=("1", "2", "3", "4")),),
    connections=(
        Connection("core:1", "receiver:3", "W1:1", "101"),
        Connection("core:2", "receiver:9", "W1:2", "102"),
        Connection("core:3", "receiver:10", "W1:3", "103"),
        Connection("receiver:5", "receiver:8", None, "104"),
    ),
    stops=(
        StopFact("S0", "isolator", "hoist:Q1", "near", parse("4 m", "length"), True, True, "by the door"),
    ),
)

MALT = Job(
    file="malt.toml",
    title="Malt hoist",
    region="us",
    stage="design",
    supply=Supply("1ph L-N", parse("118 V", "voltage"), parse("60 Hz", "frequency")),
    hoist=HoistFacts(type="capacitor-motor-direct-120-second-return", type_by="readings"),
    cord=Cord(
        size=AWG_16,
        length=parse("12 ft", "length"),
        order=("1", "2", "3", "4", "PE"),
        fate="tail-kept",
        kept_length=parse("3 ft", "length"),
    ),
    cores=cores(
        ("1", "black", "feed"),
        ("2", "white", "up"),
        ("3", "red", "down"),
        ("4", "blue", "down-second"),
        ("PE", "green", "earth"),
    ),
    pendant=Pendant(fate="removed"),
    receiver=ReceiverFacts(
        type="two-channel-dry", outputs=(output("CH1", "up", "toggle"), output("CH2", "down", None))
    ),
    transmitters=(Transmitter("T1", ("up", "down")),),
    devices=(AddedDevice("K10", "contactor-pair-120"), AddedDevice("S1", "emergency-stop-motor")),
    connections=(
        Connection("core:2", "K10.up:2", None, "201"),
        Connection("hoist:F1.2", "S1:1", None, "202"),
    ),
    stops=(StopFact("E1", "wired emergency stop", "S1", "operator"),),
)
