"""proof.isolation: with the isolator open everything downstream is dead."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.loads import alternating
from wiring.check.nets import Net
from wiring.check.rule import iec, rule, us
from wiring.check.states import settled_at
from wiring.files.quantity import show
from wiring.model.behaviour import Settled
from wiring.model.circuit import Circuit, Stop


@rule(
    "proof.isolation",
    "The isolator takes everything dead",
    danger=2,
    hazard="A receiver fed from elsewhere keeps its terminals live behind a locked isolator.",
    sources=(
        us("NEC 430.75(A); 29 CFR 1910.147(d)(3), 1910.333(b)(2)"),
        iec("IEC 60204-1 5.3, 5.4"),
    ),
    checks="The settled state with each isolator or plug open: no terminal of hoist, receiver or added "
    "device above the "
    "touch limit, except the line side of the isolator itself.",
    needs="An isolator or plug as part of the circuit, as converted.",
    does_not_cover="Induced voltage, capacitors that still hold charge.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    able = [s for s in case.after.stops if s.kind in ("isolator", "plug")]
    if not able:
        return [unknown("isolation", "no isolator or plug is in the circuit", "one that takes everything "
            "dead",
                        "name it: [[stop]] kind = \"isolator\" with the device it is",
                        key="stop")]  # fmt: skip
    return case.each([(s.input, s) for s in able], lambda subject, s: judge(case, subject, s))


def judge(case: Case, subject: str, stop: Stop) -> Draft:
    """One isolator open."""
    limit = case.cell(
        "hoist-practice", "touch-dry", "voltage_ac" if alternating(case.after) else "voltage_dc"
    )
    settled = settled_at(case, "after", (stop.input,))
    line = line_side(case.after, stop, settled)
    still = sorted(
        (abs(v), n)
        for n, v in settled.potential.items()
        if abs(v) > limit and n not in line and _counts(case, n)
    )
    wanted = f"everything behind it below {show(limit, 'V')}"
    if still:
        volts, name = still[-1]
        return failed(subject, f"{stop.kind} open: {name} still has {show(volts, 'V', toward='up')}", wanted,
                      "take that supply from behind the isolator", "fit a second isolator and a label",
                      key="connection")  # fmt: skip
    return passed(subject, f"{stop.kind} open: everything behind it is dead", wanted)


def line_side(circuit: Circuit, stop: Stop, settled: Settled) -> set[str]:
    """Points joined to the source by wires alone while the isolator is open: its own line side."""
    own = {circuit.part(n).pins[i] for n in stop.parts for i in (0, 1)}
    net = Net(circuit, (), ())
    sources = {net.node(p) for part in circuit.parts if part.kind == "source" for p in part.pins}
    reached = {p.name for p in circuit.points if net.node(p.name) in sources}
    isolators = {q for s in circuit.stops if s.kind in ("isolator", "plug") for n in s.parts
                 for q in circuit.part(n).pins}  # fmt: skip
    closed = Net(circuit, settled.closed, stop.parts)
    fed = {closed.node(p) for p in own if net.node(p) in sources}
    zone = {p.name for p in circuit.points if p.zone == "supply"}
    return {n for n in reached if n in own or n in isolators or n in zone} | {
        p.name
        for p in circuit.points
        if closed.node(p.name) in fed and (p.name in zone or p.name in isolators)
    }


def _counts(case: Case, name: str) -> bool:
    return any(p.name == name and p.terminal and p.zone != "supply" for p in case.after.points)
