"""What the commissioning tests of one job share: circuit, meter, times, tolerances, keys and motions."""

from __future__ import annotations

from dataclasses import dataclass, field

from wiring.files.quantity import show
from wiring.model.behaviour import Settled, State
from wiring.model.circuit import Circuit
from wiring.model.entry import Catalog
from wiring.model.job import Job
from wiring.simulate.expect import Level, Meter
from wiring.simulate.expect_times import Times

NOT_MOTION = ("key:start", "key:stop")


@dataclass(frozen=True, slots=True)
class Band:
    """A figure with its band, widened by the meter's tolerance."""

    nominal: float
    low: float
    high: float
    rests_on: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Site:
    """One converted hoist, ready to be tested."""

    job: Job
    catalog: Catalog
    circuit: Circuit
    meter: Meter
    times: Times
    _held: dict[State, Settled] = field(default_factory=dict)

    def held(self, key: str) -> State:
        """The inputs that are operated while a key is held: a second step holds its first."""
        item = next((i for i in self.circuit.inputs if i.name == key), None)
        return frozenset((key, item.implies)) - {""} if item else frozenset((key,))

    def settled(self, state: State) -> Settled:
        """The circuit at rest with these inputs operated, real wires."""
        if state not in self._held:
            self._held[state] = self.meter.state(self.meter.network, state)
        return self._held[state]

    def commands(self) -> dict[str, tuple[str, ...]]:
        """Key to what moves while it is held alone, keys that move nothing left out."""
        found = {}
        for item in self.circuit.inputs:
            if item.kind == "key" and item.name not in NOT_MOTION:
                motions = self.settled(self.held(item.name)).motions
                if motions:
                    found[item.name] = motions
        return found

    def motions(self) -> tuple[str, ...]:
        """Everything that this hoist can do."""
        found = [m for motor in self.circuit.motors for m in (motor.positive, motor.negative) if m]
        return tuple(dict.fromkeys(found))

    def band(self, level: Level, row: str, column: str) -> Band:
        """A level widened by the tolerance of its kind of reading."""
        table = self.catalog.tables["commissioning"]
        share, plus = table.cell(row, "ratio"), table.cell(row, column)
        if share is None or plus is None:
            raise KeyError(f"commissioning/{row}")
        return Band(
            level.nominal,
            max(0.0, level.low * (1 - share.si) - plus.si),
            level.high * (1 + share.si) + plus.si,
            level.rests_on,
        )

    def shown(self, band: Band, unit: str) -> str:
        """A band as the paper prints it."""
        guide = ", wide: placeholders" if band.rests_on else ""
        low, high = show(band.low, unit).split(" ")[0], show(band.high, unit)
        return f"{show(band.nominal, unit)} ({low} to {high}{guide})"


def bare(key: str) -> str:
    """`key:up.2` as a piece of a test's id: `up-2`."""
    return key.partition(":")[2].replace(".", "-").replace(" ", "-")
