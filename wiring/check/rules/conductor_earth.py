"""conductor.earth: the protective conductor reaches every box, unswitched, and carries no load."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.loads import alternating, describe
from wiring.check.nets import SWITCHES, Net, poles, taking
from wiring.check.rule import iec, rule, us
from wiring.check.runs import runs
from wiring.model.circuit import Circuit, Part

_IDLE = "no load's current in the protective conductor"


@rule(
    "conductor.earth",
    "Protective conductor continuous to every box",
    danger=2,
    hazard="A metal box whose earth hung on the removed cord is live after the first fault.",
    sources=(
        us("NEC 610.61, 250.6(A), 250.24(A)(5); 29 CFR 1926.406(a)(4)"),
        iec("IEC 60204-1 8.2"),
    ),
    checks="Each earth terminal of receiver and added devices, and of the cord that stays, is joined to the "
    "hoist's earth by wires alone. No load has its return through the protective conductor.",
    needs="A protective conductor in every cable to a box with an earth terminal.",
    does_not_cover="Its resistance, measured at commissioning; boxes of plastic without an earth terminal; "
    "the frame of a battery winch as a return.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    earth = case.after.earth
    if not earth:
        return [unknown("earth", "the hoist type has no earth terminal", "a protective conductor", "find it",
                        key="hoist.type")]  # fmt: skip
    net = Net(case.after, ())
    points = [p.name for p in case.after.points
              if p.name.rpartition(":")[2] in ("PE", "E") and p.zone in ("receiver", "device")]  # fmt: skip
    boxes = case.each([(p, p) for p in points], lambda s, p: judge(s, net.same(p, earth)))
    return [*boxes, *misused(case)]


def judge(subject: str, joined: bool) -> Draft:
    """One earth terminal."""
    wanted = "joined to the hoist's earth by wires alone"
    if joined:
        return passed(subject, "joined to the hoist's earth", wanted)
    return failed(subject, "not joined to the hoist's earth", wanted, "land a protective conductor on it",
                  key="connection")  # fmt: skip


def misused(case: Case) -> Iterator[Draft]:
    """Loads whose return is the protective conductor, and protective conductors that carry one."""
    if not alternating(case.after):
        return
    was = returning(case.before)
    for load in sorted(returning(case.after)):
        yield failed(load, f"its return runs through the protective conductor, on {case.after.earth}", _IDLE,
                     "take the return from the pole it belongs to, on the terminal strip",
                     about="before" if load in was else "after", key="connection")  # fmt: skip
    for run in runs(case):
        if run.earth and run.loads:
            yield failed(run.name, f"the protective conductor carries {describe(run.loads)}", _IDLE,
                         "use another conductor for the return", key=f"{run.key}.order")  # fmt: skip


def returning(circuit: Circuit) -> set[str]:
    """Loads with an end on the protective conductor, that reaches a pole through the bond alone."""
    closed = {p.name for p in circuit.parts if p.kind in SWITCHES}
    net = Net(circuit, closed, bonds(circuit))
    earth = net.node(circuit.earth)
    if earth in net.live:
        return set()
    idle = ("capacitor", "suppressor")
    return {p.name for p, pins in taking(circuit)
            if p.kind not in idle and len({net.node(x) for x in pins}) > 1
            and any(net.node(x) == earth for x in pins)}  # fmt: skip


def bonds(circuit: Circuit) -> set[str]:
    """Wires that earth a pole: the bond of the supply, and those of control circuits."""
    pole = set(poles(circuit))
    return {p.name for p in circuit.parts if p.kind == "wire" and _bond(p, circuit.earth, pole)}


def _bond(part: Part, earth: str, pole: set[str]) -> bool:
    ends = set(part.pins[:2])
    return part.role == "bond" or (earth in ends and bool(ends & pole))
