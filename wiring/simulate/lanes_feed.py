"""Control transformers whose primary hangs on a motor winding: a lost phase, fed back through the motor.

There the secondary has some odd voltage. It is solved once per pattern of the power
part and becomes a label like any other, so that the coils behind it need no solving.
"""

from __future__ import annotations

from collections.abc import Callable

from wiring.simulate.lanes_batch import flood
from wiring.simulate.lanes_field import Field, Reach
from wiring.simulate.lanes_pattern import around, distinct, lane_of, leaves, seeds, soft, solved


class Feeds:
    """The odd secondaries of one batch. relabel: called when a label was added."""

    def __init__(self, field: Field, relabel: Callable[[], None]) -> None:
        self.field, self.batch, self.net = field, field.batch, field.net
        self.relabel = relabel

    def complete(self, reach: Reach, cond: list[int], coils: list[int]) -> None:
        """Add to `reach` what such secondaries feed."""
        hanging = self._hanging(reach, cond)
        for number, (lanes, bits) in hanging.items():
            fed: dict[int, int] = {}
            for leaf in leaves(lanes, bits):
                volts = self._volts(number, cond, coils, lane_of(leaf))
                if volts > 0.0:
                    label = self.batch.odd_secondary(number, volts)
                    fed[label] = fed.get(label, 0) | leaf
            if len(reach) < len(self.batch.labels):
                reach += [[0] * self.batch.count for _ in self.batch.labels[len(reach) :]]
                self.relabel()
            for label, live in fed.items():
                node = self.batch.labels[label].node
                reach[label] = flood(self.batch.wide[label], cond, [(node, live)], self.batch.count)

    def _hanging(self, reach: Reach, cond: list[int]) -> dict[int, tuple[int, list[int]]]:
        """Transformers to the lanes in which a winding brings their primary something, and what
        those lanes must be parted by."""
        field, batch = self.field, self.batch
        hard = field.hard(reach)
        open_ends = 0
        for t in self.net.transformers:
            open_ends |= ~(hard[batch.node[t.p1]] & hard[batch.node[t.p2]])
        own = distinct(batch, reach)
        fed = 0
        for lanes in seeds(field.power_loads, reach, hard, own):
            fed |= lanes
        fed &= open_ends
        if not fed:
            return {}
        loads, edges = field.power_loads, field.power_edges
        touched, _ = soft(batch, loads, edges, cond, reach, hard, own, fed)
        found: dict[int, tuple[int, list[int]]] = {}
        for number, t in enumerate(self.net.transformers):
            p1, p2 = batch.node[t.p1], batch.node[t.p2]
            lanes = (touched[p1] & (touched[p2] | hard[p2])) | (touched[p2] & hard[p1])
            if lanes:
                labels = [one[pin] for one in reach for pin in (p1, p2)]
                found[number] = lanes, [*around(edges, loads, cond, reach, touched), *labels]
        return found

    def _volts(self, number: int, cond: list[int], coils: list[int], lane: int) -> float:
        """Voltage of the secondary in one lane [V]."""
        solution, _, _ = solved(self.batch, cond, coils, lane)
        t = self.net.transformers[number]
        known = solution.potential()
        one, other = known.get(t.part.pins[2]), known.get(t.part.pins[3])
        return abs(one - other) if one is not None and other is not None else 0.0
