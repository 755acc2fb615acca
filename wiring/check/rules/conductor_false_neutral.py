"""conductor.false-neutral: returns of added loads reach the pole they name, in every state."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.answers import answered
from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.nets import Net, poles
from wiring.check.rule import iec, rule, us
from wiring.check.sources import standing
from wiring.model.circuit import Part, Stop


@rule(
    "conductor.false-neutral",
    "The return of an added load is a real one",
    danger=1,
    hazard="A return core that is taken for the neutral carries the load through a winding, and dies when "
    "its key is held.",
    sources=(
        us("NEC 200.6, 200.7; 29 CFR 1910.304(a)"),
        iec("IEC 60204-1 5.1, 13.2.3; IEC 60445"),
    ),
    checks="Each load that the conversion adds: one of its ends reaches a pole of the supply, or the "
    "secondary of a "
    "transformer, through wires, fuses and isolators alone, whatever is pressed. Where its terminal is "
    "called N that "
    "pole is earthed.",
    needs="Both ends of each added coil and of the receiver's supply landed.",
    does_not_cover="The quality of the neutral upstream.",
)
def check(case: Case) -> Iterable[Draft]:
    ids = {d.id for d in case.job.devices} | {"receiver"}
    added = [p for p in case.after.parts
             if p.kind in ("coil", "supply-input") and p.owner.partition(".")[0] in ids]  # fmt: skip
    return case.each([(p.name, p) for p in added], lambda s, p: judge(case, s, p))


def judge(case: Case, subject: str, part: Part) -> Draft:
    """One added load."""
    fixed = working(case)
    net = Net(case.after, fixed)
    real = {net.node(p) for p in poles(case.after)}
    ends = [pin for pin in part.pins if net.node(pin) in real]
    wanted = "a return that is a pole of the supply in every state"
    if not ends or (part.kind == "supply-input" and not supplied(case, part)):
        return failed(subject, "one end reaches no pole of the supply by wires alone: its return runs "
                               "through "
                      "a winding, a coil or a contact", wanted,
                      "take the return from the terminal strip, on the same protective device",
                      key="connection")  # fmt: skip
    called = [pin for pin in part.pins if pin.rpartition(":")[2] in ("N", "N1")]
    bare = Net(case.after, fixed)
    earthed = bool(case.after.earth) and any(bare.same(pin, case.after.earth) for pin in called)
    if called and not earthed:
        text = answered(case, "conductor.false-neutral")
        if text:
            return passed(subject, f"{called[0]} lands on a live pole, known: {text}", wanted, key="answer")
        return unknown(subject, f"{called[0]} is called N and lands on a pole that is not earthed", wanted,
                       "label it as live; check that the receiver may sit between two lines",
                       'answer it: [[answer]] requirement = "conductor.false-neutral"',
                       key="connection")  # fmt: skip
    return passed(subject, f"return at {ends[-1]}, a pole of the supply in every state", wanted)


def supplied(case: Case, part: Part) -> bool:
    """True where both ends of a receiver's supply reach poles, with stops closed and no output closed."""
    closed = {p.name for p in case.after.parts
              if p.kind == "contact" and p.form == "NC" and not p.by.startswith("output:")}  # fmt: skip
    net = Net(case.after, closed | standing(case.after, closed))
    nodes = [net.node(pin) for pin in part.pins]
    return nodes[0] != nodes[1] and all(n in net.live for n in nodes)


def isolating(case: Case) -> set[str]:
    """Contacts of isolators and plugs: closed in every state in which anything works."""
    return {n for s in case.after.stops if s.kind in ("isolator", "plug") for n in s.parts}


def working(case: Case) -> set[str]:
    """Contacts of isolators and plugs, and of stops that open every pole at once: while one of them
    is open, nothing behind it works."""
    fixed = isolating(case)
    fixed |= standing(case.after, fixed)
    return fixed | {name for s in case.after.stops if every_pole(case, s, fixed) for name in s.parts}


def every_pole(case: Case, stop: Stop, fixed: set[str]) -> bool:
    """True where a stop opens two poles of the supply or more."""
    net = Net(case.after, fixed)
    live = {net.node(p) for p in poles(case.after)}
    opened = {net.node(pin) for name in stop.parts for pin in case.after.part(name).pins} & live
    return len(opened) > 1
