"""The job: everything the user wrote, checked for form but not for sense.

Absent means not known: None or an empty tuple, never a default that clears a
check. The word `unknown` in the file has become None by the time it is here.
"""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from wiring.model.value import Amount, WireSize

#: How a fact is known, best first.
KNOWN_BY = ("readings", "traced", "diagram", "colour", "guess")

#: What a core can be for. One core, one role; `unknown` in a file is None here.
ROLES = (
    "feed", "common", "neutral", "up", "down", "left", "right", "forward", "back", "in", "out",
    "speed-2", "main", "aux-1", "aux-2", "up-second", "down-second", "start", "stop-out", "stop-in",
    "earth", "spare",
    # three-phase motors switched directly, two-channel stop loops, drives, armatures
    "line-1", "line-2", "line-3", "motor-u", "motor-v", "motor-w",
    "stop-out-2", "stop-in-2", "enable", "armature-1", "armature-2", "capacitor-1", "capacitor-2",
)  # fmt: skip

MODES = ("momentary", "latching", "toggle", "timed", "interlocked-latching", "run-to-limit")


@dataclass(frozen=True, slots=True)
class Gate:
    """The isolation gate: what was done before anything was opened."""

    isolated_at: str | None = None
    locked: bool | None = None
    load_landed: bool | None = None
    tester_proved: bool | None = None
    poles_dead: bool | None = None
    tester_proved_again: bool | None = None
    capacitor_volts: Amount | None = None
    transmitter_battery_out: bool | None = None
    at: datetime.datetime | None = None
    qualified_person: str | None = None


@dataclass(frozen=True, slots=True)
class Risk:
    severity: str | None = None
    exposure: str | None = None
    avoidance: str | None = None
    by: str | None = None


@dataclass(frozen=True, slots=True)
class Place:
    """Where the hoist works. outside_scope None: not asked; (): asked, none applies."""

    outside_scope: tuple[str, ...] | None = None
    sees_load: str | None = None
    environment: str | None = None
    clearance: Mapping[str, Amount] = field(default_factory=lambda: MappingProxyType({}))
    risk: Risk | None = None


@dataclass(frozen=True, slots=True)
class ProtectiveDevice:
    kind: str | None = None
    rating: Amount | None = None
    source: str | None = None


@dataclass(frozen=True, slots=True)
class Supply:
    system: str | None = None
    voltage: Amount | None = None
    frequency: Amount | None = None
    tolerance: Amount | None = None  # ratio
    protective_device: ProtectiveDevice | None = None
    rcd: str | None = None
    fault_current: Amount | None = None


@dataclass(frozen=True, slots=True)
class LoadHolding:
    by: str
    source: str | None = None


@dataclass(frozen=True, slots=True)
class HoistFacts:
    """type None: unknown. type ending in .toml: a file beside the job."""

    type: str | None = None
    type_by: str | None = None
    type_source: str | None = None
    hook_speed: Amount | None = None  # m/s
    starts_per_hour: int | None = None
    load_holding: LoadHolding | None = None


@dataclass(frozen=True, slots=True)
class StatedValue:
    """Replaces one placeholder: of = `owner:part.property`."""

    of: str
    is_: Amount
    source: str | None = None


@dataclass(frozen=True, slots=True)
class Meter:
    lead_resistance: Amount | None = None
    low_impedance: bool | None = None


@dataclass(frozen=True, slots=True)
class Cord:
    """The pendant cord. fate: removed | tail-kept | kept."""

    type: str | None = None
    size: WireSize | None = None
    length: Amount | None = None
    order: tuple[str, ...] | None = None
    fate: str | None = None
    kept_length: Amount | None = None


@dataclass(frozen=True, slots=True)
class Core:
    """A conductor of the pendant cord. role None: unknown. colour is an attribute, never identity."""

    id: str
    colour: str | None = None
    role: str | None = None
    by: str | None = None
    source: str | None = None


@dataclass(frozen=True, slots=True)
class PendantContact:
    button: str
    pole: int
    form: str
    between: tuple[str, str]


@dataclass(frozen=True, slots=True)
class Pendant:
    """fate: removed | stop-kept | kept-with-selector."""

    fate: str | None = None
    keep: tuple[str, ...] = ()
    contacts: tuple[PendantContact, ...] = ()


@dataclass(frozen=True, slots=True)
class Rating:
    """A contact rating as the data sheet prints it. Currents in A, hp ratings in W."""

    resistive: Amount | None = None
    general: Amount | None = None
    motor_120: Amount | None = None  # power
    motor_240: Amount | None = None
    ac3: Amount | None = None
    ac4: Amount | None = None
    ac15_120: Amount | None = None
    ac15_240: Amount | None = None
    dc13_24: Amount | None = None
    pilot: str | None = None
    make: Amount | None = None
    voltage_ac: Amount | None = None
    voltage_dc: Amount | None = None
    min_load: str | None = None  # "100 mA 5 V"
    fuse_max: Amount | None = None
    electrical_life: int | None = None  # operations
    source: str | None = None


@dataclass(frozen=True, slots=True)
class ReceiverOutput:
    """One output as set. key "up.2" is the second step; two outputs may share a key."""

    id: str
    key: str | None = None
    print: str | None = None
    mode: str | None = None
    mode_set_by: str | None = None
    mode_source: str | None = None
    rating: Rating | None = None


@dataclass(frozen=True, slots=True)
class JumperSetting:
    id: str
    fitted: bool | None = None


@dataclass(frozen=True, slots=True)
class StopFunction:
    exists: bool | None = None
    outputs: int | None = None
    redundant: bool | None = None
    level: str | None = None  # claimed performance or integrity level, as written
    claimed_by: str | None = None


@dataclass(frozen=True, slots=True)
class ReceiverFacts:
    """type None: unknown. on_signal_loss: seconds as an Amount, "stays" or "closes"."""

    type: str | None = None
    source: str | None = None
    on_signal_loss: Amount | str | None = None
    on_supply_return: str | None = None  # off | restores
    neutral_check: bool | None = None
    opposing: str | None = None  # none | firmware | hardware
    dead_time: Amount | None = None
    step_two: str | None = None  # none | cumulative | replaces
    stop_function: StopFunction | None = None
    outputs: tuple[ReceiverOutput, ...] = ()
    jumpers: tuple[JumperSetting, ...] = ()


@dataclass(frozen=True, slots=True)
class Transmitter:
    id: str
    keys: tuple[str, ...] = ()
    enable_key: bool | None = None
    auto_off: Amount | None = None


@dataclass(frozen=True, slots=True)
class AddedDevice:
    id: str
    type: str
    rating: Rating | None = None
    source: str | None = None


@dataclass(frozen=True, slots=True)
class Remove:
    """wire or part of the hoist that goes; exactly one of the two is set."""

    name: str
    why: str | None = None


@dataclass(frozen=True, slots=True)
class Cable:
    id: str
    type: str | None = None
    size: WireSize | None = None
    length: Amount | None = None
    ambient: Amount | None = None
    order: tuple[str, ...] | None = None


@dataclass(frozen=True, slots=True)
class Connection:
    """from and to are points; conductor is `W1:1`, or None for a link inside one box."""

    from_: str
    to: str
    conductor: str | None = None
    number: str | None = None
    size: WireSize | None = None


@dataclass(frozen=True, slots=True)
class StopFact:
    id: str
    kind: str | None = None
    device: str | None = None
    reach: str | None = None  # operator | near | elsewhere
    distance: Amount | None = None
    path_clear: bool | None = None
    lockable: bool | None = None
    where: str | None = None


@dataclass(frozen=True, slots=True)
class Reading:
    """A meter reading. value: an Amount, or "OL" | "climbs" | "drops"."""

    between: tuple[str, str]
    side: str | None
    state: str | None
    quantity: str
    value: Amount | str
    at: datetime.datetime | None = None


@dataclass(frozen=True, slots=True)
class BenchResult:
    """Receiver alone on the bench. at_most: time is an upper bound ("< 1 s")."""

    test: str
    output: str | None
    result: str
    time: Amount | None = None
    at_most: bool = False


@dataclass(frozen=True, slots=True)
class Confirm:
    """A figure that a person read in the book. ours: what the catalog said then; once it says another the
    confirmation is void."""

    entry: str
    is_: str
    by: str | None = None
    source: str | None = None
    second: str | None = None
    ours: str | None = None


@dataclass(frozen=True, slots=True)
class Parts:
    """The four short hashes of a digest, so that what changed can be named."""

    circuit: str = ""
    ratings: str = ""
    settings: str = ""
    catalog: str = ""


@dataclass(frozen=True, slots=True)
class Approval:
    by: str
    licence: str | None = None
    digest: str | None = None
    parts: Parts | None = None
    date: datetime.date | None = None


@dataclass(frozen=True, slots=True)
class Answer:
    requirement: str
    text: str


@dataclass(frozen=True, slots=True)
class Record:
    test: str
    measured: str
    by: str | None = None
    digest: str | None = None
    parts: Parts | None = None


@dataclass(frozen=True, slots=True)
class Job:
    """One conversion, as the file says. lines: key path ("connection.3.from") to line number."""

    file: str
    title: str
    region: str  # us | iec
    stage: str
    country: str | None = None
    people: str | None = None
    revision: str | None = None
    date: datetime.date | None = None
    prepared_by: str | None = None
    example: bool = False  # a demo: every output says "EXAMPLE, not your hoist"
    gate: Gate | None = None
    place: Place | None = None
    supply: Supply = field(default_factory=Supply)
    hoist: HoistFacts = field(default_factory=HoistFacts)
    values: tuple[StatedValue, ...] = ()
    meter: Meter = field(default_factory=Meter)
    cord: Cord = field(default_factory=Cord)
    cores: tuple[Core, ...] = ()
    pendant: Pendant = field(default_factory=Pendant)
    receiver: ReceiverFacts = field(default_factory=ReceiverFacts)
    transmitters: tuple[Transmitter, ...] = ()
    devices: tuple[AddedDevice, ...] = ()
    removes: tuple[Remove, ...] = ()
    cables: tuple[Cable, ...] = ()
    connections: tuple[Connection, ...] = ()
    stops: tuple[StopFact, ...] = ()
    readings: tuple[Reading, ...] = ()
    bench: tuple[BenchResult, ...] = ()
    confirms: tuple[Confirm, ...] = ()
    approvals: tuple[Approval, ...] = ()
    answers: tuple[Answer, ...] = ()
    records: tuple[Record, ...] = ()
    lines: Mapping[str, int] = field(default_factory=lambda: MappingProxyType({}))
    stamp: str = field(default="", compare=False, repr=False)  # short hash of the text it was read from

    def where(self, key: str) -> str:
        """`file:line` of a key path, of its nearest parent that has a line, or the file alone."""
        name = self.file.rsplit("/", 1)[-1]
        path = key
        while path:
            if path in self.lines:
                return f"{name}:{self.lines[path]}"
            path = path.rpartition(".")[0]
        return name
