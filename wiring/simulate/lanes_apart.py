"""The fault sets of a batch that must settle the long way, settled apart from the others.

Most fault sets settle on the control part alone. Where one does not (a fuse blew, a phase
is lost), only its own lanes are run again on the whole circuit, in a small batch of their own.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from wiring.simulate.lanes_batch import Batch
from wiring.simulate.lanes_settle import Lanes, Operated, Settler


def settle(settler: Settler, operated: Operated, start: Lanes, backwards: bool = False) -> Lanes:
    """Settle a batch, each fault set the short way where that is enough."""
    now = settler.once(operated, start, settler.batch.all_narrow, backwards)
    if settler.batch.all_narrow:
        return now
    numbers = settler.unsettled()
    if not numbers:
        return now
    if 2 * len(numbers) > len(settler.batch.settings):
        return settler.once(operated, start, True, backwards)
    part = _Part(settler, numbers)
    again = part.settler.once(part.taken_all(operated), part.start(start), True, backwards)
    return part.put(now, again)


def again(settler: Settler, operated: Operated, start: Lanes, now: Lanes, numbers: list[int]) -> Lanes:
    """`now` with some fault sets, by their place, settled in the opposite order of coil changes."""
    if 2 * len(numbers) > len(settler.batch.settings):
        return settle(settler, operated, start, backwards=True)
    part = _Part(settler, numbers)
    return part.put(now, settle(part.settler, part.taken_all(operated), part.start(start), backwards=True))


class _Part:
    """Some fault sets of a batch as a batch of their own."""

    def __init__(self, settler: Settler, numbers: list[int]) -> None:
        self.whole, self.numbers = settler.batch, numbers
        key = tuple(numbers)
        known = settler.parts.get(key)
        if known is None:
            settings = [self.whole.settings[n] for n in numbers]
            known = settler.parts[key] = Settler(Batch(self.whole.board, settings, self.whole.width))
        self.settler = known
        self.lanes = self.whole.of(numbers)

    def taken(self, lanes: int) -> int:
        """The lanes of these fault sets, side by side."""
        total = 0
        for place, number in enumerate(self.numbers):
            total |= self.whole.cut(lanes, number) << (place * self.whole.width)
        return total

    def taken_all(self, lanes: Mapping[str, int]) -> dict[str, int]:
        """The same for every entry."""
        return {name: self.taken(n) for name, n in lanes.items()}

    def spread(self, lanes: int) -> int:
        """Back to their places in the whole batch."""
        total = 0
        batch = self.settler.batch
        for place, number in enumerate(self.numbers):
            total |= batch.cut(lanes, place) << (number * self.whole.width)
        return total

    def start(self, lanes: Lanes) -> Lanes:
        """Where these fault sets start from."""
        return replace(
            lanes,
            coils=tuple(self.taken(n) for n in lanes.coils),
            cond=(),
            outputs=self.taken_all(lanes.outputs),
            words=self.taken_all(lanes.words),
            blown={i: self.taken(n) for i, n in lanes.blown.items()},
            tripped=self.taken(lanes.tripped),
            met=self.taken(lanes.met),
        )

    def put(self, now: Lanes, again: Lanes) -> Lanes:
        """The whole batch with these fault sets settled again."""
        keep = self.whole.full ^ self.lanes

        def mixed(old: int, new: int) -> int:
            return (old & keep) | self.spread(new)

        cond = list(now.cond)
        inner = set(self.settler.batch.active)
        for i in self.whole.active:
            new = again.cond[i] if i in inner else self.settler.batch.full
            if i not in inner and self.whole.net.switches[i].part.form == "NO":
                new = 0
            cond[i] = mixed(now.cond[i], new)
        return Lanes(
            coils=tuple(mixed(a, b) for a, b in zip(now.coils, again.coils, strict=True)),
            cond=tuple(cond),
            outputs={k: mixed(v, again.outputs[k]) for k, v in now.outputs.items()},
            words={k: mixed(now.words.get(k, 0), again.words.get(k, 0)) for k in {*now.words, *again.words}},
            blown={i: mixed(now.blown.get(i, 0), again.blown.get(i, 0)) for i in {*now.blown, *again.blown}},
            shorts=mixed(now.shorts, again.shorts),
            tripped=mixed(now.tripped, again.tripped),
            restless=mixed(now.restless, again.restless),
            met=mixed(now.met, again.met),
            hold=mixed(now.hold, again.hold),
        )
