"""supply.same-circuit: live and neutral of an added tap belong to one protective device."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed
from wiring.check.nets import Net, poles
from wiring.check.rule import iec, rule, us
from wiring.check.rules.conductor_false_neutral import isolating
from wiring.check.sources import inner_sources, standing
from wiring.model.circuit import Circuit, Part


@rule(
    "supply.same-circuit",
    "Live and neutral from one circuit",
    danger=2,
    hazard="A neutral from another circuit stays loaded behind the open breaker and trips or defeats the "
    "residual-current "
    "device.",
    sources=(
        us("NEC 300.3(B), 200.4"),
        iec("IEC 60364-4-41; IEC 60204-1 5.1 (recalled)"),
    ),
    checks="Both ends of each added supply reach poles behind the same isolator or plug, and the same "
    "source. No wire joins the secondary of a transformer with the line it is there to keep it from.",
    needs="Both ends landed on the hoist's own terminals.",
    does_not_cover="Taps taken outside the hoist, which the job does not show.",
)
def check(case: Case) -> Iterable[Draft]:
    added = [p for p in case.after.parts if p.kind == "supply-input"]
    yield from case.each([(p.name, p) for p in added], lambda s, p: judge(case, s, p))
    joined = bridged(case.after)
    old = bridged(case.before)
    new = [(name, at) for name, at in joined.items() if name not in old]
    yield from case.each(new, lambda s, at: apart(s, at))


def bridged(circuit: Circuit) -> dict[str, tuple[str, str]]:
    """Transformers whose secondary a wire joins with a line: the end, and the line's end it is joined with.

    On the earthed pole the two meet by right: a secondary may be earthed. So they do inside a device that
    is made so: it keeps nothing apart, and its entry says so.
    """
    net = Net(circuit, {p.name for p in circuit.parts if p.kind == "contact" and p.form == "NC"})
    earth = net.node(circuit.earth) if circuit.earth else ""
    transformers = [p for p in circuit.parts if p.kind == "transformer" and len(p.pins) >= 4]
    lines = [pin for p in transformers for pin in p.pins[:2]]
    lines += [pin for p in circuit.parts if p.kind == "source" for pin in p.pins]
    return {
        part.name: (end, line)
        for part in transformers
        for end in part.pins[2:4]
        for line in lines
        if net.same(end, line) and net.node(end) != earth and not fed_by(net, transformers, line, part)
        if not any(within(circuit, part).same(end, own) for own in (line, *part.pins[:2]))
    }


def within(circuit: Circuit, part: Part) -> Net:
    """What the part's own device joins inside, wires of the job left out."""
    return Net(circuit, (), {p.name for p in circuit.parts if p.owner != part.owner})


def fed_by(net: Net, transformers: list[Part], line: str, part: Part) -> bool:
    """True where a line is a later transformer's, which this secondary feeds with both its ends."""
    ends = {net.node(pin) for pin in part.pins[2:4]}
    return any(
        line in p.pins[:2] and p is not part and {net.node(pin) for pin in p.pins[:2]} == ends
        for p in transformers
    )


def apart(subject: str, at: tuple[str, str]) -> Draft:
    """A transformer that the conversion bridges."""
    return failed(subject, f"{at[0]} and {at[1]} are joined: its circuit is no longer apart from the line",
                  "the secondary joined with its line nowhere, save both at the earth",
                  "take the wire between them out", key="connection")  # fmt: skip


def judge(case: Case, subject: str, part: Part) -> Draft:
    """One added supply."""
    wanted = "both ends behind the same isolator and protective device"
    normally = {p.name for p in case.after.parts if p.kind == "contact" and p.form == "NC"}
    net = Net(case.after, normally | standing(case.after, isolating(case)))
    ends = {net.node(pin) for pin in part.pins}
    if not ends <= {net.node(p) for p in poles(case.after)}:
        return failed(subject, "one end reaches no pole of the hoist's supply", wanted,
                      "take both ends from the hoist's own terminals", key="connection")  # fmt: skip
    if any({net.node(pin) for pin in p.pins[2:4]} == ends
           for p in case.after.parts if p.kind in ("transformer", "rectifier")):  # fmt: skip
        return passed(subject, "from a transformer or rectifier of the hoist, both ends together", wanted)
    for source in inner_sources(case.after):
        if {net.node(pin) for pin in source.pins} == ends:
            return passed(subject, f"from {source.name} of the hoist, both ends together", wanted)
    for stop in case.after.stops:
        if stop.kind not in ("isolator", "plug"):
            continue
        cut = Net(case.after, isolating(case) - set(stop.parts))
        live = [cut.node(pin) in cut.live for pin in part.pins]
        if len(stop.parts) >= 2 and any(live) and not all(live):
            return failed(subject, f"{stop.input} opens one of its ends only", wanted,
                          "take live and neutral behind the same isolator", key="connection")  # fmt: skip
    return passed(subject, "both ends from the hoist's own supply, behind one isolator", wanted)
