"""The steps of the bench test, in order: dead, at rest, each key, loss, supply, opposites, range."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from wiring.identify.bench_net import Pair, joined, pair_of, splits, vague
from wiring.model.entry import ReceiverType
from wiring.model.job import Job

OPPOSITE = (("up", "down"), ("left", "right"), ("forward", "back"), ("in", "out"))
#: Tests of a motion output, in order, with what the hand does.
MOTION_TESTS = ("rest", "key", "release", "battery-out", "supply-return", "supply-return-held")
STOP_TESTS = ("rest", "key", "battery-out", "supply-return")
START_TESTS = ("rest", "key", "release")


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do. kind: bare | jumper | closed | split | which | bench. name: what the answer
    is filed under; test, output, key: of a bench row; a, b: terminals tied to each lead."""

    kind: str
    name: str
    test: str = ""
    output: str = ""
    key: str = ""
    a: tuple[str, ...] = ()
    b: tuple[str, ...] = ()
    pair: Pair | None = None


@dataclass(frozen=True, slots=True)
class Setting:
    """What is known of the receiver: its type, the key of each output, jumpers found so far."""

    receiver: ReceiverType | None
    outputs: tuple[tuple[str, str], ...]  # (output id, key)
    keys: tuple[str, ...]  # keys of the transmitter whose output nobody named
    jumpers: dict[str, bool | None]


def setting_of(
    job: Job, receiver: ReceiverType | None, found: Mapping[str, str], jumpers: Mapping[str, bool]
) -> Setting:
    """Outputs with their keys: the job's, those found on the bench (key to output), the type's presets."""
    outputs: dict[str, str] = {}
    for output in receiver.outputs if receiver else ():
        if output.key:
            outputs[output.id] = output.key
    for row in job.receiver.outputs:
        if row.key:
            outputs[row.id] = row.key.removeprefix("key:")
    for key, id in found.items():
        outputs[id] = key
    named = set(outputs.values())
    told = [key for sender in job.transmitters for key in sender.keys]
    keys = tuple(key for key in dict.fromkeys(told) if key not in named)
    known: dict[str, bool | None] = {row.id: row.fitted for row in job.receiver.jumpers}
    return Setting(receiver, tuple(outputs.items()), keys, {**known, **jumpers})


def steps(setting: Setting) -> Iterator[Step]:
    """Every step, as far as it is known what there is to ask."""
    yield Step("bare", "bare")
    if setting.receiver is not None:
        yield from dead(setting.receiver, setting)
    for key in setting.keys:
        yield Step("which", f"which {key}", "key", key=key)
    pairs = {id: pair_of(setting.receiver, id, setting.jumpers) if setting.receiver else None
             for id, _ in setting.outputs}  # fmt: skip
    for test in MOTION_TESTS:
        for id, key in setting.outputs:
            wanted = STOP_TESTS if key == "stop" else START_TESTS if key == "start" else MOTION_TESTS
            if test in wanted:
                yield Step("bench", f"{test} {id}", test, id, key, pair=pairs[id])
    at = {key: id for id, key in setting.outputs}
    for one, two in OPPOSITE:
        if one in at and two in at:
            for first, second in ((one, two), (two, one)):
                id = at[second]
                yield Step("bench", f"opposite {id}", "opposite", id, f"{first} {second}", pair=pairs[id])
    motion = next(((id, key) for id, key in setting.outputs if key not in ("stop", "start")), None)
    if motion:
        yield Step("bench", f"range {motion[0]}", "range", motion[0], motion[1], pair=pairs[motion[0]])


def dead(receiver: ReceiverType, setting: Setting) -> Iterator[Step]:
    """Unpowered: jumpers, what must be joined, and every two groups that must not be."""
    for part in receiver.net.parts:
        if part.role == "jumper":
            ends = () if set(part.at) & set(receiver.net.junctions) else part.at
            yield Step("jumper", f"jumper {part.id}", a=ends[:1], b=ends[1:])
    groups = joined(receiver, (), setting.jumpers)
    supply = set(receiver.supply_terminals)
    for group in groups:
        inside = [name for name in group if name not in supply]
        anchor = [name for name in group if name in supply] or inside[:1]
        for name in inside:
            if len(anchor) == 1 and name != anchor[0] and not _jumped(receiver, anchor[0], name):
                yield Step("closed", f"closed {anchor[0]} {name}", a=(anchor[0],), b=(name,))
    for number, (one, two) in enumerate(splits(_clear(receiver, groups))):
        yield Step("split", f"split {number + 1}", a=one, b=two)


def _jumped(receiver: ReceiverType, a: str, b: str) -> bool:
    """True where a jumper alone joins the two: that reading was taken as the jumper's."""
    return any(part.role == "jumper" and {a, b} == set(part.at) for part in receiver.net.parts)


def _clear(receiver: ReceiverType, groups: list[tuple[str, ...]]) -> list[tuple[str, ...]]:
    """Groups with those made one that have electronics between them."""
    merged = [set(group) for group in groups]
    for a, b in vague(receiver):
        one = next(group for group in merged if a in group)
        two = next(group for group in merged if b in group)
        if one is not two:
            one |= two
            merged.remove(two)
    order = {name: i for i, name in enumerate(name for group in groups for name in group)}
    return [tuple(sorted(group, key=lambda name: order[name])) for group in merged]
