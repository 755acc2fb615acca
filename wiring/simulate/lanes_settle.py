"""Coils in lanes: every lane changes one coil at a time until none wants to change.

`Settler.run` follows one order of changes, forwards or backwards; lanes whose two
ends differ are a race, lanes that never end oscillate. Source shorts count on the
way too; the fuse that ends one stays open, and where none does the supply is gone.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from wiring.simulate.lanes_batch import Batch
from wiring.simulate.lanes_feed import Feeds
from wiring.simulate.lanes_field import Field, Reach, Spread
from wiring.simulate.lanes_pattern import Masks, around, lane_of, leaves, soft
from wiring.simulate.lanes_receiver import LaneReceiver

Operated = Mapping[str, int]
#: A coil, its two nodes, and pairs of labels with whether the coil comes in on them.
Decided = tuple[int, int, int, list[tuple[int, int, bool]]]


@dataclass(frozen=True, slots=True)
class Lanes:
    """A settled batch. coils: lanes per coil; cond: lanes per switch; outputs, words: of the
    receiver; blown: lanes per open fuse; shorts: lanes that shorted a source on the way;
    tripped: lanes whose short no fuse of the circuit ends; restless: lanes that never settle;
    met: lanes where the order of coil changes may matter: a coil gave up wanting to change, or
    changed twice; hold: where a coil may hold or not."""

    coils: tuple[int, ...]
    cond: tuple[int, ...]
    outputs: Mapping[str, int]
    words: Mapping[str, int]
    blown: Mapping[int, int] = field(default_factory=dict)
    shorts: int = 0
    tripped: int = 0
    restless: int = 0
    met: int = 0
    hold: int = 0


def cold(batch: Batch) -> Lanes:
    """Everything dead, nothing remembered."""
    return Lanes((0,) * len(batch.net.coils), (), {}, {})


class Settler:
    """Settles one batch, run after run."""

    def __init__(self, batch: Batch) -> None:
        self.batch, self.net, self.full = batch, batch.net, batch.full
        self.field = Field(batch)
        self.receiver = LaneReceiver(batch)
        self.deciding = [
            (k, batch.node[self.net.loads[c.load].a], batch.node[self.net.loads[c.load].b])
            for k, c in enumerate(self.net.coils)
        ]
        self.supplies = [k for k, c in enumerate(self.net.coils) if c.kind == "supply-input"]
        self.stuck: dict[str, int] = {}
        for item in batch.board.plain.inputs:
            lanes = batch.holding("stuck", item.name)
            if lanes:
                self.stuck[item.name] = lanes
        self.live_pairs: dict[tuple[bool, ...], list[Decided]] = {}
        self.pairs = [self._pairs(k) for k, _, _ in self.deciding]
        self.feeds = Feeds(self.field, self._relabel)
        moved = {number for part in batch.wide for number in part.numbers}
        moved -= {number for part in batch.narrow for number in part.numbers}
        self.drives_power = [
            any(i in moved for i in batch.by_cause.get(f"coil:{c.name}", ())) for c in self.net.coils
        ]
        self.cond = [0] * len(self.net.switches)  # as the last run left them, with what moved them
        self.causes: dict[str, int] = {}
        self.spreads = {wide: Spread(self.field, wide) for wide in (False, True)}
        self.switches = self._switches()
        self.solves = 0
        self.parts: dict[tuple[int, ...], Settler] = {}  # see lanes_apart
        self.last: Lanes | None = None
        self.last_near: Reach = []
        self.last_power: Reach = []
        self.doubt = 0

    def _switches(self) -> dict[str, list[tuple[int, bool, int, int]]]:
        """Cause to its switches: number, whether it opens them, lanes held closed, lanes held open."""
        batch, switches = self.batch, self.net.switches
        return {
            cause: [
                (i, not cause or switches[i].part.form == "NC", batch.held_closed.get(i, 0),
                 batch.held_open.get(i, 0))
                for i in numbers
            ]
            for cause, numbers in batch.by_cause.items()
        }  # fmt: skip

    def _relabel(self) -> None:
        """A label was added: find again which two labels bring a coil in."""
        self.live_pairs.clear()
        self.pairs = [self._pairs(k) for k, _, _ in self.deciding]

    def _pairs(self, k: int) -> list[tuple[int, int, bool]]:
        """(label, label, it comes in) for every two labels that can come to both ends of a coil and
        make it come in or may hold it."""
        coil, labels = self.net.coils[k], self.batch.labels
        _, a, b = self.deciding[k]
        found = []
        for i in self.field.seen_by[a]:
            for j in self.field.seen_by[b]:
                one, other = labels[i], labels[j]
                volts = abs(one.volts - other.volts) * (1 + 1e-9)
                if i != j and one.frame == other.frame and volts >= coil.drop_out:
                    found.append((i, j, volts >= coil.pick_up))
        return found

    def decided(self, reach: Reach) -> list[Decided]:
        """Coils with the pairs of `_pairs` whose labels are both alive."""
        nothing = self.field.nothing
        live = tuple(one is not nothing for one in reach)
        found = self.live_pairs.get(live)
        if found is None:
            found = self.live_pairs[live] = [
                (k, a, b, [pair for pair in pairs if live[pair[0]] and live[pair[1]]])
                for (k, a, b), pairs in zip(self.deciding, self.pairs, strict=True)
            ]
        return found

    def run(self, operated: Operated, start: Lanes, backwards: bool = False) -> Lanes:
        """Settle from `start` with the inputs `operated` (lanes of the batch per input)."""
        now = self.once(operated, start, self.batch.all_narrow, backwards)
        if not self.batch.all_narrow and self.unsettled():
            now = self.once(operated, start, True, backwards)
        return now

    def once(self, operated: Operated, start: Lanes, wide: bool, backwards: bool = False) -> Lanes:
        """The same on the control part alone, or (wide) on the whole circuit."""
        names = {*operated, *self.stuck}
        lit = {name: operated.get(name, 0) | self.stuck.get(name, 0) for name in names}
        return _Run(self, lit, start, wide, backwards).go()

    def remember(self, now: Lanes, near: Reach, run: _Run) -> None:
        """What the last run came to: it is asked for again at once."""
        self.last, self.last_near, self.last_power, self.doubt = now, near, run.power(), run.doubt

    def power(self, now: Lanes) -> Reach:
        """Labels over the whole circuit, in a settled batch."""
        if now is self.last:
            return self.last_power
        return self.field.reach(list(now.cond), True, now.tripped)

    def unsettled(self) -> list[int]:
        """Settings, by their place, in which motor contacts or windings brought a coil or a transformer
        what the control part alone did not, in any step of the last run."""
        batch, lanes = self.batch, self.doubt | self.differ(self.last_near, self.last_power)
        return [n for n in range(len(batch.settings)) if batch.cut(lanes, n)] if lanes else []

    def differ(self, near: Reach, power: Reach) -> int:
        """Lanes in which motor contacts join something that decides to another source terminal."""
        lanes = 0
        for p, q in zip(power, near, strict=True):
            if p is not q:
                for node in self.batch.deciding:
                    lanes |= p[node] ^ q[node]
        return lanes


class _Run:
    """One settling of one batch."""

    def __init__(self, settler: Settler, lit: Operated, start: Lanes, wide: bool, backwards: bool) -> None:
        self.s, self.lit, self.start, self.wide = settler, lit, start, wide
        self.batch, self.net, self.full, self.field = settler.batch, settler.net, settler.full, settler.field
        self.order = range(len(self.net.coils))[:: -1 if backwards else 1]
        self.coils = [self._start(k, c) for k, c in enumerate(start.coils)]
        self.blown = dict(start.blown)
        self.tripped = start.tripped
        self.shorts = self.met = self.hold = self.doubt = 0
        self.waiting, self.once = [0] * len(self.coils), [0] * len(self.coils)
        self.near, self.whole = settler.spreads[wide], settler.spreads[True]
        self.powered = self._powered()
        self.outputs, self.words = settler.receiver.step(lit, self.powered, start.words, start.outputs)
        self.cond = self._conditions()

    def _start(self, k: int, lanes: int) -> int:
        """A stuck contactor is in from the start, unless its interlock holds it out."""
        stuck = self.batch.coil_in[k]
        for other, where in self.batch.against[k]:
            stuck &= ~(self.start.coils[other] & where)
        return (lanes | stuck) & ~self.batch.coil_out[k]

    def go(self) -> Lanes:
        left, look = self.full, True
        fair = 3 * len(self.coils) + 3  # from here on the order turns at every step: nobody starves
        for step in range(4 * fair):
            if step > fair:
                self.order = self.order[::-1]
            reach = self.near.get(self.cond, self.tripped)
            if self._end_shorts(reach, look):
                continue
            if self.wide:
                self.s.feeds.complete(reach, self.cond, self.coils)
            else:
                self._doubt(reach, look)
            pending = [w ^ c for w, c in zip(self._targets(reach), self.coils, strict=True)]
            changed, left = self._change(pending)
            if not left:
                break
            look = any(self.s.drives_power[k] for k in changed)
            self._receiver()
        now = Lanes(
            tuple(self.coils), tuple(self.cond), self.outputs, self.words, self.blown, self.shorts,
            self.tripped, left, self.met, self.hold,
        )  # fmt: skip
        self.s.remember(now, self.near.get(self.cond, self.tripped), self)
        return now

    def _doubt(self, near: Reach, moved: bool) -> None:
        """Note the lanes that the control part alone does not settle. moved: motor contacts did."""
        unfed = self.s.feeds.unfed(near) & ~self.doubt
        if moved or unfed:
            whole = self.whole.get(self.cond, self.tripped)
            self.doubt |= self.s.differ(near, whole)
            if unfed & ~self.doubt:
                self.doubt |= self.s.feeds.hung(whole, self.cond)

    def power(self) -> Reach:
        """Labels over the whole circuit, as it is now."""
        return (self.near if self.wide else self.whole).get(self.cond, self.tripped)

    def _change(self, pending: list[int]) -> tuple[list[int], int]:
        """Change one coil in every lane that wants to. Returns coils and lanes that changed."""
        taken = 0
        changed = []
        for k in self.order:
            if not pending[k] and not self.waiting[k]:
                continue
            turn = pending[k] & ~taken
            self.met |= self.waiting[k] & ~pending[k]
            self.waiting[k] = pending[k] & taken
            if turn:
                self.coils[k] ^= turn
                taken |= turn
                self.met |= turn & self.once[k]
                self.once[k] |= turn
                changed.append(k)
        for k in changed:
            self._switch(f"coil:{self.net.coils[k].name}", self.coils[k])
        return changed, taken

    def _receiver(self) -> None:
        powered = self._powered()
        if powered == self.powered:
            return
        self.powered = powered
        self.outputs, self.words = self.s.receiver.step(self.lit, powered, self.words, self.outputs)
        for name, lanes in self.outputs.items():
            self._switch(f"output:{name}", lanes)

    def _powered(self) -> int:
        total = 0 if self.s.supplies else self.full
        for k in self.s.supplies:
            total |= self.coils[k]
        return total

    # -- switches -----------------------------------------------------------------------------
    def _conditions(self) -> list[int]:
        """The switches as they are now; those that no cause moves since the last run are left alone."""
        self.cond, known = self.s.cond, self.s.causes
        causes = dict(self.lit)
        causes.update({f"coil:{c.name}": n for c, n in zip(self.net.coils, self.coils, strict=True)})
        causes.update({f"output:{name}": lanes for name, lanes in self.outputs.items()})
        for cause in self.s.switches:
            lanes = causes.get(cause, 0)
            if not cause or known.get(cause) != lanes:  # no cause: fuses
                self._switch(cause, lanes)
        return self.cond

    def _switch(self, cause: str, lanes: int) -> None:
        self.s.causes[cause] = lanes
        other = self.full ^ lanes
        for i, inverted, held_closed, held_open in self.s.switches.get(cause, ()):
            closed = other if inverted else lanes
            if held_closed:
                closed |= held_closed
            if held_open:
                closed &= ~held_open
            if i in self.blown:
                closed &= ~self.blown[i]
            self._set(i, closed)

    def _set(self, i: int, lanes: int) -> None:
        if self.cond[i] != lanes:
            self.cond[i] = lanes
            self.near.changed.add(i)
            self.whole.changed.add(i)

    def _end_shorts(self, reach: Reach, power: bool) -> bool:
        """Open the fuses of shorted lanes, or take the supply away. True where something opened.
        power: motor contacts changed, so that the whole circuit has to be looked at."""
        if power and not self.wide:
            reach = self.whole.get(self.cond, self.tripped)
        short = self.field.shorts(reach)
        if not short:
            return False
        self.shorts |= short
        opened = self.field.open_fuses(self.cond, short, self.blown, self.tripped)
        self.tripped |= short & ~opened
        for i in self.blown:
            self._set(i, self.cond[i] & ~self.blown[i])
        return True

    # -- voltages -----------------------------------------------------------------------------
    def _targets(self, reach: Reach) -> list[int]:
        wanted = []
        for k, a, b, pairs in self.s.decided(reach):
            inside = maybe = 0
            for i, j, comes_in in pairs:
                both = reach[i][a] & reach[j][b]
                if both and comes_in:
                    inside |= both
                elif both:
                    maybe |= both
            self.hold |= maybe & ~inside
            wanted.append(inside | (maybe & self.coils[k]))
        loads = self.field.loads if self.wide else self.field.near_loads
        hard = self.field.hard(reach)
        own = self.field.distinct(reach)
        once = twice = 0
        for lanes in self.field.seeds(loads, reach, hard, own):
            twice |= once & lanes
            once |= lanes
        if twice:
            self._analog(wanted, reach, hard, own, twice)
        return self._allowed(wanted)

    def _analog(self, wanted: list[int], reach: Reach, hard: list[int], own: list[int], lanes: int) -> None:
        """Coils that hang between two labels: solved, lane pattern by lane pattern."""
        batch = self.batch
        field = self.field
        loads, edges = (field.loads, batch.edges) if self.wide else (field.near_loads, field.near_edges)
        touched, torn = soft(batch, loads, edges, self.cond, reach, hard, own, lanes)
        torn_coils = [torn[a] | torn[b] for _, a, b in self.s.deciding]
        doubtful = 0
        for lanes_of_coil in torn_coils:
            doubtful |= lanes_of_coil
        if not doubtful:
            return
        bits = [*(bits for _, bits in around(edges, loads, self.cond, reach, touched)), *self.coils]
        masks = Masks(batch, self.cond, self.coils, doubtful)
        for leaf in leaves(doubtful, bits):
            self.s.solves += 1
            solution, _, _ = masks.solved(lane_of(leaf))
            for k, _, _ in self.s.deciding:
                self._decide(wanted, k, leaf & torn_coils[k], abs(solution.across[self.net.coils[k].load]))

    def _decide(self, wanted: list[int], k: int, lanes: int, volts: float) -> None:
        coil = self.net.coils[k]
        wanted[k] &= ~lanes
        if volts * (1 + 1e-9) >= coil.pick_up:
            wanted[k] |= lanes
        elif volts * (1 + 1e-9) >= coil.drop_out:
            wanted[k] |= lanes & self.coils[k]
            self.hold |= lanes

    def _allowed(self, wanted: list[int]) -> list[int]:
        """What is wanted and not held otherwise by a fault, an interlock or the supply test."""
        batch, off = self.batch, self.lit.get("supply", 0)
        found = []
        for k, lanes in enumerate(wanted):
            if off and k in self.s.supplies:
                lanes &= ~off
            lanes |= batch.coil_in[k]
            if batch.coil_out[k]:
                lanes &= ~batch.coil_out[k]
            for other, where in batch.against[k]:
                if lanes and self.coils[other]:
                    lanes &= ~(self.coils[other] & where & ~self.coils[k])
            found.append(lanes)
        return found
