"""Which source terminal every node is joined to, lane by lane; where that is a short; which fuse ends it."""

from __future__ import annotations

from wiring.simulate.lanes_batch import Batch
from wiring.simulate.lanes_pattern import Hanging, hanging
from wiring.simulate.lanes_region import Edge, flood

Reach = list[list[int]]  # label, node: lanes
_SAME = 1e-9  # two potentials this close are one [V]: rounding, not physics


class Field:
    """The labels of one batch spread over its nodes."""

    def __init__(self, batch: Batch) -> None:
        self.batch, self.net, self.full = batch, batch.net, batch.full
        self.loads: list[Hanging] = hanging(batch)
        ends = {node for part in batch.narrow for node in part.nodes} | set(batch.deciding)
        numbers = frozenset(number for part in batch.narrow for number in part.numbers)
        self.near_edges = [edge for edge in batch.edges if edge[0] in numbers]
        self.near_loads = [item for item in self.loads if item[1] in ends and item[2] in ends]
        self.stars = self._stars()
        self.power_loads, self.power_edges = self._power()
        self.nothing = [0] * batch.count
        self.see()
        fuses = batch.by_cause.get("", ())
        self.fuses = sorted(fuses, key=lambda i: self.net.switches[i].rating)

    def see(self) -> None:
        """What each label can ever come to: asked again when a label was added."""
        labels, parts = self.batch.labels, self.batch.wide
        self.seen_by: list[list[int]] = [[] for _ in range(self.batch.count)]
        for i, part in enumerate(parts):
            for node in part.nodes:
                self.seen_by[node].append(i)
        meets = [(i, j) for j, other in enumerate(labels) for i in self.seen_by[other.node] if i != j]
        frames = [label.frame for label in labels]
        #: labels i, j where i may come to the node of j; those of two frames besides
        self.joints = sorted(meets)
        self.ties = [(i, j) for i, j in self.joints if frames[i] != frames[j]]

    def _stars(self) -> list[tuple[int, list[int]]]:
        """Star point and pins of every three-phase motor."""
        found: dict[int, list[int]] = {}
        for load in self.net.loads:
            if load.part.kind == "motor3":
                found.setdefault(self.batch.node[load.b], []).append(self.batch.node[load.a])
        return list(found.items())

    def _power(self) -> tuple[list[Hanging], list[Edge]]:
        """Loads and switches that can ever hang together with a motor or a brake: everything
        around their pins up to the next source terminal."""
        circuit = self.net.circuit
        parts = {name for motor in circuit.motors for name in motor.parts}
        parts |= {brake.part for brake in circuit.brakes}
        walls = set(self.batch.frame_at)
        near: dict[int, set[int]] = {}
        for _, a, b in (*self.loads, *self.batch.edges):
            near.setdefault(a, set()).add(b)
            near.setdefault(b, set()).add(a)
        queue = [n for i, a, b in self.loads if self.net.loads[i].part.name in parts for n in (a, b)]
        seen = set(queue)
        while queue:
            node = queue.pop()
            for other in near.get(node, set()) - seen if node not in walls else ():
                seen.add(other)
                queue.append(other)
        inner = seen - walls
        loads = [item for item in self.loads if item[1] in inner or item[2] in inner]
        return loads, [edge for edge in self.batch.edges if edge[1] in inner or edge[2] in inner]

    def reach(self, cond: list[int], wide: bool, tripped: int = 0) -> Reach:
        """For every label the lanes of each node that it is joined to. tripped: supply gone."""
        return Spread(self, wide).get(cond, tripped)

    def hard(self, reach: Reach) -> list[int]:
        """Lanes in which each node has a label. The star point of a motor with all its pins on
        labels counts as having one: nothing else hangs there."""
        hard = [0] * self.batch.count
        for one, part in zip(reach, self.batch.wide, strict=False):
            if one is not self.nothing:
                for node in part.nodes:
                    hard[node] |= one[node]
        for star, pins in self.stars:
            lanes = self.full
            for pin in pins:
                lanes &= hard[pin]
            hard[star] |= lanes
        return hard

    def distinct(self, reach: Reach) -> list[int]:
        """For each label the lanes in which it is not just another name of an earlier one: two
        frames tied together there share everything they reach."""
        found = [self.full] * len(reach)
        for j, i in self.ties:
            if j < i:
                node = self.batch.labels[i].node
                found[i] &= ~(reach[j][node] & reach[i][node])
        return found

    def seeds(self, loads: list[Hanging], reach: Reach, hard: list[int], own: list[int]) -> list[int]:
        """For each label the lanes in which it reaches a node without label through some load."""
        found = [0] * len(reach)
        for _, a, b in loads:
            differ = hard[a] ^ hard[b]
            if not differ:
                continue
            for node in (a, b):
                only = hard[node] & differ
                if only:
                    for i in self.seen_by[node]:
                        found[i] |= reach[i][node] & only
        return [lanes & mine if lanes else 0 for lanes, mine in zip(found, own, strict=True)]

    def shorts(self, reach: Reach) -> int:
        """Lanes in which two labels with different voltages are joined."""
        total = 0
        for lanes in self._shorted(reach).values():
            total |= lanes
        return total

    def _shorted(self, reach: Reach) -> dict[tuple[int, int], int]:
        """The same by pair of labels."""
        labels = self.batch.labels
        found: dict[tuple[int, int], int] = {}
        bonds: list[tuple[int, int, int]] = []
        for i, j in self.joints:
            one, other = labels[i], labels[j]
            both = reach[i][other.node] & reach[j][other.node]
            if both:
                if one.frame == other.frame:
                    if abs(one.volts - other.volts) > _SAME:
                        pair = (min(i, j), max(i, j))
                        found[pair] = found.get(pair, 0) | both
                elif i < j:
                    bonds.append((i, j, both))
        crossed = self._crossed(bonds)
        if crossed:
            found[-1, -1] = crossed
        return found

    def _crossed(self, bonds: list[tuple[int, int, int]]) -> int:
        """Two frames tied at two places with different voltages between them."""
        labels, found = self.batch.labels, 0
        for n, (i, j, lanes) in enumerate(bonds):
            for p, q, more in bonds[:n]:
                both = lanes & more
                if not both or (labels[i].frame, labels[j].frame) != (labels[p].frame, labels[q].frame):
                    continue
                gap = (labels[i].volts - labels[j].volts) - (labels[p].volts - labels[q].volts)
                if abs(gap) > _SAME:
                    found |= both
        return found

    def open_fuses(self, cond: list[int], short: int, blown: dict[int, int], tripped: int) -> int:
        """Open, of the fuses that end a short between two labels, the smallest. Returns the lanes."""
        switches = self.net.switches
        before = self._shorted(self.reach(cond, True, tripped))
        opened = 0
        smaller: list[tuple[float, int]] = []
        for i in self.fuses:
            if not short & cond[i]:
                continue
            trial = list(cond)
            trial[i] = 0
            left = self._shorted(self.reach(trial, True, tripped))
            ended = 0
            for pair, lanes in before.items():
                ended |= lanes & ~left.get(pair, 0)
            for rating, lanes in smaller:
                if rating < switches[i].rating:
                    ended &= ~lanes
            ended &= cond[i]
            if ended:
                blown[i] = blown.get(i, 0) | ended
                smaller.append((switches[i].rating, ended))
                opened |= ended
        return opened


class Spread:
    """The labels over one region, kept while switches change: what no changed switch touches stays."""

    def __init__(self, field: Field, wide: bool) -> None:
        self.field, self.wide = field, wide
        self.changed: set[int] = set()  # switches since the last `get`
        self.found: Reach = []
        self.live: list[int] = []

    def get(self, cond: list[int], tripped: int) -> Reach:
        """For every label the lanes of each node that it is joined to."""
        field = self.field
        batch = field.batch
        found: Reach = []
        for i, (label, part) in enumerate(
            zip(batch.labels, batch.wide if self.wide else batch.narrow, strict=True)
        ):
            live = field.full & ~tripped
            if label.through is not None and label.through[1] < 0:
                live = 0  # fed through a winding: see lanes_feed
            elif label.through is not None:
                number, one, other = label.through
                t = field.net.transformers[number]
                live = found[one][batch.node[t.p1]] & found[other][batch.node[t.p2]]
            known = i < len(self.live) and self.live[i] == live
            if not live:
                found.append(field.nothing)
            elif known and self.changed.isdisjoint(part.numbers):
                found.append(self.found[i])
            else:
                found.append(flood(part, cond, label.node, live, batch.count))
            self.live[i : i + 1] = [live]
        self.changed.clear()
        self.found = found
        return list(found)
