"""Catalog entries: hoist, receiver, device and cable types, tables and clauses.

An entry names things locally (`X1.3`, `K1`, `up:A1`); the room `circuit` turns
local names into the full ones of `model.circuit`. One shape, `Netlist`, serves
hoists, receivers and devices, so a new device is a file and never a class.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from wiring.model.circuit import PartKind
from wiring.model.value import Amount, Basis, Value, WireSize

EMPTY: Mapping[str, Value] = MappingProxyType({})
NO_WORDS: Mapping[str, str] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Source:
    """Where an entry or table comes from."""

    title: str
    edition: str = ""
    table: str = ""
    basis: Basis = "memory"
    where_read: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Terminal:
    """A screw, stud, tab or plug pin that a person can touch. print: what is printed on it.
    wires_min, wires_max: conductor range [m2]; torque [N m]; None where not known."""

    id: str
    print: str = ""
    kind: str = "screw"
    size_min: WireSize | None = None
    size_max: WireSize | None = None
    torque: Amount | None = None
    max_wires: int | None = None


@dataclass(frozen=True, slots=True)
class EntryPart:
    """A part by local names. See `model.circuit.Part`; `by` uses local names too:
    `coil:K1`, `button:up`, `limit:up`, `stop:ES`, `thermal:OL`, `output:CH1`, `isolator:Q1`."""

    id: str  # "" in a device: the part is named for the device itself
    kind: PartKind
    at: tuple[str, ...]
    form: str = ""
    by: str = ""
    role: str = ""
    rect: str = ""
    label: str = ""
    fitted: bool = True  # a jumper: fitted at the factory
    values: Mapping[str, Value] = field(default_factory=lambda: EMPTY)


@dataclass(frozen=True, slots=True)
class EntryWire:
    """A wire between two terminals of the entry, with an id, removable."""

    id: str
    ends: tuple[str, str]
    number: str = ""


@dataclass(frozen=True, slots=True)
class Netlist:
    """Terminals, junctions (sealed, not touchable), parts, wires, mechanical interlocks."""

    terminals: tuple[Terminal, ...] = ()
    junctions: tuple[str, ...] = ()
    parts: tuple[EntryPart, ...] = ()
    wires: tuple[EntryWire, ...] = ()
    interlocks: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class EntryCore:
    """A core of the type's pendant cord: its role, the hoist terminal it sits on, its colours
    (one per colouring), the current it carries."""

    role: str
    at: str
    colours: tuple[str, ...]
    current: Amount | None = None
    about: str = ""


@dataclass(frozen=True, slots=True)
class Button:
    """A button of the handset. id: "up", "up.2" (second step), "start". motion: what it commands."""

    id: str
    motion: str = ""
    label: str = ""


@dataclass(frozen=True, slots=True)
class HandsetContact:
    """A contact in the handset. between: core roles or handset junctions; button "stop:ES" for a stop."""

    id: str
    by: str  # "button:up" or "stop:ES"
    form: str
    between: tuple[str, str]


@dataclass(frozen=True, slots=True)
class EntryLimit:
    """A limiter of the type. motion: what it must stop; reset: how a tripped back-up is reset."""

    id: str  # "up" -> input limit:up
    kind: str  # first | back-up | capacity | slack-rope
    motion: str
    reset: str = ""


@dataclass(frozen=True, slots=True)
class EntryStop:
    """A stop of the type itself. id: "ES", "Q1". reach: operator | near | elsewhere."""

    id: str
    kind: str
    reach: str
    parts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class EntryMotor:
    """A motor of the type. kind, parts: as in `model.circuit.Motor`; positive, negative: its motions;
    duty: hoist | travel | winch ...; hook: which hook it moves; values: its nameplate."""

    id: str
    kind: str
    parts: tuple[str, ...]
    positive: str
    negative: str
    duty: str = "hoist"
    hook: str = "main"
    values: Mapping[str, Value] = field(default_factory=lambda: EMPTY)


@dataclass(frozen=True, slots=True)
class EntryBrake:
    """A brake of the type. released_by: flux | coil; part: its coil, "" for a flux brake; side: ac | dc
    switched."""

    id: str
    released_by: str
    part: str
    motors: tuple[str, ...]
    side: str = ""
    hook: str = "main"


@dataclass(frozen=True, slots=True)
class Insertion:
    """A place where a conversion adds parts. place: main-contactor | control-feed |
    receiver-supply | motor-line | isolator; remove: wires to take off; frees: terminals
    that become free, supply side first."""

    place: str
    remove: tuple[str, ...]
    frees: tuple[str, ...]
    note: str = ""


@dataclass(frozen=True, slots=True)
class Expected:
    """One row of the self-test: inputs operated, motions, and coils where given.
    start: press and release START before."""

    press: tuple[str, ...]
    open: tuple[str, ...]
    motions: tuple[str, ...]
    energised: tuple[str, ...] | None = None
    result: str = ""  # "short" | "stall" where the row is not a motion
    start: bool = False


@dataclass(frozen=True, slots=True)
class HoistType:
    """A hoist as it left its maker: supply, netlist, cord, handset, motors, and what it should do.
    recognise: what to look for on the real thing; expected: rows of its self-test."""

    id: str
    title: str
    source: Source
    recognise: tuple[str, ...]
    supply_system: str
    voltage: Value
    frequency: Value
    net: Netlist
    earth: str  # local name of the protective earth point
    colourings: tuple[str, ...]
    cores: tuple[EntryCore, ...]
    handset_junctions: tuple[str, ...]
    buttons: tuple[Button, ...]
    contacts: tuple[HandsetContact, ...]
    exclusive: tuple[tuple[str, ...], ...]
    limits: tuple[EntryLimit, ...]
    thermals: tuple[tuple[str, bool], ...]  # (id, resets by itself)
    stops: tuple[EntryStop, ...]
    motors: tuple[EntryMotor, ...]
    brakes: tuple[EntryBrake, ...]
    insertions: tuple[Insertion, ...]
    expected: tuple[Expected, ...]
    handset_parts: tuple[EntryPart, ...] = ()  # e.g. a capacitor inside the handset
    load_holding: str = ""  # "load-pressure brake", "worm gear" where the type has it
    notes: tuple[str, ...] = ()
    digest: str = ""  # of the file's content


@dataclass(frozen=True, slots=True)
class OutputType:
    """An output of a receiver type. channel: fault group; key: preset ("stop", "start") or ""."""

    id: str
    channel: str
    key: str = ""
    form: str = "NO"
    pulse: bool = False
    needs_start: bool = False
    label: str = ""


@dataclass(frozen=True, slots=True)
class ReceiverType:
    """A receiver as delivered. modes: those its outputs can be set to; mode_set: how that is done;
    stop_outputs: outputs that open for a stop; values: leakage, standing current ... of the whole."""

    id: str
    title: str
    source: Source
    recognise: tuple[str, ...]
    net: Netlist
    outputs: tuple[OutputType, ...]
    supply_kind: str  # AC | DC | either
    supply_terminals: tuple[str, ...]
    modes: tuple[str, ...]
    mode_set: str
    on_loss: Mapping[str, str]  # mode to "opens" | "stays" | "closes"
    on_return: str | None  # off | restores | None (not known)
    opposing: str  # none | firmware | hardware
    step_two: str  # none | cumulative | replaces | either
    stop_outputs: tuple[str, ...]
    values: Mapping[str, Value] = field(default_factory=lambda: EMPTY)  # leakage, standing_current, ...
    rating: Mapping[str, Value] = field(default_factory=lambda: EMPTY)
    rating_words: Mapping[str, str] = field(default_factory=lambda: NO_WORDS)  # pilot, min_load: as printed
    ingress: str = ""
    lifting: bool = True  # False: refuse for any lifting duty
    lifting_why: str = ""
    notes: tuple[str, ...] = ()
    digest: str = ""


@dataclass(frozen=True, slots=True)
class DeviceType:
    """A device to add. units: names of its units, () where it has none."""

    id: str
    title: str
    source: Source
    kind: str  # contactor-pair, main-contactor, emergency-stop, isolator, fuse, relay, terminal-box, ...
    letter: str  # reference designation letter (IEC 81346)
    net: Netlist
    units: tuple[str, ...] = ()
    values: Mapping[str, Value] = field(default_factory=lambda: EMPTY)
    rating: Mapping[str, Value] = field(default_factory=lambda: EMPTY)
    rating_words: Mapping[str, str] = field(default_factory=lambda: NO_WORDS)
    notes: tuple[str, ...] = ()
    digest: str = ""


@dataclass(frozen=True, slots=True)
class CableType:
    """A cable or cord family. region: us | iec; kind: "flexible cord" | "building wire" | "machine
    wiring" | ...; insulation_c: its temperature [degC]; rated_v [V]; colours: by number of cores."""

    id: str
    title: str
    source: Source
    region: str
    kind: str
    insulation_c: float | None
    rated_v: float | None
    pendant_use: bool | None
    colours: Mapping[str, tuple[str, ...]] = field(default_factory=lambda: MappingProxyType({}))
    sizes: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    digest: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """A trade table: rows by id, columns by name. Numbers are `Value`s, words are text.

    address of a cell: `<table id>/<row id>/<column>`.
    """

    id: str
    title: str
    source: Source
    region: str  # us | iec | both
    rows: Mapping[str, Mapping[str, Value | str | bool]]
    digest: str = ""
    titles: Mapping[str, str] = field(default_factory=lambda: NO_WORDS)  # column to what it holds
    notes: tuple[str, ...] = ()

    def cell(self, row: str, column: str) -> Value | None:
        """The number at row and column, None where the table prints none or a word."""
        found = self.rows.get(row, {}).get(column)
        return found if isinstance(found, Value) else None


@dataclass(frozen=True, slots=True)
class Clause:
    """A clause of a standard or regulation, in our own words."""

    id: str
    standard: str
    edition: str
    clause: str
    text: str
    basis: Basis
    region: str
    where_read: str = ""
    answered_by: tuple[str, ...] = ()  # rule ids, "proof", "commissioning:<test>", "question"


@dataclass(frozen=True, slots=True)
class Catalog:
    """Every entry by id; user files beside the job are entered under the path they were named by."""

    hoists: Mapping[str, HoistType]
    receivers: Mapping[str, ReceiverType]
    devices: Mapping[str, DeviceType]
    cables: Mapping[str, CableType]
    tables: Mapping[str, Table]
    clauses: Mapping[str, Clause]

    def value(self, address: str) -> Value | None:
        """The cell at `table/row/column`, None where there is none."""
        table, _, rest = address.partition("/")
        row, _, column = rest.rpartition("/")
        found = self.tables.get(table)
        return found.cell(row, column) if found else None
