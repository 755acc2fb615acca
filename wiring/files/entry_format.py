"""The TOML format of hoist, receiver, device and cable types: which keys, which kinds of value."""

from typing import Annotated, Any, ClassVar

from pydantic import Field

from wiring.files.fields import (
    Block,
    Count,
    Line,
    Number,
    Prose,
    Reads,
    Size,
    Switch,
    Temperature,
    Torque,
    shown,
    text,
    word,
    wrong,
)
from wiring.files.fields import Voltage as VoltageAmount
from wiring.model import entry
from wiring.model.value import Basis

BASES: tuple[Basis, ...] = ("read", "derived", "practice", "stated", "memory", "placeholder")
PART_KINDS = (
    "source", "wire", "fuse", "contact", "coil", "winding", "motor3", "capacitor", "transformer", "brake",
    "rectifier", "load", "supply-input", "suppressor", "drive-input", "semiconductor",
)  # fmt: skip
SYSTEMS = ("1ph L-N", "1ph L-L", "3ph 3-wire", "3ph 4-wire", "dc")
INSERTIONS = ("main-contactor", "control-feed", "receiver-supply", "motor-line", "isolator")


def _raw(value: Any) -> Any:
    """A stated value: text with a unit, a bare number (ratios, degrees), or a table with its own basis."""
    if isinstance(value, bool) or not isinstance(value, (str, int, float, dict)):
        raise wrong(
            shown(value), 'a value such as "24 V", or { is = "24 V", basis = "read", source = "..." }'
        )
    return value


Stated = Annotated[
    Any,
    Reads(
        _raw,
        {
            "anyOf": [
                {"type": "string", "examples": ["24 V", "6.2 ohm", "70 VA"]},
                {"type": "number"},
                {
                    "type": "object",
                    "properties": {"is": {}, "basis": {"enum": list(BASES)}},
                    "required": ["is"],
                },
            ]
        },
    ),
]
Name = Annotated[str, text(r"[^\s\"']{1,40}", "a name without blanks", "X1.3")]
PartName = Annotated[str, text(r"[^\s\"']{0,40}", "a name without blanks", "K1.13-14")]
EntryId = Annotated[str, text(r"[a-z0-9][a-z0-9-]{0,60}", "an id like the file name", "contactor-pair-24")]
BasisWord = Annotated[str, word(*BASES)]


class SourceBlock(Block):
    makes: ClassVar[type] = entry.Source
    title: Line
    edition: Line = ""
    table: Line = ""
    basis: BasisWord = "memory"
    where_read: Prose = ""
    note: Prose = ""


class TerminalBlock(Block):
    makes: ClassVar[type] = entry.Terminal
    id: Name
    print: Line = ""
    kind: Line = "screw"
    size_min: Size | None = None
    size_max: Size | None = None
    torque: Torque | None = None
    max_wires: Count | None = None


class PartBlock(Block):
    """A part; every key below `note` is a value and belongs to some kinds of part only."""

    id: PartName = ""
    kind: Annotated[str, word(*PART_KINDS)]
    at: list[Name]
    form: Annotated[str, word("NO", "NC")] = ""
    by: Name = ""
    role: Name = ""
    rect: Annotated[str, word("half", "full", "none", "rc", "varistor", "diode", "bleeder")] = ""
    label: Line = ""
    fitted: Switch = True
    basis: BasisWord | None = None
    source: Line | None = None
    note: Prose = ""
    voltage: Stated = None
    frequency: Stated = None
    phase: Stated = None
    resistance: Stated = None
    reactance: Stated = None
    rating: Stated = None
    inrush: Stated = None
    inrush_pf: Stated = None
    sealed: Stated = None
    sealed_pf: Stated = None
    pick_up: Stated = None
    drop_out: Stated = None
    close_time: Stated = None
    open_time: Stated = None
    run_r: Stated = None
    run_x: Stated = None
    locked_r: Stated = None
    locked_x: Stated = None
    capacitance: Stated = None
    primary: Stated = None
    secondary: Stated = None
    power: Stated = None
    primary_resistance: Stated = None
    secondary_resistance: Stated = None
    impedance: Stated = None
    minimum: Stated = None
    maximum: Stated = None
    on: Stated = None
    off: Stated = None
    leakage: Stated = None


class CoreBlock(Block):
    makes: ClassVar[type] = entry.EntryCore
    role: Name
    at: Name
    colours: list[Line] = []
    current: Annotated[Any, Reads(_raw, {"type": "string", "examples": ["0.35 A"]})] = None
    about: Prose = ""


class ContactBlock(Block):
    makes: ClassVar[type] = entry.HandsetContact
    id: Name
    by: Name
    form: Annotated[str, word("NO", "NC")]
    between: Annotated[list[Name], Field(min_length=2, max_length=2)]


class CordBlock(Block):
    colourings: list[Line] = []
    handset_junctions: list[Name] = []
    cores: list[CoreBlock]
    contacts: list[ContactBlock] = []
    handset_parts: list[PartBlock] = []


class ThermalBlock(Block):
    id: Name
    auto_reset: Switch


class ButtonBlock(Block):
    makes: ClassVar[type] = entry.Button
    id: Name
    motion: Line = ""
    label: Line = ""


class LimitBlock(Block):
    makes: ClassVar[type] = entry.EntryLimit
    id: Name
    kind: Annotated[str, word("first", "back-up", "capacity", "slack-rope")]
    motion: Line
    reset: Line = ""


class StopBlock(Block):
    id: Name
    kind: Annotated[
        str, word("isolator", "plug", "wired emergency stop", "radio stop", "local stop", "pendant stop")
    ]
    reach: Annotated[str, word("operator", "near", "elsewhere")]
    parts: list[Name] = []


class MotorBlock(Block):
    """A motor; keys from `voltage` on are its nameplate."""

    id: Name
    kind: Annotated[
        str,
        word("capacitor", "main-auxiliary", "three-phase", "dc-permanent-magnet", "series", "drive"),
    ]
    parts: list[Name]
    positive: Line
    negative: Line
    duty: Annotated[str, word("hoist", "travel", "winch")] = "hoist"
    hook: Name = "main"
    basis: BasisWord | None = None
    source: Line | None = None
    voltage: Stated = None
    frequency: Stated = None
    power: Stated = None
    full_load_current: Stated = None
    locked_rotor_current: Stated = None
    no_load_current: Stated = None
    power_factor: Stated = None
    locked_power_factor: Stated = None
    efficiency: Stated = None
    duty_time: Stated = None


class BrakeBlock(Block):
    makes: ClassVar[type] = entry.EntryBrake
    id: Name
    released_by: Annotated[str, word("flux", "coil")]
    part: PartName = ""
    motors: list[Name]
    side: Annotated[str, word("ac", "dc")] = ""
    hook: Name = "main"


class InsertionBlock(Block):
    makes: ClassVar[type] = entry.Insertion
    place: Annotated[str, word(*INSERTIONS)]
    remove: list[Name] = []
    frees: list[Name] = []
    note: Prose = ""


class ExpectBlock(Block):
    makes: ClassVar[type] = entry.Expected
    press: list[Name] = []
    open: list[Name] = []
    motions: list[Line] = []
    energised: list[Name] | None = None
    result: Annotated[str, word("short", "stall")] = ""
    start: Switch = False


Wire = Annotated[list[Name], Field(min_length=3, max_length=4)]  # id, end, end, number
Pair = Annotated[list[Name], Field(min_length=2, max_length=2)]


class NetBlock(Block):
    """What hoists, receivers and devices have in common."""

    id: EntryId
    title: Line
    source: SourceBlock
    recognise: list[Prose] = []
    notes: list[Prose] = []
    terminals: list[Any] = []
    junctions: list[Name] = []
    parts: list[PartBlock] = []
    wires: list[Wire] = []
    interlocks: list[Pair] = []


class HoistBlock(NetBlock):
    supply_system: Annotated[str, word(*SYSTEMS)]
    voltage: VoltageAmount
    frequency: Annotated[Any, Reads(_raw, {"type": "string", "examples": ["50 Hz"]})]
    earth: Name
    load_holding: Line = ""
    exclusive: list[list[Name]] = []
    thermals: list[ThermalBlock] = []
    cord: CordBlock
    button: list[ButtonBlock]
    limit: list[LimitBlock] = []
    stop: list[StopBlock] = []
    motor: list[MotorBlock]
    brake: list[BrakeBlock] = []
    insertion: list[InsertionBlock] = []
    expect: list[ExpectBlock] = []


class OutputBlock(Block):
    makes: ClassVar[type] = entry.OutputType
    id: Name
    channel: Line
    key: Name = ""
    form: Annotated[str, word("NO", "NC", "CO")] = "NO"
    pulse: Switch = False
    needs_start: Switch = False
    label: Line = ""


class ReceiverBlock(NetBlock):
    supply_kind: Annotated[str, word("AC", "DC", "either")]
    supply_terminals: list[Name]
    modes: list[
        Annotated[
            str, word("momentary", "latching", "toggle", "timed", "interlocked-latching", "run-to-limit")
        ]
    ]
    mode_set: Line = ""
    on_loss: dict[str, Annotated[str, word("opens", "stays", "closes")]] = {}
    on_return: Annotated[str, word("off", "restores")] | None = None
    opposing: Annotated[str, word("none", "firmware", "hardware")]
    step_two: Annotated[str, word("none", "cumulative", "replaces", "either")] = "none"
    stop_outputs: list[Name] = []
    ingress: Line = ""
    lifting: Switch = True
    lifting_why: Prose = ""
    output: list[OutputBlock]
    rating: dict[str, Stated] = {}
    values: dict[str, Stated] = {}


class DeviceBlock(NetBlock):
    kind: Name
    letter: Annotated[str, text(r"[A-Z]{1,3}", "a designation letter", "Q")]
    units: list[Name] = []
    rating: dict[str, Stated] = {}
    values: dict[str, Stated] = {}


class CableBlock(Block):
    id: EntryId
    title: Line
    source: SourceBlock
    region: Annotated[str, word("us", "iec", "both")]
    kind: Line
    insulation: Temperature | None = None
    rated_voltage: VoltageAmount | None = None
    pendant_use: Switch | None = None
    colours: dict[str, list[Line]] = {}
    sizes: list[Size] = []
    notes: list[Prose] = []


class ClauseBlock(Block):
    id: Name
    clause: Line
    text: Prose
    standard: Line | None = None
    edition: Line | None = None
    basis: BasisWord | None = None
    region: Annotated[str, word("us", "iec", "both")] | None = None
    where_read: Prose | None = None
    answered_by: list[Line] = []


class ClauseFile(Block):
    standard: Line
    edition: Line = ""
    region: Annotated[str, word("us", "iec", "both")]
    title: Line = ""
    source: SourceBlock
    clause: list[ClauseBlock]


class ColumnBlock(Block):
    unit: Line | None = None
    title: Line = ""
    basis: BasisWord | None = None
    source: Line | None = None
    spread: Number | None = None


class TableFile(Block):
    id: EntryId
    title: Line
    region: Annotated[str, word("us", "iec", "both")]
    note: Prose = ""
    notes: list[Prose] = []
    source: SourceBlock
    columns: dict[str, ColumnBlock]
    rows: dict[str, dict[str, Any]]
