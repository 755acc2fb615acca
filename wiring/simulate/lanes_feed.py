"""Control transformers whose primary hangs on a motor winding: a lost phase, fed back through the motor.

There the secondary has some odd voltage. It is solved once per pattern of the power
part and becomes a label like any other, so that the coils behind it need no solving.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import cast

from wiring.simulate.lanes_field import Field, Reach
from wiring.simulate.lanes_pattern import (
    Islands,
    around,
    label_of,
    lane_of,
    leaves,
    soft,
    solved,
)
from wiring.simulate.lanes_region import flood


@dataclass(slots=True)
class _View:
    """One moment of a run. touched: nodes that hang on a label through a winding."""

    reach: Reach
    cond: list[int]
    coils: list[int]
    touched: list[int]


class Feeds:
    """The odd secondaries of one batch. relabel: called when a label was added."""

    def __init__(self, field: Field, relabel: Callable[[], None]) -> None:
        self.field, self.batch, self.net = field, field.batch, field.net
        self.relabel = relabel
        self.pins = [(self.batch.node[t.p1], self.batch.node[t.p2]) for t in self.net.transformers]

    def complete(self, reach: Reach, cond: list[int], coils: list[int]) -> None:
        """Add to `reach` what such secondaries feed."""
        view = _View(reach, cond, coils, [])
        for number, (lanes, bits) in self._hanging(view).items():
            fed: dict[int, int] = {}
            power = self.field.power_loads, self.field.power_edges
            islands = Islands(self.batch, *power, cond, coils, reach, view.touched)
            for leaf in leaves(lanes, bits):
                volts = self._volts(number, view, islands, lane_of(leaf))
                if volts > 0.0:
                    label = self.batch.odd_secondary(number, volts)
                    fed[label] = fed.get(label, 0) | leaf
            if len(reach) < len(self.batch.labels):
                reach += [[0] * self.batch.count for _ in self.batch.labels[len(reach) :]]
                self.field.see()
                self.relabel()
            for label, live in fed.items():
                node = self.batch.labels[label].node
                reach[label] = flood(self.batch.wide[label], cond, node, live, self.batch.count)

    def hung(self, reach: Reach, cond: list[int]) -> int:
        """Lanes in which a winding brings the primary of some transformer something."""
        total = 0
        for _, lanes in self._fed(_View(reach, cond, [], [])):
            total |= lanes
        return total

    def _hanging(self, view: _View) -> dict[int, tuple[int, list[int]]]:
        """Transformers to the lanes in which a winding brings their primary something, and what
        those lanes must be parted by."""
        found: dict[int, tuple[int, list[int]]] = {}
        loads, edges = self.field.power_loads, self.field.power_edges
        for number, lanes in self._fed(view):
            labels = [one[pin] for one in view.reach for pin in self.pins[number]]
            near = around(edges, loads, view.cond, view.reach, view.touched)
            found[number] = lanes, [*(bits for _, bits in near), *labels]
        return found

    def unfed(self, reach: Reach) -> int:
        """Lanes in which some primary has an end without a source terminal."""
        total = 0
        for p1, p2 in self.pins:
            one_end = other_end = 0
            for one in reach:
                one_end |= one[p1]
                other_end |= one[p2]
            total |= self.batch.full ^ (one_end & other_end)
        return total

    def _fed(self, view: _View) -> list[tuple[int, int]]:
        """Transformers and the lanes in which their primary hangs on a winding. Fills `view.touched`."""
        field, batch = self.field, self.batch
        hard = field.hard(view.reach)
        open_ends = 0
        for p1, p2 in self.pins:
            open_ends |= batch.full & ~(hard[p1] & hard[p2])
        if not open_ends:
            return []
        own = field.distinct(view.reach)
        fed = 0
        for lanes in field.seeds(field.power_loads, view.reach, hard, own):
            fed |= lanes
        fed &= open_ends
        if not fed:
            return []
        loads, edges = field.power_loads, field.power_edges
        view.touched, _ = soft(batch, loads, edges, view.cond, view.reach, hard, own, fed)
        touched = view.touched
        found = [
            (number, (touched[p1] & (touched[p2] | hard[p2])) | (touched[p2] & hard[p1]))
            for number, (p1, p2) in enumerate(self.pins)
        ]
        return [(number, lanes) for number, lanes in found if lanes]

    def _volts(self, number: int, view: _View, islands: Islands, lane: int) -> float:
        """Voltage of the secondary in one lane [V]. Memoised by what hangs around the primary."""
        t, memo = self.net.transformers[number], self.batch.board.memo
        ends = tuple(label_of(self.batch, view.reach, pin, lane) for pin in self.pins[number])
        key = ("secondary", number, ends, islands.key(lane))
        if key not in memo:
            solution, _, _ = solved(self.batch, view.cond, view.coils, lane)
            sides = [(one.potential(t.s1), one.potential(t.s2)) for one in solution.islands]
            memo[key] = max(abs(p - q) if p is not None and q is not None else 0.0 for p, q in sides)
        return cast(float, memo[key])
