"""What the circuit does: settled states, truth tables, events, faults, stops.

A *state* is the set of inputs that are operated (`Input.kind` says whether
that reads as pressed or as open). The empty set is: nothing pressed, link and
supply there, no limit reached, no stop pressed.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

State = frozenset[str]


@dataclass(frozen=True, slots=True)
class Settled:
    """The circuit at rest in one state.

    energised: coil parts that are in (the receiver's supply input counts as
    one); closed: contact parts closed now; motions: sorted; torque: motor name
    to "positive" | "negative" | "stall" | "single-phase" | "none"; volts,
    amps: part name to phasor across / through it [V, A, rms]; potential: point
    name to phasor against earth, absent where the point floats; brakes_open:
    brake names; shorts: sources short-circuited ("V1 through ..."); blown: fuses
    that open; may_hold: coils or inputs between drop-out and pick-up;
    marginal: loads within 5 % of a threshold; race: the order of coil changes matters.
    """

    state: State
    energised: tuple[str, ...]
    closed: tuple[str, ...]
    motions: tuple[str, ...]
    torque: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    volts: Mapping[str, complex] = field(default_factory=lambda: MappingProxyType({}))
    amps: Mapping[str, complex] = field(default_factory=lambda: MappingProxyType({}))
    potential: Mapping[str, complex] = field(default_factory=lambda: MappingProxyType({}))
    brakes_open: tuple[str, ...] = ()
    shorts: tuple[str, ...] = ()
    blown: tuple[str, ...] = ()
    may_hold: tuple[str, ...] = ()
    marginal: tuple[str, ...] = ()
    race: bool = False
    memory: tuple[str, ...] = ()  # receiver outputs latched or armed, carried to the next state


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a truth table. any: inputs that do not matter (merged rows)."""

    pressed: tuple[str, ...]
    open: tuple[str, ...]
    any: tuple[str, ...]
    motions: tuple[str, ...]
    energised: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Truth:
    """A truth table. complete: every feasible vector was settled; vectors: how many."""

    complete: bool
    vectors: int
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Difference:
    """A state in which the conversion moves differently. judgement: worse | better | same | other."""

    pressed: tuple[str, ...]
    open: tuple[str, ...]
    before: tuple[str, ...]
    after: tuple[str, ...]
    judgement: str


@dataclass(frozen=True, slots=True)
class Event:
    """Something happened in a settled state. event: "release", "link lost", "link back held",
    "supply lost", "supply back held", "stop reset held", "thermal reset held",
    "opposite key", ...; verdict: pass | fail | unknown; why: one sentence."""

    event: str
    about: str
    pressed: tuple[str, ...]
    open: tuple[str, ...]
    latched: tuple[str, ...]
    motions: tuple[str, ...]
    energised: tuple[str, ...]
    verdict: str
    why: str = ""
    motions_before: tuple[str, ...] = ()
    subject: str = ""  # the input that changed


@dataclass(frozen=True, slots=True)
class Hazard:
    """One hazard of one fault. stops_left: stops that are seen to end it, best first."""

    hazard: str
    motion: str
    stops_left: tuple[str, ...]
    score_before: int | None
    score_after: int | None


@dataclass(frozen=True, slots=True)
class FaultResult:
    """One fault set and what it leads to. judgement: worse | same | better | none."""

    fault: tuple[str, ...]
    kind: str  # the fault's class: command contact, power contact, conductor, ...
    hazards: tuple[Hazard, ...]
    compared_with: str
    judgement: str
    below_floor: bool
    story: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Faults:
    """All faults of one kind ("single" | "double"). sampled: not every one was run; before: the
    same for the circuit as found, its scores in `score_before`, judged by the floor alone."""

    kind: str
    count: int
    worse: int
    same: int
    better: int
    none: int
    below_floor: int
    results: tuple[FaultResult, ...]
    sampled: bool = False
    seconds: float = 0.0
    before: tuple[FaultResult, ...] = ()
    notes: tuple[str, ...] = ()  # what was left out: states, runs, pairs


@dataclass(frozen=True, slots=True)
class StopRow:
    """One row of the stop matrix: what still ends `motion` after `fault`. cells: column to
    True (ends it) | False (does not) | None (not present)."""

    motion: str
    fault: tuple[str, ...]
    before: Mapping[str, bool | None]
    after: Mapping[str, bool | None]
    judged: str


@dataclass(frozen=True, slots=True)
class Sneak:
    """A load with a voltage it should not have, or points newly joined or parted."""

    about: str
    kind: str  # "partial-voltage" | "joined" | "parted"
    subject: str
    state: State
    volts: float
    fraction: float
    path: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Race:
    """A state in which the order of coil changes decides what moves."""

    about: str
    pressed: tuple[str, ...]
    open: tuple[str, ...]
    outcomes: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Behaviour:
    """Everything the simulation showed about the circuit as found and as converted."""

    before: Truth
    after: Truth
    differences: tuple[Difference, ...]
    events: tuple[Event, ...]
    faults: Faults | None
    stops: tuple[StopRow, ...]
    races: tuple[Race, ...]
    sneaks: tuple[Sneak, ...]
    not_shown: tuple[str, ...]
    seconds: float
    settled_before: tuple[Settled, ...] = ()  # at most 512 states each; the first is rest
    settled_after: tuple[Settled, ...] = ()
