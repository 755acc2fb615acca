"""Fault sets that cannot be told apart by anything the engine looks at: one is run for all.

Two breaks in one unbranched run of wires and contacts are one break; two ways of
joining the same nets are one short. What differs is only where the story says it
happened.
"""

from __future__ import annotations

from collections.abc import Hashable

from wiring.simulate.lanes_batch import Batch
from wiring.simulate.lanes_board import FAULT, Board, Setting


class Likeness:
    """Signatures of the settings of one board."""

    def __init__(self, board: Board) -> None:
        self.board = board
        self.chain = self._chains()
        self.net = self._nets()

    def _ends(self) -> dict[int, list[int]]:
        """Node to what hangs on it: switch numbers, -1 for anything else."""
        net = self.board.network
        ends: dict[int, list[int]] = {}
        for i, switch in enumerate(net.switches):
            for node in (switch.a, switch.b):
                ends.setdefault(node, []).append(i)
        others = [node for load in net.loads for node in (load.a, load.b)]
        others += [node for source in net.sources for node in (source.plus, source.minus)]
        others += [node for t in net.transformers for node in (t.p1, t.p2, t.s1, t.s2)]
        for node in (*others, net.earth):
            ends.setdefault(node, []).append(-1)
        return ends

    def _chains(self) -> list[int]:
        """Switch to the first switch of its unbranched run."""
        parent = list(range(len(self.board.network.switches)))

        def find(i: int) -> int:
            while parent[i] != i:
                i = parent[i]
            return i

        for ends in self._ends().values():
            if len(ends) == 2 and ends[0] != ends[1] and min(ends) >= 0:
                one, other = sorted((find(ends[0]), find(ends[1])))
                parent[other] = one
        return [find(i) for i in range(len(parent))]

    def _nets(self) -> list[int]:
        """Node to its net: everything that sound wires join."""
        net = self.board.network
        parent = list(range(net.node_count))

        def find(i: int) -> int:
            while parent[i] != i:
                i = parent[i]
            return i

        for switch in net.switches:
            if switch.cause == FAULT and switch.part.form == "NC":
                parent[find(switch.a)] = find(switch.b)
        return [find(i) for i in range(net.node_count)]

    def supply_switches(self) -> frozenset[int]:
        """Switches on the ways from the mains to a control transformer, motor contacts left out.

        Where one of them is open the transformer hangs on a motor; such settings settle the
        long way and are best run apart from the others.
        """
        batch = Batch(self.board, list(self.board.settings), 8)
        found: set[int] = set()
        for label, part in zip(batch.labels, batch.narrow, strict=True):
            if label.through is None and self.board.network.transformers:
                found |= part.numbers
        for label, part in zip(batch.labels, batch.narrow, strict=True):
            if label.through is not None:
                found -= part.numbers
        return frozenset(found)

    def of(self, setting: Setting, exact: bool = False) -> Hashable:
        """Equal for settings that settle alike in every state; exact: also with any other fault."""
        effect = setting.effect
        opened = frozenset(self.chain[i] for i in setting.opened)
        closed: frozenset[Hashable] = frozenset(setting.closed)
        if not opened and not exact:
            switches = self.board.network.switches
            pairs = (frozenset((self.net[switches[i].a], self.net[switches[i].b])) for i in setting.closed)
            closed = frozenset(pair for pair in pairs if len(pair) == 2)
        return (
            opened, closed, effect.coils_in, effect.coils_out, effect.jammed, effect.stuck,
            effect.dead_keys, effect.frozen, effect.on, effect.latching, effect.loss_stuck, effect.restores,
        )  # fmt: skip
