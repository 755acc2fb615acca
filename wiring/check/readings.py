"""Meter readings against a hoist type: do they fit, with which roles, what would separate two types.

A reading fits by the practice of the meter: leads subtracted, a closed contact
and a short piece of wire are one, windings agree within a factor because the
type's figures are of the right size and no more, a capacitor may read open.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from wiring.check.case import Case
from wiring.check.draft import Missing
from wiring.model.entry import HoistType
from wiring.model.job import Job, Reading
from wiring.model.value import Amount

#: A winding or coil may read this many times more or less than the type's figure, which is a
#: placeholder from half to twice its size, and the meter adds its own part.
_FACTOR = 2.5
#: Assignments and steps after which a search gives up and calls the rest possible.
_MOST, _STEPS = 300, 40_000

Expected = float | str


class TypeMeter:
    """What a meter reads on one hoist type, cores named by role; remembers what it worked out."""

    def __init__(self, hoist: HoistType) -> None:
        from wiring.circuit import build_type
        from wiring.simulate import Network

        self.hoist = hoist
        self.network = Network(build_type(hoist))
        self.roles = tuple(core.role for core in hoist.cores)
        self._known: dict[tuple[str, str, frozenset[str], str | None], Expected | None] = {}

    def expects(self, a: str, b: str, state: frozenset[str], side: str | None) -> Expected | None:
        """Ohms, "OL" or "climbs" between two points; None where the type has no such point."""
        key = (a, b, state, side)
        if key not in self._known:
            self._known[key] = self._read(a, b, state, side)
        return self._known[key]

    def _read(self, a: str, b: str, state: frozenset[str], side: str | None) -> Expected | None:
        from wiring.simulate import expected_ohms

        if "core:spare" in (a, b):
            return "OL"
        if state - set(self.network.input_bit):
            return None
        try:
            return expected_ohms(self.network, a, b, state, side)
        except KeyError:
            return None


@dataclass(frozen=True, slots=True)
class Seen:
    """A reading ready to compare: its two ends, state, side, ohms without leads or a word."""

    a: str
    b: str
    state: frozenset[str]
    side: str | None
    value: float | str
    index: int


def seen(job: Job) -> tuple[Seen, ...]:
    """The job's ohm readings between two single points."""
    found = []
    leads = job.meter.lead_resistance.si if job.meter.lead_resistance else 0.0
    for index, row in enumerate(job.readings):
        if row.quantity != "ohms" or any("+" in end for end in row.between):
            continue
        value = max(0.0, row.value.si - leads) if isinstance(row.value, Amount) else row.value
        ends = [end if ":" in end else f"core:{end}" for end in row.between]
        found.append(Seen(ends[0], ends[1], state_of(row), row.side, value, index))
    return tuple(found)


def state_of(row: Reading) -> frozenset[str]:
    """`press up, open limit:up` as inputs of the type."""
    names = []
    for piece in (row.state or "rest").split(","):
        verb, _, rest = piece.strip().partition(" ")
        rest = rest.strip().replace("limit ", "limit:")
        if verb == "press" and rest:
            names.append(rest if ":" in rest else f"button:{rest}")
        elif verb == "open" and rest:
            names.append(rest if ":" in rest else f"limit:{rest}")
    return frozenset(names)


def agrees(value: float | str, expected: Expected, closed: float, opened: float) -> bool:
    """True where a reading is what the type would show. closed, opened: meter practice [ohm]."""
    if value == "drops":
        return False
    if isinstance(value, str):
        if isinstance(expected, str):
            return True  # OL and climbs: a capacitor may be slow, small or already charged
        return value == "OL" and expected > opened
    if isinstance(expected, str):
        return value >= opened
    if value <= closed and expected <= closed:
        return True
    low = max(min(value, expected), 1e-6)
    return max(value, expected) / low <= _FACTOR


def practice(case: Case) -> tuple[float, float]:
    """What reads as closed and what as open on a handheld meter. [ohm]

    How to read a meter, not a limit that a verdict rests on.
    """
    found = [case.catalog.value(f"hoist-practice/{row}/resistance") for row in ("closed", "open")]
    if found[0] is None or found[1] is None:
        raise Missing("hoist-practice", "the catalog's table of practice is incomplete")
    return found[0].si, found[1].si


class Fit:
    """All readings of a job against one type."""

    def __init__(self, case: Case, meter: TypeMeter) -> None:
        self.meter = meter
        self.readings = seen(case.job)
        self.closed, self.opened = practice(case)
        self.cores = tuple(f"core:{c.id}" for c in case.job.cores)
        self.complete = True

    def contradicts(self, roles: Mapping[str, str]) -> Seen | None:
        """The first reading that the roles cannot explain; None where all fit."""
        return next((r for r in self.readings if not self.fits(r, roles)), None)

    def fits(self, reading: Seen, roles: Mapping[str, str]) -> bool:
        """True where a reading is what the type would show with these roles, or cannot be compared."""
        ends = []
        for end in (reading.a, reading.b):
            if end.startswith("core:"):
                if end not in roles:
                    return True
                ends.append(f"core:{roles[end]}")
            else:
                ends.append(end)
        stopped = _stop_names(self.meter, reading.state)
        expected = self.meter.expects(ends[0], ends[1], stopped, reading.side)
        return expected is None or agrees(reading.value, expected, self.closed, self.opened)

    def solutions(self) -> list[dict[str, str]]:
        """Every way to give the cores the roles of the type that no reading contradicts (up to a limit)."""
        roles = list(self.meter.roles)
        spares = len(self.cores) - len(roles)
        if spares < 0:
            return []
        order = sorted(self.cores, key=lambda c: -sum(c in (r.a, r.b) for r in self.readings))
        found: list[dict[str, str]] = []
        steps = [_STEPS]
        for solution in self._place(order, roles + ["spare"] * spares, {}, steps):
            found.append(solution)
            if len(found) >= _MOST:
                self.complete = False
                break
        if steps[0] <= 0:
            self.complete = False
        return found

    def _place(
        self, order: list[str], free: list[str], roles: dict[str, str], steps: list[int]
    ) -> Iterator[dict[str, str]]:
        if not order:
            yield dict(roles)
            return
        core = order[0]
        mine = [r for r in self.readings if core in (r.a, r.b)]
        for role in dict.fromkeys(free):
            steps[0] -= 1
            if steps[0] <= 0:
                return
            roles[core] = role
            if all(self.fits(r, roles) for r in mine):
                left = list(free)
                left.remove(role)
                yield from self._place(order[1:], left, roles, steps)
            del roles[core]


def _stop_names(meter: TypeMeter, state: frozenset[str]) -> frozenset[str]:
    """A pressed stop is `stop:ES` in the circuit though a person writes `press ES`."""
    return frozenset(
        n.replace("button:", "stop:", 1)
        if n not in meter.network.input_bit and n.startswith("button:")
        else n
        for n in state
    )


def meter_of(case: Case, hoist: HoistType) -> TypeMeter:
    """The meter of a type, made once for a job."""
    key = f"meter {hoist.id}"
    found: TypeMeter | None = case.facts.cache.get(key)
    if found is None:
        found = case.facts.cache[key] = TypeMeter(hoist)
    return found


def possible(job: Job, hoist: HoistType) -> bool:
    """True where supply and number of cores alone do not rule the type out."""
    cores = sum(1 for c in job.cores)
    if cores and cores < len(hoist.cores):
        return False
    stated = job.supply
    if stated.system is not None and stated.system[:3] != hoist.supply_system[:3]:
        return False
    if stated.voltage is not None and hoist.voltage.si:
        ratio = stated.voltage.si / hoist.voltage.si
        if not 0.8 <= ratio <= 1.25:
            return False
    return not (stated.frequency is not None and hoist.frequency.si and stated.system != "dc"
                and abs(stated.frequency.si - hoist.frequency.si) > 2.0)  # fmt: skip


def separating(case: Case, ones: Iterable[tuple[TypeMeter, Mapping[str, str]]]) -> str:
    """A reading that two fitting types would answer differently; empty where none is found."""
    types = list(ones)
    if len(types) < 2:
        return ""
    (first, roles), (second, others) = types[:2]
    cores = [c for c in roles if c in others]
    buttons = [
        frozenset[str](),
        *(frozenset((n,)) for n in first.network.input_bit if n.startswith("button:")),
    ]
    closed, opened = practice(case)
    for side in ("hoist", "handset"):
        for state in buttons if side == "handset" else buttons[:1]:
            for i, a in enumerate(cores):
                for b in cores[i + 1 :]:
                    one = first.expects(f"core:{roles[a]}", f"core:{roles[b]}", state, side)
                    two = second.expects(f"core:{others[a]}", f"core:{others[b]}", state, side)
                    if one is not None and two is not None and _differ(one, two, closed, opened):
                        text = f", {next(iter(state)).partition(':')[2]} pressed" if state else ""
                        names = f"{a.partition(':')[2]} and {b.partition(':')[2]}"
                        return f"ohms between cores {names}, {side} side{text}: {_ohms(one)} or {_ohms(two)}"
    return ""


def _differ(one: Expected, two: Expected, closed: float, opened: float) -> bool:
    return not (agrees(one, two, closed, opened) and agrees(two, one, closed, opened))


def _ohms(value: Expected) -> str:
    return value if isinstance(value, str) else f"{value:.3g} ohm"
