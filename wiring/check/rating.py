"""What a contact is rated for: the job's figures first, the type's class figures behind them.

A figure of the type is a placeholder: right size, no more. It can show that
something is far off, it never clears a contact whose own data sheet is absent.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from wiring.check.case import Case
from wiring.model.circuit import Circuit, Part
from wiring.model.job import Rating
from wiring.model.value import Amount, Value, certain


@dataclass(frozen=True, slots=True)
class Rated:
    """Ratings of one contact. numbers: property to value; words: pilot, min_load; key: of the job.

    typical: nothing is stated, all of it is what the type's class usually has.
    """

    owner: str
    numbers: Mapping[str, Value]
    words: Mapping[str, str]
    key: str
    lifting: bool = True
    typical: bool = False

    def has(self, *names: str) -> bool:
        """True where one of these is printed."""
        return any(n in self.numbers or n in self.words for n in names)

    def use(self, case: Case, name: str) -> float | None:
        """One figure, noted as used; None where none is printed."""
        value = self.numbers.get(name)
        return None if value is None else case.use(value)

    def share(self, case: Case, word: str) -> float:
        """What to multiply the limits of a printed word with: 1 where it is stated.

        A word of the type alone is a placeholder for the next lower and the next higher one:
        codes and least loads go in steps of two and more.
        """
        if not self.typical:
            return 1.0
        source = f"{word} {self.words.get(word, '')}: typical of the class"
        return case.use(Value(f"{self.owner}.rating.{word}", 1.0, "1", "placeholder", source, 0.5, 2.0))


def receiver_contacts(case: Case) -> Iterator[tuple[str, Part, Rated]]:
    """Every contact of a receiver output that has a wire on it: output name, contact, rating."""
    circuit = case.after
    for output in circuit.outputs:
        for part in circuit.parts:
            if part.by == f"output:{output.name}" and wired(circuit, part):
                yield output.name, part, output_rating(case, output.name)


def wired(circuit: Circuit, part: Part) -> bool:
    """True where something else than the contact itself lands on each of its ends."""
    return all(
        any(pin in other.pins for other in circuit.parts if other is not part) for pin in part.pins[:2]
    )


def device_contacts(case: Case, roles: tuple[str, ...] = ("power",)) -> Iterator[tuple[str, Part, Rated]]:
    """Every contact of these roles in the devices that the job adds."""
    ids = {d.id for d in case.job.devices}
    for part in case.after.parts:
        if part.kind == "contact" and part.owner.partition(".")[0] in ids and part.role in roles:
            yield part.name, part, device_rating(case, part.owner.partition(".")[0])


def output_rating(case: Case, name: str) -> Rated:
    """The rating of a receiver output."""
    bare = name.removeprefix("receiver:")
    stated, key = None, "receiver.output"
    for index, output in enumerate(case.job.receiver.outputs):
        if output.id == bare:
            stated, key = output.rating, f"receiver.output.{index}.rating"
    entry = case.receiver_type
    numbers = dict(entry.rating) if entry else {}
    words = dict(entry.rating_words) if entry else {}
    return _merged(case, name, stated, numbers, words, key)


def device_rating(case: Case, id: str) -> Rated:
    """The rating of an added device."""
    for index, device in enumerate(case.job.devices):
        if device.id == id:
            entry = case.catalog.devices.get(device.type)
            numbers = dict(entry.rating) if entry else {}
            words = dict(entry.rating_words) if entry else {}
            return _merged(case, id, device.rating, numbers, words, f"device.{index}.rating")
    return Rated(id, {}, {}, "device")


def _merged(
    case: Case, owner: str, stated: Rating | None, numbers: dict[str, Value], words: dict[str, str], key: str
) -> Rated:
    """A stated block replaces the type's whole: what a data sheet does not print is not rated."""
    if stated is None:
        typical = {k: replace(v, id=f"{owner}.rating.{k}") for k, v in numbers.items()}
        return Rated(owner, typical, words, key, typical=True)
    own: dict[str, Value] = {}
    for name in Rating.__dataclass_fields__:
        found = getattr(stated, name)
        source = stated.source or case.job.where(key)
        if isinstance(found, Amount):
            own[name] = certain(
                f"{owner}.rating.{name}", found.si, UNITS.get(found.kind, ""), "stated", source
            )
        elif isinstance(found, int):
            own[name] = certain(f"{owner}.rating.{name}", float(found), "1", "stated", source)
    texts = {n: t for n in ("pilot", "min_load") if (t := getattr(stated, n))}
    return Rated(owner, own, texts, key)


UNITS = {"current": "A", "voltage": "V", "power": "W"}
