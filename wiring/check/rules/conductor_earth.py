"""conductor.earth: the protective conductor reaches every box, unswitched."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.nets import Net
from wiring.check.rule import iec, rule, us


@rule(
    "conductor.earth",
    "Protective conductor continuous to every box",
    danger=2,
    hazard="A metal box whose earth hung on the removed cord is live after the first fault.",
    sources=(
        us("NEC 610.61; 29 CFR 1926.406(a)(4)"),
        iec("IEC 60204-1 8.2"),
    ),
    checks="Each earth terminal of receiver and added devices, and of the cord that stays, is joined to the "
    "hoist's "
    "earth by wires alone.",
    needs="A protective conductor in every cable to a box with an earth terminal.",
    does_not_cover="Its resistance, measured at commissioning; boxes of plastic without an earth terminal.",
)
def check(case: Case) -> Iterable[Draft]:
    earth = case.after.earth
    if not earth:
        return [unknown("earth", "the hoist type has no earth terminal", "a protective conductor", "find it",
                        key="hoist.type")]  # fmt: skip
    net = Net(case.after, ())
    points = [p.name for p in case.after.points
              if p.name.rpartition(":")[2] in ("PE", "E") and p.zone in ("receiver", "device")]  # fmt: skip
    return case.each([(p, p) for p in points], lambda s, p: judge(s, net.same(p, earth)))


def judge(subject: str, joined: bool) -> Draft:
    """One earth terminal."""
    wanted = "joined to the hoist's earth by wires alone"
    if joined:
        return passed(subject, "joined to the hoist's earth", wanted)
    return failed(subject, "not joined to the hoist's earth", wanted, "land a protective conductor on it",
                  key="connection")  # fmt: skip
