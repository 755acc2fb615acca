"""conductor.loose-end: everything the plan needs is landed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed
from wiring.check.nets import SWITCHES
from wiring.check.rule import iec, rule, us

#: Parts of devices and receiver that do their work only with both ends joined to something.
USED = (
    "coil", "supply-input", "contact", "semiconductor", "fuse", "transformer", "load", "capacitor",
    "suppressor", "rectifier", "drive-input",
)  # fmt: skip


@rule(
    "conductor.loose-end",
    "No end left loose",
    danger=1,
    hazard="An end that lands nowhere touches something, or leaves a coil without its return.",
    sources=(us("NEC 110.12(A), 110.14"), iec("IEC 60204-1 13.1")),
    checks="Every conductor has both ends landed or neither (a spare); every coil, supply and contact of "
    "added devices "
    "and of the receiver has both ends landed or neither.",
    needs="[[connection]] rows with from and to.",
    does_not_cover="Terminals that stay empty on purpose.",
)
def check(case: Case) -> Iterable[Draft]:
    loose = list(half_landed(case))
    for name, end in loose:
        yield failed(name, f"{end} lands nowhere", "both ends landed", "land it, or cap both ends as a spare",
                     key="connection")  # fmt: skip
    if not loose:
        spare = [c for c in _open_conductors(case) if c]
        note = f"; spare: {', '.join(spare)}" if spare else ""
        yield passed("ends", f"every end is landed{note}", "both ends landed, or neither")


def half_landed(case: Case) -> Iterator[tuple[str, str]]:
    """Parts with one end landed and the other not: name of the part, the loose end."""
    circuit = case.after
    ids = {d.id for d in case.job.devices} | {"receiver"}
    count: dict[str, int] = {}
    for part in circuit.parts:
        for pin in set(part.pins):
            count[pin] = count.get(pin, 0) + 1
    for part in circuit.parts:
        conductor = part.kind == "wire" and bool(part.cable)
        device = part.owner.partition(".")[0] in ids and (part.kind in USED or part.role == "heater")
        if not (conductor or device) or part.role == "jumper":
            continue
        # a transformer has two windings, each with two ends of its own
        for pair in (part.pins[:2], part.pins[2:4]):
            landed = [pin for pin in pair if _landed(count, pin, part.name, conductor)]
            if len(pair) == 2 and len(landed) == 1 and not _change_over(case, part.name):
                yield part.name, next(pin for pin in pair if pin not in landed)


def _landed(count: dict[str, int], pin: str, name: str, conductor: bool) -> bool:
    """A conductor is landed on any terminal but its own open end; a device's pin needs something on it."""
    if conductor:
        return not (pin.startswith(f"{name}.") and pin.endswith((".from", ".to")))
    return count.get(pin, 0) > 1


def _change_over(case: Case, name: str) -> bool:
    """True for the unused side of a change-over contact: its common serves the other side."""
    part = case.after.part(name)
    if part.kind not in SWITCHES:
        return False
    others = [p for p in case.after.parts if p is not part and p.by == part.by and p.kind in SWITCHES]
    return any(set(p.pins) & set(part.pins) for p in others) or _shared_bar(case, part.pins)


def _shared_bar(case: Case, pins: tuple[str, ...]) -> bool:
    """True where one pin is a common of several outputs of the receiver."""
    return any(
        sum(1 for p in case.after.parts if p.kind in SWITCHES and pin in p.pins and p.owner == "receiver") > 1
        for pin in pins
    )


def _open_conductors(case: Case) -> list[str]:
    return [p.name for p in case.after.parts
            if p.kind == "wire" and p.cable and all(pin.endswith((".from",
                ".to")) for pin in p.pins)]  # fmt: skip
