"""Lanes: many (fault set, state) pairs side by side in the bits of Python integers.

A batch holds a few fault sets times all base states. What no fault of the batch
touches is contracted. A *label* is one terminal of a stiff source; `flood` finds
in which lanes each node is joined to it. A node with a label has that label's
voltage, whatever else hangs on it: no equations. What is left over (nodes without
label that hang between two) is found by `lanes_pattern`.
"""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass

from wiring.simulate.lanes_board import FAULT, Board, Setting
from wiring.simulate.lanes_region import Edge, Region, neighbours, region

#: Odd voltages of a secondary closer than this part are one: far finer than any coil's threshold.
ODD = 0.005


@dataclass(frozen=True, slots=True)
class Label:
    """One terminal of a source. node: where it sits; frame: labels whose voltages are known
    against each other; volts: against the frame's reference [V]; through: (transformer,
    label, label) for a secondary that lives while its primary is on these two; both are -1
    where the primary hangs on a motor winding."""

    node: int
    frame: int
    volts: complex
    through: tuple[int, int, int] | None = None


class Batch:
    """Some settings of a board times `width` base states (a multiple of 8)."""

    def __init__(self, board: Board, settings: list[Setting], width: int) -> None:
        self.board, self.net = board, board.network
        self.settings, self.width = settings, width
        self.lanes = width * len(settings)
        self.full = (1 << self.lanes) - 1
        self.block = (1 << width) - 1
        self._hold()
        self._contract()
        self._labels()
        self._regions()

    # -- lanes --------------------------------------------------------------------------------
    def spread(self, base: int) -> int:
        """A set of base states, in every fault set."""
        return int.from_bytes(base.to_bytes(self.width // 8, "little") * len(self.settings), "little")

    def of(self, numbers: list[int]) -> int:
        """All lanes of some settings, by their place in the batch."""
        total = 0
        for number in numbers:
            total |= self.block << (number * self.width)
        return total

    def cut(self, lanes: int, number: int) -> int:
        """The base states of one setting in a set of lanes."""
        return lanes >> (number * self.width) & self.block

    # -- what the faults hold -----------------------------------------------------------------
    def _hold(self) -> None:
        self.held_open: dict[int, int] = {}
        self.held_closed: dict[int, int] = {}
        self.coil_in = [0] * len(self.net.coils)
        self.coil_out = [0] * len(self.net.coils)
        for number, setting in enumerate(self.settings):
            lanes = self.block << (number * self.width)
            for i in setting.opened:
                self.held_open[i] = self.held_open.get(i, 0) | lanes
            for i in setting.closed:
                self.held_closed[i] = self.held_closed.get(i, 0) | lanes
            for name in setting.effect.coils_in:
                self.coil_in[self.board.coil_index[name]] |= lanes
            for name in setting.effect.coils_out:
                self.coil_out[self.board.coil_index[name]] |= lanes
        self._interlocks()

    def _interlocks(self) -> None:
        self.against: list[list[tuple[int, int]]] = [[] for _ in self.net.coils]
        for one, other in self.net.circuit.interlocks:
            jammed = self.holding("jammed", (one, other))
            pair = self.board.coil_index.get(one), self.board.coil_index.get(other)
            if pair[0] is not None and pair[1] is not None:
                self.against[pair[0]].append((pair[1], self.full ^ jammed))
                self.against[pair[1]].append((pair[0], self.full ^ jammed))

    def holding(self, what: str, item: object = True) -> int:
        """Lanes of the settings whose effect has `item` in its set `what`, or its flag `what`."""
        found = []
        for number, setting in enumerate(self.settings):
            value = getattr(setting.effect, what)
            if value is True or (value is not False and item in value):
                found.append(number)
        return self.of(found)

    # -- nodes and edges ----------------------------------------------------------------------
    def _contract(self) -> None:
        net = self.net
        parent = list(range(net.node_count))

        def find(i: int) -> int:
            while parent[i] != i:
                parent[i] = parent[parent[i]]
                i = parent[i]
            return i

        active = []
        for i, switch in enumerate(net.switches):
            if switch.cause == FAULT and i not in self.held_open and i not in self.held_closed:
                if switch.part.form == "NC":
                    parent[find(switch.a)] = find(switch.b)
                continue
            active.append(i)
        numbers: dict[int, int] = {}
        self.node = [numbers.setdefault(find(i), len(numbers)) for i in range(net.node_count)]
        self.count = len(numbers)
        self.active = active
        self.edges: list[Edge] = []
        for i in active:
            u, v = self.node[net.switches[i].a], self.node[net.switches[i].b]
            if u != v:
                self.edges.append((i, u, v))
        self.by_cause: dict[str, list[int]] = {}
        for i in active:
            self.by_cause.setdefault(net.switches[i].cause, []).append(i)

    # -- labels -------------------------------------------------------------------------------
    def _labels(self) -> None:
        """Source terminals with their voltages, then a label for each way a secondary can live."""
        near: dict[int, list[tuple[int, complex]]] = {}
        for source in self.net.sources:
            plus, minus = self.node[source.plus], self.node[source.minus]
            volts = max(source.volts, key=abs)
            near.setdefault(minus, []).append((plus, volts))
            near.setdefault(plus, []).append((minus, -volts))
        self.labels: list[Label] = []
        self.frame_at: dict[int, tuple[int, complex]] = {}
        for frame, start in enumerate(sorted(near)):
            if start in self.frame_at:
                continue
            self.frame_at[start] = (frame, 0j)
            queue = deque([start])
            while queue:
                node = queue.popleft()
                for other, volts in near[node]:
                    if other not in self.frame_at:
                        self.frame_at[other] = (frame, self.frame_at[node][1] + volts)
                        queue.append(other)
        for node, (frame, volts) in self.frame_at.items():
            self.labels.append(Label(node, frame, volts))
        self.label_at = {label.node: i for i, label in enumerate(self.labels)}
        self.sides: list[tuple[int, int, complex, int]] = []
        for number in range(len(self.net.transformers)):
            self._secondary(number)

    def _secondary(self, number: int) -> None:
        """Labels of a transformer's secondary: its reference end, and one per pair of primary labels."""
        t = self.net.transformers[number]
        s1, s2 = self.node[t.s1], self.node[t.s2]
        low, high, sign = (s1, s2, -1) if s1 in self.frame_at and s2 not in self.frame_at else (s2, s1, 1)
        if low not in self.frame_at:
            self.frame_at[low] = (len(self.labels) + 1000, 0j)
            self.label_at[low] = len(self.labels)
            self.labels.append(Label(low, self.frame_at[low][0], 0j))
        frame, base = self.frame_at[low]
        self.sides.append((high, frame, base, sign))
        near = self._near()
        ends = [self._can_reach(self.node[pin], near) for pin in (t.p1, t.p2)]
        for one in ends[0]:
            for other in ends[1]:
                a, b = self.labels[one], self.labels[other]
                volts = a.volts - b.volts
                if one == other or a.frame != b.frame or not volts:
                    continue
                if t.rectifier:
                    volts = complex(abs(volts))
                self.labels.append(Label(high, frame, base + sign * volts * t.ratio, (number, one, other)))

    def odd_secondary(self, number: int, volts: float) -> int:
        """The label of a secondary that has `volts` because its primary hangs on a winding."""
        high, frame, base, sign = self.sides[number]
        for i, label in enumerate(self.labels):
            if label.through == (number, -1, -1) and abs(abs(label.volts - base) - volts) <= ODD * volts:
                return i
        label = Label(high, frame, base + sign * volts, (number, -1, -1))
        self.labels.append(label)
        part = self._from(label, self._all_near)
        self.narrow.append(part)
        self.wide.append(part)
        return len(self.labels) - 1

    def _can_reach(self, node: int, near: dict[int, list[int]]) -> list[int]:
        """Labels that a node can ever be joined to, whatever is operated."""
        seen, queue = {node}, deque([node])
        while queue:
            for other in near.get(queue.popleft(), ()):
                if other not in seen:
                    seen.add(other)
                    queue.append(other)
        return [i for i, label in enumerate(self.labels) if label.node in seen]

    def _near(self) -> dict[int, list[int]]:
        near: dict[int, list[int]] = {}
        for _, u, v in self.edges:
            near.setdefault(u, []).append(v)
            near.setdefault(v, []).append(u)
        return near

    # -- regions ------------------------------------------------------------------------------
    def _regions(self) -> None:
        """`narrow`: edges without the power contacts that only feed motors; `wide`: all of them.

        Coils settle on the narrow ones; whether that was enough is checked after it.
        """
        switches = self.net.switches
        power = {
            i for i, _, _ in self.edges
            if switches[i].part.role == "power" and switches[i].cause.startswith("coil:")
        }  # fmt: skip
        pins = {self.node[n] for c in self.net.coils for n in self._ends(c.load)}
        pins |= {self.node[n] for t in self.net.transformers for n in (t.p1, t.p2)}
        self.deciding = sorted(pins)
        while True:
            narrow = [edge for edge in self.edges if edge[0] not in power]
            missing = self._unfed(narrow)
            if not missing:
                break
            back = self._way_back(missing, power)
            if not back:
                break
            power -= back
        self.narrow = self._parts(neighbours(narrow))
        self._all_near = neighbours(self.edges)
        self.wide = self._parts(self._all_near)
        self.all_narrow = len(narrow) == len(self.edges)

    def _ends(self, load: int) -> tuple[int, int]:
        return self.net.loads[load].a, self.net.loads[load].b

    def _unfed(self, narrow: list[Edge]) -> list[int]:
        seen = {label.node for label in self.labels}
        near: dict[int, list[int]] = {}
        for _, u, v in narrow:
            near.setdefault(u, []).append(v)
            near.setdefault(v, []).append(u)
        queue = deque(seen)
        while queue:
            for other in near.get(queue.popleft(), ()):
                if other not in seen:
                    seen.add(other)
                    queue.append(other)
        return [pin for pin in self.deciding if pin not in seen]

    def _way_back(self, missing: list[int], power: set[int]) -> set[int]:
        """Power contacts on the shortest way from a label to each pin that has none."""
        came: dict[int, tuple[int, int]] = {label.node: (-1, -1) for label in self.labels}
        near: dict[int, list[tuple[int, int]]] = {}
        for i, u, v in self.edges:
            near.setdefault(u, []).append((v, i))
            near.setdefault(v, []).append((u, i))
        queue = deque(came)
        while queue:
            node = queue.popleft()
            for other, i in near.get(node, ()):
                if other not in came:
                    came[other] = (node, i)
                    queue.append(other)
        found: set[int] = set()
        for pin in missing:
            node = pin
            while node in came and came[node][0] >= 0:
                node, i = came[node]
                if i in power:
                    found.add(i)
        return found

    def _parts(self, near: dict[int, list[Edge]]) -> list[Region]:
        """The region of every label. Labels at one place share it."""
        known: dict[tuple[int, int], Region] = {}
        for label in self.labels:
            key = label.node, label.frame
            if key not in known:
                known[key] = self._from(label, near)
        return [known[label.node, label.frame] for label in self.labels]

    def _from(self, label: Label, near: dict[int, list[Edge]]) -> Region:
        """What a label can reach, not through another label of its frame."""
        walls = {n for n, (frame, _) in self.frame_at.items() if frame == label.frame and n != label.node}
        return region(label.node, near, walls)
