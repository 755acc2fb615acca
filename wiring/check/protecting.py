"""Which overcurrent device limits the current of a conductor or contact.

A short at the far end of a conductor draws its current through every fuse that stands in
that loop; the smallest of them ends it. A fuse behind the conductor ends nothing.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass

from wiring.check.case import Case
from wiring.check.draft import Missing
from wiring.check.loads import carried
from wiring.check.nets import Net, behind
from wiring.check.sources import feeders, inner_source
from wiring.model.circuit import Circuit, Part


@dataclass(frozen=True, slots=True)
class Device:
    """The device that limits a current. amps: its rating as that conductor feels it [A]; through:
    the transformer between the two, empty where there is none."""

    name: str
    amps: float
    key: str
    through: str = ""

    @property
    def text(self) -> str:
        """The device in words."""
        return f"{self.name} through {self.through}" if self.through else self.name


def protecting(case: Case, name: str) -> Device | None:
    """The device that limits the current of a conductor or contact; None where none is known.

    Of several in series the smallest; where loads hang on several circuits, as on a shared
    return, the largest of theirs. Without a fuse the device the supply comes from, through a
    transformer at its ratio (NEC 430.72(B) exception 2). Raises Missing where a source inside
    a device feeds the loads: the supply's device says nothing of that.
    """
    loads, at = carried(case, "after", name)
    if not loads or at is None:
        return None
    found = [_of_load(case, name, x.part, _feeding(case, x.part, at.closed)) for x in loads]
    known = [device for device in found if device is not None]
    return max(known, key=lambda d: d.amps) if len(known) == len(found) else None


def _feeding(case: Case, load: Part, closed: tuple[str, ...]) -> tuple[str, ...]:
    """These closed contacts where they feed the load at both ends, else those of the state that does."""
    net = Net(case.after, closed)
    fed = all(net.node(pin) in net.live for pin in load.pins[:2])
    return closed if fed else closed_with(case, load)


def closed_with(case: Case, load: Part) -> tuple[str, ...]:
    """Contacts closed in the state in which the load has most voltage: less of it is a leak."""
    found = [s for s in case.settled("after") if len(s.state) <= 2]
    best = max(found, key=lambda s: abs(s.volts.get(load.name, 0j)), default=None)
    return best.closed if best is not None else ()


def _of_load(case: Case, name: str, load: Part, closed: Collection[str]) -> Device | None:
    """The device that limits a conductor's current as far as one load's circuit feeds it."""
    fuses = [f for f in _cutting(case.after, load, closed) if limits(case.after, f, name, closed)]
    if fuses:
        return _smallest(case, fuses)
    if inner := inner_source(case.after, load):
        raise Missing(
            f"what limits the current of {inner.name}",
            "read it in the manual of the device it is in, or put a fuse there",
        )
    ratio, through = 1.0, ""
    for feeder in feeders(case.after, load):
        if feeder.kind == "transformer":
            ratio *= case.of(feeder, "primary") / case.of(feeder, "secondary")
            through = through or feeder.name
        fuses = list(_cutting(case.after, feeder, closed))
        if fuses:
            one = _smallest(case, fuses)
            return Device(one.name, one.amps * ratio, one.key, through)
    device = case.job.supply.protective_device
    if device is None or device.rating is None:
        return None
    key = "supply.protective_device"
    amps = case.amount(device.rating, f"{key}.rating", unit="A")
    if load.kind in ("winding", "motor3") and amps * ratio < _running(case, load):
        raise Missing(f"what limits the current of {name}",
                      "the supply's device is smaller than the motor, so it does not stand before it: find "
                      "the fuse, or put one there")  # fmt: skip
    return Device(key, amps * ratio, key, through)


def _running(case: Case, winding: Part) -> float:
    """Full-load current of the motor a winding belongs to [A], 0 where it is not known."""
    motor = next((m for m in case.after.motors if winding.name in m.parts), None)
    return 0.0 if motor is None else case.of_or_none(motor, "full_load_current") or 0.0


def _cutting(circuit: Circuit, load: Part, closed: Collection[str]) -> Iterator[Part]:
    """Fuses with a rating that cut a load off when they open."""
    for part in circuit.parts:
        rated = part.kind == "fuse" and "rating" in part.values
        if rated and load in behind(circuit, closed, part.name):
            yield part


def _smallest(case: Case, fuses: list[Part]) -> Device:
    amps, name = min((case.use(f.values["rating"]), f.name) for f in fuses)
    return Device(name, amps, f"value {name}.rating")


def limits(circuit: Circuit, fuse: Part, name: str, closed: Collection[str]) -> bool:
    """True where a fuse ends a short at the far end of a conductor: it stands before it; or in the
    other pole, where nothing but that pole can feed the short."""
    net = Net(circuit, closed, (name,))
    near = [pin for pin in circuit.part(name).pins[:2] if net.node(pin) in net.live]
    if not near:
        return False
    without = Net(circuit, closed, (name, fuse.name))
    if not any(without.node(pin) in without.live for pin in near):
        return True
    if not any(net.node(pin) in net.live for pin in fuse.pins[:2]):
        return False  # it stands behind the conductor
    earth = net.node(circuit.earth) if circuit.earth else ""
    return net.node(near[0]) == earth or earth not in _group(circuit, net, net.node(near[0]))


def _group(circuit: Circuit, net: Net, node: str) -> set[str]:
    """The nodes that sources and windings tie to a node: one supply system."""
    pairs = []
    for part in circuit.parts:
        pins = part.pins if part.kind == "source" else part.pins[2:4]
        if part.kind in ("source", "transformer", "rectifier"):
            pairs.append({net.node(pin) for pin in pins})
    found = {node}
    for _ in pairs:
        found |= {n for pair in pairs if pair & found for n in pair}
    return found
