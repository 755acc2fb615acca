"""supply.fuse: receiver and control circuit have a protective device of their own."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.answers import answered
from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.loads import Load, carried, steady_a
from wiring.check.nets import Net, behind
from wiring.check.protecting import closed_with
from wiring.check.rule import iec, rule, us
from wiring.check.sources import feeders, inner_source
from wiring.files.quantity import show
from wiring.model.circuit import Part


@rule(
    "supply.fuse",
    "Receiver and control fused on their own",
    danger=2,
    hazard="A short in the receiver behind the motor's breaker burns the board and the box.",
    sources=(
        us("NEC 430.72, 610.42(B)(2), 610.53"),
        iec("IEC 60204-1 7.2.4"),
    ),
    checks="In the feed of the receiver's supply, and of each coil it switches, a fuse that does not also "
    "carry a motor, carries what lies behind it, and does not stand in the earthed conductor.",
    needs="Fuses as devices or parts of the type.",
    does_not_cover="Fuses inside the receiver.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    loads = [
        p for p in case.after.parts if p.kind == "supply-input" or (p.kind == "coil" and switched(case, p))
    ]
    return case.each([(p.name, p) for p in loads], lambda s, p: judge(case, s, p))


def switched(case: Case, coil: Part) -> bool:
    """True for a coil that a receiver contact switches."""
    return any(
        any(x.name == coil.name for x in carried(case, "after", p.name)[0])
        for p in case.after.parts
        if p.by.startswith("output:")
    )


def judge(case: Case, subject: str, load: Part) -> Draft:
    """One load."""
    # a fuse before the transformer or supply unit that feeds it serves it as well
    names = {load.name, *(p.name for p in feeders(case.after, load))}
    shared: list[str] = []
    grounded: list[str] = []
    own: list[tuple[float, str]] = []
    for fuse in case.after.parts:
        if fuse.kind != "fuse":
            continue
        loads, at = carried(case, "after", fuse.name)
        cut = {p.name for p in behind(case.after, at.closed, fuse.name)} if at else set()
        alone = {p.name for p in behind(case.after, closed_with(case, load), fuse.name)}
        if not names & (cut | alone):
            continue
        motor = any(x.kind in ("motor", "brake") for x in loads)
        rating = case.of_or_none(fuse, "rating") or 0.0
        if earthed(case, fuse):
            grounded.append(fuse.name)
            continue
        if motor and stated(fuse) and (amps := plate_amps(loads)) > rating:
            return blows(subject, fuse.name, rating, amps)
        if motor:
            shared.append(fuse.name)
        elif stated(fuse) and (amps := sum(steady_a(case, case.after, x) for x in loads)) > rating:
            return blows(subject, fuse.name, rating, amps)
        else:
            own.append((rating, fuse.name))
    wanted = "a fuse of its own, 1 to 2 A for a receiver of some VA"
    if own and (keys := bare_way(case, load, names, [name for _, name in own])):
        found = f"no fuse before it with {keys}; {min(own)[1]} stands in another way only"
        return failed(subject, found, wanted,
                      "put a fuse into its feed, before all its ways", key="device")  # fmt: skip
    if own:
        rating, name = min(own)
        return passed(subject, f"{name}{' ' + show(rating, 'A') if rating else ''}", wanted)
    inner = inner_source(case.after, load)
    if inner is not None and not shared and not grounded:
        text = answered(case, "supply.fuse")
        if text:
            return passed(subject, f"{inner.name}: {text}", wanted, key="answer")
        return unknown(subject, f"no fuse before it; what limits the current of {inner.name} is not stated",
                       wanted, "put a fuse into its feed",
                       'read it in the manual, then answer it: [[answer]] requirement = "supply.fuse"',
                       key="answer")  # fmt: skip
    others = f"only {', '.join(shared)}, which carries the motor too" if shared else "no fuse before it"
    if grounded:
        others += f"; {', '.join(grounded)} stands in the earthed conductor"
    return failed(subject, others, wanted, "put a fuse into its feed, on the unearthed side", key="device")


def bare_way(case: Case, load: Part, names: set[str], fuses: list[str]) -> str:
    """The inputs of the first state that feeds a load past all of these fuses; empty where none does."""
    states = [s for s in case.settled("after") if len(s.state) <= 2]
    best = max((abs(s.volts.get(load.name, 0j)) for s in states), default=0.0)
    for state in states:
        fed = best > 0.0 and abs(state.volts.get(load.name, 0j)) > best / 2
        cut = {p.name for fuse in fuses for p in behind(case.after, state.closed, fuse)} if fed else names
        if not names & cut:
            return ", ".join(sorted(state.state)) or "nothing pressed"
    return ""


def earthed(case: Case, fuse: Part) -> bool:
    """True for a fuse in the earthed conductor: a short of the other one to the frame passes it by."""
    fixed = {n for s in case.after.stops if s.kind in ("isolator", "plug") for n in s.parts}
    net = Net(case.after, fixed, (fuse.name,))
    return bool(case.after.earth) and any(net.same(pin, case.after.earth) for pin in fuse.pins)


def plate_amps(loads: tuple[Load, ...]) -> float:
    """Full-load current of the motors whose plate was read; of the others nothing is known. [A]"""
    plates = [x.motor.values.get("full_load_current") for x in loads if x.motor is not None]
    return sum(value.si for value in plates if value is not None and value.basis == "stated")


def stated(fuse: Part) -> bool:
    """True where the print of the fuse that is fitted was read: a typical one shows nothing."""
    return "rating" in fuse.values and fuse.values["rating"].basis == "stated"


def blows(subject: str, fuse: str, rating: float, amps: float) -> Draft:
    """A fuse that its own load opens: nothing behind it works for long."""
    return failed(
        subject, f"{fuse} {show(rating, 'A')} carries {show(amps, 'A', toward='up')} and opens",
        "a fuse that carries its load", "put in the next larger one that still protects", key="value",
    )  # fmt: skip
