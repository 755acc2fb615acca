"""The circuit: parts on points. One object as found, one as converted.

A *point* is a place that carries one potential by itself: a terminal that a
person can touch, or a junction inside a sealed thing. Points are joined by
wires and closed contacts only, and those are parts like any other, so that
they can be removed, broken, welded and shorted. There are no other nodes.

Names. A point is `owner[.unit]:terminal` (`core:2`, `hoist:X1.3`,
`K10.up:A1`, `plug:L`). A part is named the same way (`hoist:K1`,
`hoist:K1.13-14`, `K10.up`, `K10.up:1-2`, `W1:2`). Inputs are `button:up`,
`key:up`, `key:up.2`, `limit:up`, `stop:S0`, `thermal:OL`, `link`, `supply`,
`selector:S5.radio`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Literal

from wiring.model.value import Value

About = Literal["before", "after"]

PartKind = Literal[
    "source",  # pins: plus, minus. values: voltage, frequency (0 = DC), phase (degrees), resistance
    "wire",  # pins: from, to. values: resistance; jumpers, cores and cable conductors are wires
    "fuse",  # pins: 1, 2. values: rating
    "contact",  # pins: 1, 2. form and by say when it is closed. values: resistance
    "coil",  # pins: A1, A2. values: voltage, frequency, resistance (DC ohm), inrush, inrush_pf, sealed,
    #          sealed_pf (VA), pick_up, drop_out (fractions of rated voltage), close_time, open_time
    "winding",  # pins: 1, 2. values: resistance, run_r, run_x, locked_r, locked_x
    "motor3",  # pins: U, V, W. values per phase in star: resistance, run_r, run_x, locked_r, locked_x
    "capacitor",  # pins: 1, 2. values: capacitance, voltage
    "transformer",  # pins: p1, p2, s1, s2. values: primary, secondary (V), power (VA),
    #                 primary_resistance, secondary_resistance, impedance (ratio)
    "brake",  # pins: 1, 2. values: resistance, voltage; rect says how it is fed
    "rectifier",  # pins: ac1, ac2, plus, minus
    "load",  # pins: 1, 2. values: resistance, reactance (series ohm), minimum, maximum
    "supply-input",  # pins: 1, 2. the receiver's own supply. values: minimum, maximum (V), power (VA)
    "suppressor",  # pins: 1, 2. values: capacitance, resistance; rect = rc | varistor | diode | bleeder
    "drive-input",  # pins: 1, 2. values: resistance, on, off (V), leakage (A)
    "semiconductor",  # pins: 1, 2. an electronic output; closed like a contact. values: leakage (A)
]


@dataclass(frozen=True, slots=True)
class Point:
    """A place in the circuit. terminal: a person can touch it; zone: where it is."""

    name: str
    owner: str
    terminal: bool
    zone: Literal["supply", "hoist", "cord", "handset", "receiver", "device", "cable"]
    label: str = ""


@dataclass(frozen=True, slots=True)
class Part:
    """One part between points.

    pins: point names in the order given beside `PartKind`. by: what closes (NO)
    or opens (NC) a contact: an input name (`button:up`, `limit:up`, `stop:S0`,
    `thermal:OL`, `selector:S5.radio`), `coil:<part name>` or `output:<id>` of
    the receiver. role: "power" or "aux" for contactor contacts, the core's role
    for a core, "" else. values: property name to `Value`.
    """

    name: str
    kind: PartKind
    pins: tuple[str, ...]
    owner: str
    form: Literal["", "NO", "NC"] = ""
    by: str = ""
    role: str = ""
    rect: str = ""
    colour: str = ""
    size: str = ""
    number: str = ""
    label: str = ""
    cable: str = ""
    values: Mapping[str, Value] = field(default_factory=lambda: MappingProxyType({}))


@dataclass(frozen=True, slots=True)
class Input:
    """One thing that is operated or not. kind decides which list of a state it
    stands in: buttons and keys are *pressed*, all others are *open* when
    operated (limit reached, stop pressed, thermal tripped, link or supply lost).

    implies: a second step implies its first. fallback: rest position of a selector.
    """

    name: str
    kind: Literal["button", "key", "limit", "stop", "thermal", "link", "supply", "selector"]
    implies: str = ""
    label: str = ""


@dataclass(frozen=True, slots=True)
class Output:
    """One receiver output as set on this job. name: `receiver:CH1`.

    key: the input that drives it; mode, on_loss, on_return: None where the job
    does not say. on_loss: "opens" | "stays" | "closes"; on_return: "off" |
    "restores". invert: a stop output, closed while its key is *not* pressed.
    needs_start: closes only after START once link and supply are there.
    """

    name: str
    key: str
    mode: str | None
    channel: str
    on_loss: str | None
    on_return: str | None
    neutral_check: bool | None
    invert: bool = False
    needs_start: bool = False
    pulse: bool = False
    yields_to: tuple[str, ...] = ()  # keys that open this output though its own is pressed: the second
    #   step of its key where step two is set to replace step one


@dataclass(frozen=True, slots=True)
class Motor:
    """What turns, and which way the numbers mean.

    kind: "capacitor" (two equal windings; parts = winding a, winding b),
    "main-auxiliary" (main, auxiliary), "three-phase" (one motor3 part),
    "dc-permanent-magnet" (one winding), "series" (field, armature), "drive"
    (forward input, reverse input, then every enable or safe-torque-off input).
    positive, negative: motion names. values: nameplate (full_load_current,
    locked_rotor_current, voltage, frequency, power, ...).
    """

    name: str
    kind: str
    parts: tuple[str, ...]
    positive: str
    negative: str
    duty: Literal["hoist", "travel", "winch"] = "hoist"
    hook: str = "main"
    values: Mapping[str, Value] = field(default_factory=lambda: MappingProxyType({}))


@dataclass(frozen=True, slots=True)
class Brake:
    """A brake: released by the motor's own flux or by its coil.

    part: the brake part where it has a coil, "" for a flux brake. motors: the
    motors whose torque must be there when it is open. side: "ac" | "dc" switched.
    """

    name: str
    released_by: Literal["flux", "coil"]
    part: str
    motors: tuple[str, ...]
    side: str = ""
    hook: str = "main"


@dataclass(frozen=True, slots=True)
class Limit:
    """A limiter. kind: "first" | "back-up" | "capacity" | "slack-rope"; motion: what it must stop."""

    input: str
    kind: str
    motion: str
    reset: str = ""


@dataclass(frozen=True, slots=True)
class Stop:
    """A means of stopping that the circuit contains.

    input: `stop:S0`; rank: reach of the operator, 3 at the hand, 2 near, 1 elsewhere;
    parts: contact parts it opens; kind: "isolator" | "plug" | "wired emergency
    stop" | "radio stop" | "local stop" | "pendant stop".
    """

    input: str
    kind: str
    rank: int
    parts: tuple[str, ...]
    where: str = ""
    lockable: bool | None = None


@dataclass(frozen=True, slots=True)
class Removed:
    """A wire, core or handset part that goes, and the ends it leaves."""

    name: str
    ends: tuple[str, ...]
    why: str = ""


@dataclass(frozen=True, slots=True)
class Circuit:
    """Parts on points with the inputs that operate them. Plain data; verbs live in the rooms."""

    about: About
    points: tuple[Point, ...]
    parts: tuple[Part, ...]
    inputs: tuple[Input, ...]
    outputs: tuple[Output, ...] = ()
    motors: tuple[Motor, ...] = ()
    brakes: tuple[Brake, ...] = ()
    limits: tuple[Limit, ...] = ()
    stops: tuple[Stop, ...] = ()
    interlocks: tuple[tuple[str, str], ...] = ()  # mechanical: coil parts never both in
    exclusive: tuple[tuple[str, ...], ...] = ()  # inputs of which one at a time can be pressed
    auto_reset: tuple[str, ...] = ()  # thermal inputs that reset by themselves
    channels: Mapping[str, tuple[str, ...]] = field(default_factory=lambda: MappingProxyType({}))
    removed: tuple[Removed, ...] = ()
    core_order: tuple[str, ...] = ()  # core parts that lie side by side, in order
    conductor_order: Mapping[str, tuple[str, ...]] = field(default_factory=lambda: MappingProxyType({}))
    # other names of a point: `core:2` is the hoist terminal where core 2 sits, unless a tail is kept
    aliases: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    earth: str = ""  # the point that is the protective earth
    expected: Mapping[str, tuple[str, ...]] = field(default_factory=lambda: MappingProxyType({}))

    def part(self, name: str) -> Part:
        """The part of that name. Raises KeyError for an unknown name."""
        for part in self.parts:
            if part.name == name:
                return part
        raise KeyError(name)
