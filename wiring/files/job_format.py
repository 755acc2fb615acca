"""The TOML format of a job, every key of it. Absent and `unknown` mean the same: not known."""

from typing import Annotated, Any, ClassVar

from pydantic import Field

from wiring.files.fields import (
    AnyAmount,
    Block,
    Conductor,
    Count,
    Current,
    Date,
    Frequency,
    Id,
    Length,
    Line,
    Moment,
    OwnerId,
    PointName,
    Power,
    Prose,
    Ratio,
    Resistance,
    Size,
    Speed,
    Switch,
    Temperature,
    Time,
    Voltage,
    text,
    time_or,
    word,
)  # fmt: skip
from wiring.files.job_fields import (
    Address,
    BenchTime,
    ButtonName,
    CellName,
    Hash,
    HoistName,
    KeyName,
    Place,
    ReadingValue,
)  # fmt: skip
from wiring.model import job
from wiring.model.finding import STAGES
from wiring.model.job import KNOWN_BY, MODES, ROLES

SYSTEMS = ("1ph L-N", "1ph L-L", "3ph 3-wire", "3ph 4-wire", "dc")
OUTSIDE = ("explosive", "molten", "stage", "magnet", "passenger", "mobile")
STOP_KINDS = ("isolator", "plug", "wired emergency stop", "radio stop", "local stop")
BENCH_TESTS = (
    "rest", "key", "release", "battery-out", "supply-return", "supply-return-held", "opposite", "range",
)  # fmt: skip


class JobBlock(Block):
    title: Line
    region: Annotated[str, word("us", "iec")]
    stage: Annotated[str, word(*STAGES)]
    country: Annotated[str, text("[A-Z]{2}", "a country code of two letters", "US")] | None = None
    people: Annotated[str, word("outside", "beside", "lifted")] | None = None
    revision: Line | None = None
    date: Date | None = None
    prepared_by: Line | None = None
    example: Switch = False


class GateBlock(Block):
    makes: ClassVar[type] = job.Gate
    isolated_at: Line | None = None
    locked: Switch | None = None
    load_landed: Switch | None = None
    tester_proved: Switch | None = None
    poles_dead: Switch | None = None
    tester_proved_again: Switch | None = None
    capacitor_volts: Voltage | None = None
    transmitter_battery_out: Switch | None = None
    at: Moment | None = None
    qualified_person: Line | None = None


class RiskBlock(Block):
    makes: ClassVar[type] = job.Risk
    severity: Line | None = None
    exposure: Line | None = None
    avoidance: Line | None = None
    by: Line | None = None


class PlaceBlock(Block):
    makes: ClassVar[type] = job.Place
    outside_scope: list[Annotated[str, word(*OUTSIDE)]] | None = None
    sees_load: Annotated[str, word("always", "mostly", "no")] | None = None
    environment: Line | None = None
    clearance: dict[str, Length] = {}
    risk: RiskBlock | None = None


class ProtectiveDeviceBlock(Block):
    makes: ClassVar[type] = job.ProtectiveDevice
    kind: Line | None = None
    rating: Current | None = None
    source: Line | None = None


class SupplyBlock(Block):
    makes: ClassVar[type] = job.Supply
    system: Annotated[str, word(*SYSTEMS)] | None = None
    voltage: Voltage | None = None
    frequency: Frequency | None = None
    tolerance: Ratio | None = None
    protective_device: ProtectiveDeviceBlock | None = None
    rcd: Line | None = None
    fault_current: Current | None = None


class LoadHoldingBlock(Block):
    makes: ClassVar[type] = job.LoadHolding
    by: Line
    source: Line | None = None


class HoistFactsBlock(Block):
    makes: ClassVar[type] = job.HoistFacts
    type: Line | None = None
    type_by: Annotated[str, word("readings", "traced", "diagram", "guess")] | None = None
    type_source: Line | None = None
    hook_speed: Speed | None = None
    starts_per_hour: Count | None = None
    load_holding: LoadHoldingBlock | None = None


class StatedValueBlock(Block):
    makes: ClassVar[type] = job.StatedValue
    of: Address
    is_: Annotated[AnyAmount, Field(alias="is")]
    source: Line | None = None


class MeterBlock(Block):
    makes: ClassVar[type] = job.Meter
    lead_resistance: Resistance | None = None
    low_impedance: Switch | None = None


class CordFactsBlock(Block):
    makes: ClassVar[type] = job.Cord
    type: Line | None = None
    size: Size | None = None
    length: Length | None = None
    order: list[Id] | None = None
    fate: Annotated[str, word("removed", "tail-kept", "kept")] | None = None
    kept_length: Length | None = None


class CoreFactsBlock(Block):
    makes: ClassVar[type] = job.Core
    id: Id
    colour: Line | None = None
    role: Annotated[str, word(*ROLES)] | None = None
    by: Annotated[str, word(*KNOWN_BY)] | None = None
    source: Line | None = None


class PendantContactBlock(Block):
    makes: ClassVar[type] = job.PendantContact
    button: ButtonName
    pole: Count
    form: Annotated[str, word("NO", "NC")]
    between: Annotated[list[Id], Field(min_length=2, max_length=2)]


class PendantBlock(Block):
    fate: Annotated[str, word("removed", "stop-kept", "kept-with-selector")] | None = None
    keep: list[Line] = []
    contact: list[PendantContactBlock] = []


class RatingBlock(Block):
    makes: ClassVar[type] = job.Rating
    resistive: Current | None = None
    general: Current | None = None
    motor_120: Power | None = None
    motor_240: Power | None = None
    ac3: Current | None = None
    ac4: Current | None = None
    ac15_120: Current | None = None
    ac15_240: Current | None = None
    dc13_24: Current | None = None
    pilot: Line | None = None
    make: Current | None = None
    voltage_ac: Voltage | None = None
    voltage_dc: Voltage | None = None
    min_load: Line | None = None
    fuse_max: Current | None = None
    electrical_life: Count | None = None
    source: Line | None = None


class ReceiverOutputBlock(Block):
    makes: ClassVar[type] = job.ReceiverOutput
    id: Line
    key: KeyName | None = None
    print: Line | None = None
    mode: Annotated[str, word(*MODES)] | None = None
    mode_set_by: Line | None = None
    mode_source: Line | None = None
    rating: RatingBlock | None = None


class JumperBlock(Block):
    makes: ClassVar[type] = job.JumperSetting
    id: Line
    fitted: Switch | None = None


class StopFunctionBlock(Block):
    makes: ClassVar[type] = job.StopFunction
    exists: Switch | None = None
    outputs: Count | None = None
    redundant: Switch | None = None
    level: Line | None = None
    claimed_by: Line | None = None


class ReceiverFactsBlock(Block):
    type: Line | None = None
    source: Line | None = None
    on_signal_loss: Annotated[Any, time_or("stays", "closes")] = None
    on_supply_return: Annotated[str, word("off", "restores")] | None = None
    neutral_check: Switch | None = None
    opposing: Annotated[str, word("none", "firmware", "hardware")] | None = None
    dead_time: Time | None = None
    step_two: Annotated[str, word("none", "cumulative", "replaces")] | None = None
    stop_function: StopFunctionBlock | None = None
    output: list[ReceiverOutputBlock] = []
    jumper: list[JumperBlock] = []


class TransmitterBlock(Block):
    makes: ClassVar[type] = job.Transmitter
    id: Id
    keys: list[KeyName] = []
    enable_key: Switch | None = None
    auto_off: Time | None = None


class AddedDeviceBlock(Block):
    makes: ClassVar[type] = job.AddedDevice
    id: OwnerId
    type: Line
    rating: RatingBlock | None = None
    source: Line | None = None


class RemoveBlock(Block):
    wire: HoistName | None = None
    part: HoistName | None = None
    why: Line | None = None


class CableFactsBlock(Block):
    makes: ClassVar[type] = job.Cable
    id: OwnerId
    type: Line | None = None
    size: Size | None = None
    length: Length | None = None
    ambient: Temperature | None = None
    order: list[Id] | None = None


class ConnectionBlock(Block):
    makes: ClassVar[type] = job.Connection
    from_: Annotated[PointName, Field(alias="from")]
    to: PointName
    conductor: Conductor | None = None
    number: Line | None = None
    size: Size | None = None


class StopFactBlock(Block):
    makes: ClassVar[type] = job.StopFact
    id: Id
    kind: Annotated[str, word(*STOP_KINDS)] | None = None
    device: Line | None = None
    reach: Annotated[str, word("operator", "near", "elsewhere")] | None = None
    distance: Length | None = None
    path_clear: Switch | None = None
    lockable: Switch | None = None
    where: Line | None = None


class ReadingBlock(Block):
    makes: ClassVar[type] = job.Reading
    between: Annotated[list[Place], Field(min_length=2, max_length=2)]
    side: Annotated[str, word("handset", "hoist")] | None = None
    state: Line | None = None
    quantity: Annotated[str, word("ohms", "volts AC", "volts DC")]
    value: ReadingValue
    at: Moment | None = None


class BenchBlock(Block):
    test: Annotated[str, word(*BENCH_TESTS)]
    output: Line | None = None
    result: Annotated[str, word("opens", "closes", "stays")]
    time: BenchTime = None


class ConfirmBlock(Block):
    makes: ClassVar[type] = job.Confirm
    entry: CellName
    is_: Annotated[Line, Field(alias="is")]
    by: Line | None = None
    source: Line | None = None
    second: Line | None = None
    ours: Line | None = None


class PartsBlock(Block):
    makes: ClassVar[type] = job.Parts
    circuit: Hash = ""
    ratings: Hash = ""
    settings: Hash = ""
    catalog: Hash = ""


class ApprovalBlock(Block):
    makes: ClassVar[type] = job.Approval
    by: Line
    licence: Line | None = None
    digest: Hash | None = None
    parts: PartsBlock | None = None
    date: Date | None = None


class AnswerBlock(Block):
    makes: ClassVar[type] = job.Answer
    requirement: Line
    text: Prose


class RecordBlock(Block):
    makes: ClassVar[type] = job.Record
    test: Line
    measured: Line
    by: Line | None = None
    digest: Hash | None = None
    parts: PartsBlock | None = None


class JobFile(Block):
    """The whole file."""

    job: JobBlock
    gate: GateBlock | None = None
    place: PlaceBlock | None = None
    supply: SupplyBlock = SupplyBlock.model_construct()
    hoist: HoistFactsBlock = HoistFactsBlock.model_construct()
    value: list[StatedValueBlock] = []
    meter: MeterBlock = MeterBlock.model_construct()
    cord: CordFactsBlock = CordFactsBlock.model_construct()
    core: list[CoreFactsBlock] = []
    pendant: PendantBlock = PendantBlock.model_construct()
    receiver: ReceiverFactsBlock = ReceiverFactsBlock.model_construct()
    transmitter: list[TransmitterBlock] = []
    device: list[AddedDeviceBlock] = []
    remove: list[RemoveBlock] = []
    cable: list[CableFactsBlock] = []
    connection: list[ConnectionBlock] = []
    stop: list[StopFactBlock] = []
    reading: list[ReadingBlock] = []
    bench: list[BenchBlock] = []
    confirm: list[ConfirmBlock] = []
    approval: list[ApprovalBlock] = []
    answer: list[AnswerBlock] = []
    record: list[RecordBlock] = []
