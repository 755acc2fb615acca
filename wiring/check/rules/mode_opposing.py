"""mode.opposing: hardware keeps opposing outputs apart where an overlap does harm."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.nets import Net, before_loads
from wiring.check.rule import iec, rule, us
from wiring.check.states import command, opposed, settled_at
from wiring.model.behaviour import Settled
from wiring.model.circuit import Circuit


@rule(
    "mode.opposing",
    "Hardware interlock of opposing directions",
    danger=1,
    hazard="Firmware forgets: a reset or a glitch closes both directions, and the supply or the capacitor "
    "is shorted.",
    sources=(
        us("NEMA ICS 2 reversing contactors (recalled); UL 508", "memory"),
        iec("IEC 60204-1 9.3.4; IEC 60204-32 9.3.4 (recalled)", "memory"),
    ),
    checks="Between the contactors of opposing directions a mechanical interlock, or each coil through the "
    "other's NC "
    "contact. Where only firmware keeps them apart it fails if the overlap is a short, a discharge of the "
    "capacitor or "
    "a stalled motor.",
    needs="Added devices with their interlocks; receiver.opposing.",
    does_not_cover="A contactor that sticks against a mechanical interlock (proof.single-fault).",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    return case.each(opposed(case.after), lambda s, pair: judge(case, s, pair))


def judge(case: Case, subject: str, pair: tuple[str, str]) -> Draft:
    """One pair of opposing directions."""
    one = settled_at(case, "after", command(case, "after", pair[0]))
    two = settled_at(case, "after", command(case, "after", pair[1]))
    first = set(one.energised) - set(two.energised)
    second = set(two.energised) - set(one.energised)
    wanted = "a mechanical interlock, or each coil through the other's NC contact"
    if mechanical(case.after, first, second):
        cross = " and crossed NC contacts" if crossed(case.after, one, two) else ""
        return passed(subject, f"mechanical interlock{cross}", wanted)
    if crossed(case.after, one, two):
        return passed(subject, "each coil through the other's NC contact; no mechanical interlock", wanted)
    both = settled_at(case, "after", command(case, "after", pair[0]) | command(case, "after", pair[1]))
    harm = harm_of(case, both.shorts, dict(both.torque)) or discharged(case.after, both.closed)
    firmware = case.job.receiver.opposing or (case.receiver_type.opposing if case.receiver_type else None)
    kept = {"firmware": "firmware alone keeps them apart", "hardware": "the receiver's hardware keeps them "
        "apart",
            "none": "nothing keeps them apart"}.get(firmware or "",
                "what keeps them apart is not known")  # fmt: skip
    remedies = ("use a contactor pair with a mechanical interlock", "cross-wire the NC contacts")
    if firmware == "hardware":
        return passed(subject, kept, wanted, key="receiver.opposing")
    if harm:
        return failed(subject, f"{kept}; both at once: {harm}", wanted, *remedies, key="receiver.opposing")
    if firmware is None:
        return unknown(
            subject, kept, wanted, "state receiver.opposing from its data sheet", key="receiver.opposing"
        )
    return passed(
        subject, f"{kept}; both at once do no harm in the simulation", wanted, key="receiver.opposing"
    )


def harm_of(case: Case, shorts: tuple[str, ...], torque: dict[str, str]) -> str:
    """What an overlap does, in words; empty where it does nothing."""
    if shorts:
        return f"short {shorts[0]}"
    stalled = [m for m, t in torque.items() if t in ("stall", "single-phase")]
    motors = {m.name: m for m in case.after.motors}
    if not stalled:
        return ""
    if motors[stalled[0]].kind == "capacitor":
        return f"{stalled[0]} stalls, its capacitor is shorted through the contacts"
    return f"{stalled[0]} stalls"


def discharged(circuit: Circuit, closed: tuple[str, ...]) -> str:
    """A capacitor that contacts join end to end, in words; empty where none is.

    Whatever the windings draw, it was charged a moment ago.
    """
    net = Net(circuit, closed)
    short = [p.name for p in circuit.parts if p.kind == "capacitor" and net.same(*p.pins[:2])]
    return f"{short[0]} is shorted through the contacts" if short else ""


def mechanical(circuit: Circuit, first: set[str], second: set[str]) -> bool:
    """True where an interlock joins a coil of one direction to one of the other."""
    return any((a in first and b in second) or (a in second and b in first) for a, b in circuit.interlocks)


def crossed(circuit: Circuit, one: Settled, two: Settled) -> bool:
    """True where an NC contact of each direction stands in the other's coil path."""
    first, second = set(one.energised) - set(two.energised), set(two.energised) - set(one.energised)
    return interrupts(circuit, first, second, two) and interrupts(circuit, second, first, one)


def interrupts(circuit: Circuit, coils: set[str], others: set[str], settled: Settled) -> bool:
    """True where opening an NC contact of `coils` cuts one of `others` off while it is in."""
    cut = before_loads(circuit, others, settled.closed)
    nc = {p.name for p in circuit.parts if p.form == "NC" and p.by.removeprefix("coil:") in coils}
    return bool(cut & nc)
