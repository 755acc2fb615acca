"""Terminals of a receiver alone: which are joined when it is dead, and what each output joins."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from wiring.model.entry import EntryPart, ReceiverType

Group = tuple[str, ...]
Jumpers = Mapping[str, bool | None]  # id to fitted, None where nobody looked


@dataclass(frozen=True, slots=True)
class Pair:
    """The two terminals that an output works. powered: the receiver's own supply stands on one of
    them, or the output is electronic: volts behind a load, never ohms."""

    a: str
    b: str
    powered: bool


def joined(
    receiver: ReceiverType, operated: Iterable[str], jumpers: Mapping[str, bool | None]
) -> list[Group]:
    """Terminals in groups that a meter finds joined, outputs named in `operated` worked; each group
    in the order of the entry. The supply's terminals count as one: what is between them is no contact."""
    parent: dict[str, str] = {}

    def find(x: str) -> str:
        while parent.setdefault(x, x) != x:
            x = parent[x]
        return x

    on = {f"output:{id}" for id in operated}
    for part in receiver.net.parts:
        if _conducts(part, on, jumpers):
            parent[find(part.at[0])] = find(part.at[1])
    for wire in receiver.net.wires:
        parent[find(wire.ends[0])] = find(wire.ends[1])
    groups: dict[str, list[str]] = {}
    for name in terminals(receiver):
        groups.setdefault(find(name), []).append(name)
    return [tuple(group) for group in groups.values()]


def terminals(receiver: ReceiverType) -> tuple[str, ...]:
    """Every terminal that a person can touch, as the entry lists them, then those only parts name."""
    named = [terminal.id for terminal in receiver.net.terminals]
    named += [pin for part in receiver.net.parts for pin in part.at]
    return tuple(name for name in dict.fromkeys(named) if name not in receiver.net.junctions)


def _conducts(part: EntryPart, on: set[str], jumpers: Mapping[str, bool | None]) -> bool:
    if part.kind == "supply-input":
        return True
    if part.kind == "wire":
        fitted = jumpers.get(part.id) if part.role == "jumper" else True
        return part.fitted if fitted is None else fitted
    if part.kind not in ("contact", "semiconductor"):
        return False
    return (part.by in on) == (part.form != "NC")


def vague(receiver: ReceiverType) -> list[tuple[str, str]]:
    """Pairs of terminals with electronics between them: their ohms say nothing."""
    return [(part.at[0], part.at[1]) for part in receiver.net.parts if part.kind == "semiconductor"]


def pair_of(receiver: ReceiverType, output: str, jumpers: Mapping[str, bool | None]) -> Pair | None:
    """The two terminals that an output joins when it is worked; None where it joins none of them."""
    rest, worked = joined(receiver, (), jumpers), joined(receiver, (output,), jumpers)
    before = {name: group for group in rest for name in group}
    live = set(receiver.supply_terminals)
    electronic = any(
        part.kind == "semiconductor" and part.by == f"output:{output}" for part in receiver.net.parts
    )
    direct = [part.at for part in receiver.net.parts if part.by == f"output:{output}" and part.form != "NC"]
    for group in worked:
        for pair in [*(at for at in direct if set(at) <= set(group)), *_across(group, before)]:
            if before.get(pair[0]) != before.get(pair[1]):
                powered = electronic or bool(live & set(before[pair[0]])) or bool(live & set(before[pair[1]]))
                return Pair(pair[0], pair[1], powered)
    return None


def _across(group: Group, before: Mapping[str, Group]) -> list[tuple[str, str]]:
    return [(a, b) for i, a in enumerate(group) for b in group[i + 1 :] if before[a] != before[b]]


def splits(groups: list[Group]) -> list[tuple[tuple[str, ...], tuple[str, ...]]]:
    """Few readings that put every two groups once on opposite leads: all of one half tied against
    all of the other, halves by the binary digits of the groups' numbers."""
    found = []
    bit = 1
    while bit < len(groups):
        one = tuple(name for i, group in enumerate(groups) if i & bit for name in group)
        two = tuple(name for i, group in enumerate(groups) if not i & bit for name in group)
        found.append((one, two))
        bit <<= 1
    return found
