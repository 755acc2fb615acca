"""What a rule may ask: the job, the circuits, the behaviour, and every number through one door.

Numbers that a verdict can rest on are fetched here and nowhere else, so that
the runner knows which table cell, part property or stated value stood behind a
finding and can try the rule again with that number moved.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Any, TypeVar

from wiring.check.confirm import confirmed
from wiring.check.draft import Draft, Missing, lacking, unknown
from wiring.model.behaviour import Behaviour, Faults, Settled
from wiring.model.circuit import Circuit, Motor, Part
from wiring.model.entry import Catalog, HoistType, ReceiverType
from wiring.model.job import Job, Parts
from wiring.model.value import Amount, Value, certain

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Facts:
    """Everything that is judged. The circuits and the behaviour are None where a type is unknown."""

    job: Job
    catalog: Catalog
    before: Circuit | None
    after: Circuit | None
    behaviour: Behaviour | None
    digest: str = ""
    parts: Parts = field(default_factory=Parts)
    cache: dict[object, Any] = field(
        default_factory=dict, compare=False
    )  # of what rules look up again and again
    complete: Callable[[], Behaviour] | None = None  # the behaviour with its faults, where they are under way

    @property
    def faults(self) -> Faults | None:
        """The fault analysis, waited for; None where no faults were run."""
        if self.complete is not None:
            return self.complete().faults
        return self.behaviour.faults if self.behaviour is not None else None


class Case:
    """One rule's view of the facts, with some weak values moved, noting every value used."""

    def __init__(self, facts: Facts, danger: int, moved: Mapping[str, float] | None = None) -> None:
        self.facts = facts
        self.job: Job = facts.job
        self.catalog: Catalog = facts.catalog
        self.region: str = facts.job.region
        self._danger = danger
        self._moved = moved or {}
        self._fresh: dict[str, Value] = {}
        self.used: dict[str, Value] = {}

    # what was built and what it does -------------------------------------------------

    @property
    def before(self) -> Circuit:
        if self.facts.before is None:
            raise Missing("hoist.type", "find the type: holdrun identify, or its maker's diagram")
        return self.facts.before

    @property
    def after(self) -> Circuit:
        if self.facts.after is None:
            key = "hoist.type" if self.job.hoist.type is None else "receiver.type"
            raise Missing(key, "name the type, or a file of your own beside the job")
        return self.facts.after

    @property
    def behaviour(self) -> Behaviour:
        if self.facts.behaviour is None:
            raise Missing("receiver.type", "name the hoist and receiver types, then the circuits can be run")
        return self.facts.behaviour

    @property
    def faults(self) -> Faults | None:
        """The fault analysis, None where no faults were run. Only here: it may still be under way."""
        return self.facts.faults

    @property
    def hoist_type(self) -> HoistType | None:
        return self.catalog.hoists.get(self.job.hoist.type) if self.job.hoist.type else None

    @property
    def receiver_type(self) -> ReceiverType | None:
        return self.catalog.receivers.get(self.job.receiver.type) if self.job.receiver.type else None

    def circuit(self, about: str) -> Circuit:
        return self.before if about == "before" else self.after

    def settled(self, about: str) -> tuple[Settled, ...]:
        return self.behaviour.settled_before if about == "before" else self.behaviour.settled_after

    # numbers -------------------------------------------------------------------------

    def use(self, value: Value) -> float:
        """The number to reckon with, noted; moved or confirmed where that applies."""
        value = confirmed(value, self.job.confirms, self._danger)
        self._fresh[value.id] = value
        self.used[value.id] = value
        return self._moved.get(value.id, value.si)

    def cell(self, table: str, row: str, column: str) -> float:
        """A table's number. Raises Missing where the catalog prints none there."""
        number = self.cell_or_none(table, row, column)
        if number is None:
            address = f"{table}/{row}/{column}"
            raise Missing(address, f"the tables print no figure at {address}")
        return number

    def cell_or_none(self, table: str, row: str, column: str) -> float | None:
        found = self.catalog.value(f"{table}/{row}/{column}")
        return None if found is None else self.use(found)

    def of(self, owner: Part | Motor, prop: str, how: str = "") -> float:
        """A property of a part or motor. Raises Missing naming the `[[value]]` that would state it."""
        found = owner.values.get(prop)
        if found is None:
            address = f"{owner.name}.{prop}"
            raise Missing(address, how or f'state [[value]] of = "{address}", from the plate or a reading')
        return self.use(found)

    def of_or_none(self, owner: Part | Motor, prop: str) -> float | None:
        found = owner.values.get(prop)
        return None if found is None else self.use(found)

    def receiver_value(self, prop: str, how: str) -> float:
        """A figure of the receiver as a whole: as `[[value]]` states it, else the type's. Raises Missing."""
        address = f"receiver.{prop}"
        found = self.receiver_type.values.get(prop) if self.receiver_type else None
        for stated in self.job.values:
            if stated.of == address:
                unit = found.unit if found else "1"
                return self.use(certain(address, stated.is_.si, unit, "stated", stated.source or address))
        if found is None:
            raise Missing(address, f'{how}; state it: [[value]] of = "{address}"')
        return self.use(replace(found, id=address))

    def amount(self, amount: Amount | None, key: str, how: str = "", unit: str = "") -> float:
        """A quantity the job states. Raises Missing naming its key."""
        if amount is None:
            raise Missing(key, how)
        return self.use(certain(key, amount.si, unit, "stated", self.job.where(key)))

    def taken(self) -> tuple[Value, ...]:
        """The values used since this was last asked."""
        fresh = tuple(self._fresh.values())
        self._fresh = {}
        return fresh

    # subjects ------------------------------------------------------------------------

    def each(
        self,
        items: Iterable[tuple[str, T]],
        judge: Callable[[str, T], Draft | Iterable[Draft] | None],
        about: str = "after",
    ) -> Iterator[Draft]:
        """One subject after the other; one that lacks a fact or breaks the rule does not lose the others."""
        for subject, thing in items:
            try:
                answer = judge(subject, thing)
                drafts = [] if answer is None else [answer] if isinstance(answer, Draft) else list(answer)
            except Missing as missing:
                drafts = [lacking(subject, missing, about)]
            except Exception as error:  # noqa: BLE001 - one crash must not hide the other subjects
                drafts = [broken(subject, error, about)]
            yield from drafts


def broken(subject: str, error: Exception, about: str = "after") -> Draft:
    """A rule that crashed: unknown with the reason, never silence."""
    reason = f"the check itself failed: {type(error).__name__}: {error}"
    return unknown(subject, reason, "an answer", "report this with the job file", about=about)


def moved_circuit(circuit: Circuit | None, moved: Mapping[str, float]) -> Circuit | None:
    """The circuit with some part values at another point of their spread."""
    if circuit is None or not moved:
        return circuit
    parts = tuple(
        replace(p, values=MappingProxyType({k: _moved(v, moved) for k, v in p.values.items()}))
        if any(v.id in moved for v in p.values.values())
        else p
        for p in circuit.parts
    )
    return replace(circuit, parts=parts)


def _moved(value: Value, moved: Mapping[str, float]) -> Value:
    return value.moved(moved[value.id]) if value.id in moved else value
