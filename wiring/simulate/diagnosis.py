"""From what was seen to the single faults that would show the same, best first, and what to look at next.

Every single fault of the circuit is simulated and looked at with the same probes. A fault
that shows something else than was seen, beyond meter and supply tolerance, misses there;
fewest misses first, then nearest figures. Faults that no probe made so far tells apart
stand together as one explanation.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterable, Mapping

from wiring.model.circuit import Circuit
from wiring.model.commissioning import Diagnosis, Explanation
from wiring.simulate.diagnosis_probes import Probe, Seen, Watcher, probes
from wiring.simulate.faults import FaultSet, plain_faults
from wiring.simulate.network import Network

Progress = Callable[[int, int], None]
#: Tolerance of a voltage: three times a meter's 1 %, for meter, supply reading and model together,
#: and so many volts for its last digits.
SHARE, DIGITS = 0.03, 0.6
#: Tolerance of a time taken from a film or by a recorder. [s]
WATCH = 0.1
#: Figures nearer than this (share of the larger) are the same observation.
SAME = 0.004
#: Explanations that the next probe should tell apart.
OPEN = 12


class Diagnostician:
    """One converted circuit with everything that can be seen on it and every single fault."""

    def __init__(self, circuit: Circuit, faults: tuple[FaultSet, ...] | None = None) -> None:
        self.circuit = circuit
        self.network = Network(circuit)
        self.probes = {probe.id: probe for probe in probes(self.network)}
        self.sound = Watcher(self.network)
        self.faults = {"; ".join(f.names): f for f in (faults or plain_faults(circuit))}
        self._watchers: dict[str, Watcher] = {}
        self._shown: dict[tuple[str, str], Seen] = {}

    def expected(self, probe: str, fault: str = "") -> Seen:
        """What a probe shows on the sound circuit, or with a fault."""
        key = (fault, probe)
        if key not in self._shown:
            self._shown[key] = self.watcher(fault).read(self.probes[probe])
        return self._shown[key]

    def watcher(self, fault: str) -> Watcher:
        if not fault:
            return self.sound
        found = self._watchers.get(fault)
        if found is None:
            found = self._watchers[fault] = Watcher(self.network.faulted(self.faults[fault].names))
        return found

    def diagnose(self, seen: Mapping[str, Seen], progress: Progress | None = None) -> Diagnosis:
        """seen: probe id to motions or volts (volts in proportion to the supply of the plan).
        Raises KeyError for an unknown probe."""
        alarms = tuple(p for p, value in seen.items() if self.miss(p, value))
        if not alarms:
            return Diagnosis((), (), len(seen))
        groups: dict[tuple[object, ...], list[str]] = {}
        for number, fault in enumerate(self.faults):
            if progress is not None:
                progress(number + 1, len(self.faults))
            if all(self.miss(p, seen[p], fault) for p in alarms):
                continue  # it explains nothing of what is wrong
            groups.setdefault(self.signature(fault, seen), []).append(fault)
        ranked = sorted(
            (self.explained(tuple(faults), seen) for faults in groups.values()),
            key=lambda e: (e.misses, round(e.distance, 6), -len(e.faults), e.faults),
        )
        following = self.following(ranked, seen)
        return Diagnosis(
            alarms,
            tuple(ranked),
            len(seen),
            following.do if following else "",
            following.id if following else "",
        )

    def signature(self, fault: str, seen: Iterable[str]) -> tuple[object, ...]:
        """What a fault shows at these probes, figures rounded so that equal ones are equal."""
        return tuple(self.rounded(p, fault) for p in seen)

    def rounded(self, probe: str, fault: str) -> object:
        """What a probe shows with a fault, on a scale on which equal observations are equal."""
        return rounded(self.expected(probe, fault), WATCH if self.timed(probe) else DIGITS)

    def timed(self, probe: str) -> bool:
        return self.probes[probe].kind == "time"

    def miss(self, probe: str, value: Seen, fault: str = "") -> bool:
        """True where what was seen is not what the fault (or the sound circuit) shows."""
        return self.apart(probe, value, fault) > 1.0

    def apart(self, probe: str, value: Seen, fault: str) -> float:
        """How far an observation is off, in tolerances of its kind."""
        return apart(value, self.expected(probe, fault), WATCH if self.timed(probe) else DIGITS)

    def explained(self, faults: tuple[str, ...], seen: Mapping[str, Seen]) -> Explanation:
        first = faults[0]
        off = {p: self.apart(p, value, first) for p, value in seen.items()}
        missed = tuple(p for p, distance in off.items() if distance > 1.0)
        return Explanation(
            faults=faults,
            kind=self.faults[first].kind,
            misses=len(missed),
            distance=math.fsum(min(d, 1.0) ** 2 for d in off.values()),
            differs=tuple(f"{p}: {words(self.expected(p, first), self.timed(p))} expected" for p in missed),
        )

    def following(self, ranked: list[Explanation], seen: Mapping[str, Seen]) -> Probe | None:
        """The probe not made yet that leaves the fewest of the best explanations together."""
        if not ranked:
            return None
        best = [e for e in ranked if e.misses == ranked[0].misses]
        names = [name for e in best for name in e.faults][:OPEN]
        if len(names) < 2:
            return None
        chosen, left = None, float(len(names))
        for probe in self.probes.values():
            if probe.id in seen:
                continue
            groups = Counter(self.rounded(probe.id, name) for name in names)
            together = sum(n * n for n in groups.values()) / len(names)
            if together < left - 1e-9:
                chosen, left = probe, together
        return chosen


def rounded(value: Seen, least: float) -> object:
    """A figure in steps of `SAME`, everything below `least` together; words as they are."""
    if isinstance(value, tuple):
        return value
    if math.isinf(value):
        return math.inf
    return -1 if value < least else round(math.log(value) / SAME / 2)


def apart(seen: Seen, expected: Seen, plus: float) -> float:
    """How far an observation is off, in tolerances; words are right (0) or not (infinite)."""
    if isinstance(seen, tuple) or isinstance(expected, tuple):
        return 0.0 if seen == expected else math.inf
    if math.isinf(seen) or math.isinf(expected):
        return 0.0 if seen == expected else math.inf
    return abs(seen - expected) / (SHARE * max(seen, expected) + plus)


def words(value: Seen, timed: bool = False) -> str:
    """An observation in words."""
    if isinstance(value, tuple):
        return " and ".join(value) or "nothing moves"
    if math.isinf(value):
        return "goes on"
    return f"{value:.2f} s" if timed else f"{value:.1f} V"
