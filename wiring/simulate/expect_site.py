"""What the commissioning tests of one job share: circuit, meter, times, tolerances, keys and motions."""

from __future__ import annotations

from dataclasses import dataclass, field

from wiring.files.quantity import show
from wiring.model.behaviour import Settled, State
from wiring.model.circuit import Circuit
from wiring.model.entry import Catalog
from wiring.model.job import Job
from wiring.simulate.expect import Level, Meter
from wiring.simulate.expect_keys import holding, named
from wiring.simulate.expect_times import Times


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
        """The inputs that are operated while a key commands: a second step holds its first, an
        enabling button is held with it."""
        return holding(self.meter.network)[key]

    def said(self, key: str) -> str:
        """A key in words, with what else has to be held."""
        return named(key, self.held(key))

    def settled(self, state: State) -> Settled:
        """The circuit at rest with these inputs operated, real wires."""
        if state not in self._held:
            self._held[state] = self.meter.state(self.meter.network, state)
        return self._held[state]

    def commands(self) -> dict[str, tuple[str, ...]]:
        """Key to what moves while it is held alone, keys that move nothing left out."""
        moves = {key: self.settled(held).motions for key, held in holding(self.meter.network).items()}
        return {key: motions for key, motions in moves.items() if motions}

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
