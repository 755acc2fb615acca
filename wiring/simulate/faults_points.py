"""Hazards that are seen at points, not at motors: shorts, a charged capacitor bridged, a live box."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from wiring.simulate.faults_sights import BOX_LIVE, CAPACITOR_SHORT, SHORT, UNFUSED, Sight

if TYPE_CHECKING:
    from wiring.simulate.faults_hazards import Watch
    from wiring.simulate.faults_runs import Shot
    from wiring.simulate.lanes_settle import Settler

#: A moment and the one just before it, in which a capacitor may have been charged.
BEFORE = (("pressed", "rest"), ("held", "pressed"))
_SAME = 1e-9  # two potentials this close are one [V]


def point_sights(watch: Watch) -> Iterator[Sight]:
    """Every hazard of this kind in the batch."""
    for moment in ("pressed", "held", "released", "cold"):
        sound = watch.sound.shot("pressed" if moment == "held" else moment).lanes.shorts
        now = watch.runner.shot(moment).lanes
        lanes = now.shorts & watch.real & ~watch.batch.spread(sound)
        yield Sight(SHORT, "", moment, lanes & ~now.tripped)
        yield Sight(UNFUSED, "", moment, lanes & now.tripped)
    yield from _capacitors(watch)
    yield from _box(watch)


def _capacitors(watch: Watch) -> Iterator[Sight]:
    """A running motor's capacitor is bridged by contacts: it discharges through them."""
    settler, batch = watch.runner.settler, watch.batch
    if not _capacitor_ends(settler):
        return
    sound = batch.spread(_bridged(watch.sound.settler, watch.sound.shot("pressed")))
    for moment, before in BEFORE:
        bridged = _bridged(settler, watch.runner.shot(moment)) & watch.real & ~sound
        if moment == "held":
            charged = batch.spread(watch.any_current(watch.sound.shot(before)))
        else:
            charged = watch.any_current(watch.runner.shot(before))
        yield Sight(CAPACITOR_SHORT, "", moment, bridged & charged)


def _capacitor_ends(settler: Settler) -> list[tuple[int, int]]:
    """The two nodes of every capacitor that nothing bridges for good."""
    loads = settler.net.loads
    return [(a, b) for i, a, b in settler.field.loads if loads[i].part.kind == "capacitor"]


def _bridged(settler: Settler, shot: Shot) -> int:
    """Lanes in which both ends of a capacitor sit on one source terminal."""
    reach = settler.power(shot.lanes)
    total = 0
    for a, b in _capacitor_ends(settler):
        for one in reach:
            total |= one[a] & one[b]
    return total


def _box(watch: Watch) -> Iterator[Sight]:
    """At rest the earth terminal of the box has a voltage that it did not have."""
    earth = watch.runner.settler.net.earth
    if earth < 0:
        return
    batch, home = watch.batch, _home(watch)
    own = next((label for label in batch.labels if home >= 0 and label.node == batch.node[home]), None)
    if own is None:
        return
    reach = watch.runner.settler.power(watch.runner.shot("rest").lanes)
    live = earthed = 0
    for one, label in zip(reach, batch.labels, strict=True):
        if label.frame != own.frame:
            continue
        if abs(label.volts - own.volts) <= _SAME:
            earthed |= one[batch.node[earth]]
        else:
            live |= one[batch.node[earth]]
    yield Sight(BOX_LIVE, "", "rest", live & ~earthed & watch.rest)


def _home(watch: Watch) -> int:
    """The source terminal (a node of the network) that the earth terminal sits on, -1 where on none."""
    settler = watch.sound.settler
    earth = settler.batch.node[settler.net.earth]
    reach = settler.power(watch.sound.shot("rest").lanes)
    for source in settler.net.sources:
        for node in (source.minus, source.plus):
            label = settler.batch.label_at[settler.batch.node[node]]
            if reach[label][earth] & 1:
                return node
    return -1
