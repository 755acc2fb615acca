"""contact.shared-common: outputs on one common never see two supplies."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed
from wiring.check.nets import Net
from wiring.check.rule import both, rule
from wiring.check.states import words
from wiring.model.behaviour import Settled
from wiring.model.circuit import Part


@rule(
    "contact.shared-common",
    "One supply on a shared common",
    danger=1,
    hazard="Two voltages meet on the receiver's common bar, and each feeds the other's coils.",
    sources=(both("receiver's data sheet; circuit theory", "derived"),),
    checks="Each common of the receiver that serves several outputs, in every settled state: poles of one "
    "supply only.",
    needs="The receiver's internal links and jumpers as fitted.",
    does_not_cover="Insulation between channels inside the receiver.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    contacts = [p for p in case.after.parts if p.by.startswith("output:")]
    bars = sorted({pin for p in contacts for pin in p.pins if sum(pin in q.pins for q in contacts) > 1})
    return case.each([(b, b) for b in bars], lambda s, bar: judge(case, s, bar))


def judge(case: Case, subject: str, bar: str) -> Draft:
    """One common bar."""
    wanted = "poles of one supply only, in every state"
    seen: set[str] = set()
    for settled in unlike(case):
        net = Net(case.after, settled.closed)
        here = {group(p, i) for p in case.after.parts for i in range(len(p.pins))
                if feeds(p, i) and net.same(p.pins[i], bar)}  # fmt: skip
        if len(here) > 1:
            return failed(subject, f"{words(settled.state)}: {' and '.join(sorted(here))} on one common",
                wanted,
                          "take the jumper out", "give each supply its own outputs",
                          key="receiver.jumper")  # fmt: skip
        seen |= here
    return passed(subject, f"{' or '.join(sorted(seen)) or 'no supply'} on it", wanted)


def unlike(case: Case) -> list[Settled]:
    """One settled state for each different set of closed contacts, with at most two keys held."""
    found: dict[tuple[str, ...], Settled] = {}
    for settled in case.settled("after"):
        if len(settled.state) <= 2:
            found.setdefault(settled.closed, settled)
    return list(found.values())


def feeds(part: Part, pin: int) -> bool:
    return part.kind == "source" or (part.kind in ("transformer", "rectifier") and pin >= 2)


def group(part: Part, pin: int) -> str:
    """The supply a pole belongs to: all sources of the mains are one, each secondary its own."""
    return "the supply" if part.kind == "source" else part.name
