"""supply.pendant-voltage: voltage in the handset and in the control circuit."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from wiring.check.case import Case
from wiring.check.draft import Comparison, Draft, compared
from wiring.check.loads import alternating, hertz
from wiring.check.nets import Net
from wiring.check.rule import iec, rule, us
from wiring.check.states import command, commands, settled_at, to_earth, words
from wiring.files.quantity import show
from wiring.model.behaviour import State

#: A voltage this much above the supply's own is one that a capacitor has made. Definition.
_RAISED = 1.01


@dataclass(frozen=True, slots=True)
class Between:
    """Voltage between two points of the handset, or one and earth, in a state. [V]"""

    volts: float
    a: str
    b: str
    state: State

    @property
    def told(self) -> str:
        """Where and when, in words."""
        ends = f"{self.a} to earth" if not self.b else f"{self.a} to {self.b}"
        return f"{show(self.volts, 'V', toward='up')} in the handset, {ends}, {words(self.state)}"


@rule(
    "supply.pendant-voltage",
    "Voltage at push-buttons and in the control circuit",
    danger=2,
    hazard="A damaged pendant puts its voltage into the hand that holds it.",
    sources=(
        us("29 CFR 1910.179(g)(1)(iii); ASME B30.17 17-1.14.1(c)"),
        iec("IEC 60204-1 9.1.2"),
    ),
    checks="Highest voltage that the supply puts between two cores, or a core and earth, of the handset as "
    "found and of one that stays; and apart from it the higher one that a motor's capacitor makes across an "
    "open contact while the other direction runs.",
    needs="The hoist type; supply.voltage; for the capacitor's voltage its value and the windings.",
    does_not_cover="Voltage inside the hoist's own box.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    for about in ("before", "after"):
        if any(p.zone == "handset" for p in case.circuit(about).points):
            items = [("handset", (about, False)), ("handset beside a running motor", (about, True))]
            yield from case.each(items, lambda s, item: judge(case, s, *item), about)


def judge(case: Case, subject: str, about: str, raised: bool) -> Draft | None:
    """The handset of one circuit: what the supply puts there, or what a capacitor raises above it."""
    states = [frozenset[str](), *(command(case, about, c) for c in commands(case.circuit(about)))]
    # at rest no capacitor raises anything; under a command only what wires join to a pole is the supply's
    imposed = highest(pair for state in states for pair in pairs(case, about, state, fed=bool(state)))
    if not raised:
        return against(case, subject, about, imposed, imposed.told)
    found = highest(pair for state in states for pair in pairs(case, about, state, fed=False))
    if found.volts <= _RAISED * imposed.volts:
        return None
    told = f"{found.told}; the motor's capacitor makes it, the supply {show(imposed.volts, 'V')}"
    return against(case, subject, about, found, told)


def highest(found: Iterable[Between]) -> Between:
    """The largest of some voltages."""
    return max(found, key=lambda x: x.volts, default=Between(0.0, "a core", "", frozenset()))


def against(case: Case, subject: str, about: str, found: Between, told: str) -> Draft:
    """A voltage against the limit of the region."""
    circuit = case.circuit(about)
    ac = alternating(circuit)
    if case.region == "us":
        limit = case.cell("osha-limits", "pendant", "voltage_ac" if ac else "voltage_dc")
    else:
        row = "control-dc" if not ac else "control-ac-60hz" if hertz(circuit) > 55 else "control-ac-50hz"
        limit = case.cell("iec-60204-1-limits", row, "voltage")
    return compared(subject, Comparison(found.volts, limit, "at-most", "V"), told,
                    f"at most {show(limit, 'V')} {'AC' if ac else 'DC'}", "remove the pendant",
                    "control at low voltage through contactors", about=about, key="hoist.type")  # fmt: skip


def pairs(case: Case, about: str, state: State, fed: bool) -> Iterator[Between]:
    """Voltages between points of the handset, and of each to earth. fed: only of points that wires and
    closed contacts join to a pole."""
    circuit = case.circuit(about)
    net = Net(circuit, settled_at(case, about, state).closed)
    potential = to_earth(case, about, state)
    points = [p.name for p in circuit.points if p.zone == "handset" and p.name in potential]
    points = [p for p in points if not fed or net.node(p) in net.live]
    for index, one in enumerate(points):
        yield Between(abs(potential[one]), one, "", state)
        for other in points[index + 1 :]:
            yield Between(abs(potential[one] - potential[other]), one, other, state)
