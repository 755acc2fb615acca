"""What a compiled circuit is made of: switches, loads, coils, sources, transformers, by node number."""

from __future__ import annotations

from dataclasses import dataclass

from wiring.model.circuit import Part

TWO_PIN = frozenset(
    ("coil", "winding", "capacitor", "brake", "load", "supply-input", "suppressor", "drive-input")
)


@dataclass(frozen=True, slots=True)
class Switch:
    """Something that opens and closes. cause: "" for a fuse; rating [A] for a fuse."""

    part: Part
    a: int
    b: int
    cause: str
    rating: float = 0.0


@dataclass(frozen=True, slots=True)
class Load:
    """Something that takes current between two nodes. name: the part's, or `motor.U` for a
    phase; out, sealed, locked: admittance by frequency index [S]; coil: index in `coils`
    or -1; switch: index of the open semiconductor whose leakage it is, or -1."""

    name: str
    part: Part
    a: int
    b: int
    out: tuple[complex, ...]
    sealed: tuple[complex, ...]
    locked: tuple[complex, ...]
    coil: int = -1
    switch: int = -1


@dataclass(frozen=True, slots=True)
class Coil:
    """Something that is in or out by its voltage. rated, pick_up, drop_out [V]; against:
    coil mask of the mechanical interlock; forced: True in, False out, None free."""

    name: str
    kind: str
    load: int
    rated: float
    pick_up: float
    drop_out: float
    against: int
    forced: bool | None


@dataclass(frozen=True, slots=True)
class Source:
    """A stiff voltage from minus to plus: phasor by frequency index [V]."""

    part: Part
    plus: int
    minus: int
    volts: tuple[complex, ...]


@dataclass(frozen=True, slots=True)
class Transformer:
    """Two coupled pairs of nodes. ratio: secondary volts per primary volt; impedance [ohm] and
    no_load [S] at the secondary; rectifier: the secondary is the mean of the primary."""

    part: Part
    nodes: tuple[int, int, int, int]
    ratio: float
    impedance: complex
    no_load: complex
    rectifier: bool

    @property
    def p1(self) -> int:
        """First primary node."""
        return self.nodes[0]

    @property
    def p2(self) -> int:
        """Second primary node."""
        return self.nodes[1]

    @property
    def s1(self) -> int:
        """First secondary node (plus of a rectifier)."""
        return self.nodes[2]

    @property
    def s2(self) -> int:
        """Second secondary node (minus of a rectifier)."""
        return self.nodes[3]
