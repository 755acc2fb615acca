"""The stop path of a proposal: wired stop, stop outputs, main contactor, in place of the pendant's stop."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from wiring.circuit import hoist_name
from wiring.files import parse
from wiring.model.entry import Insertion
from wiring.model.job import StopFact
from wiring.planner.demand import Contact, Demand, Gap, behind
from wiring.planner.sheet import Sheet
from wiring.planner.site import NoWay, Site
from wiring.planner.supply import by_coil

#: Where a wired stop is planned to hang: the pendant's was at the operator's hand, and one further
#: away ends a fault later than that one did. It has to be put there; the proposal says so.
PLANNED_DISTANCE = "0.5 m"
#: Net of the control feed where the motor lines cannot serve it.
CONTROL = "control.feed"
#: Net of the second line behind the stop, on hoists between two lines.
SECOND = "line2.stopped"


def pairs(place: Insertion) -> list[tuple[str, str]]:
    """The terminals a place frees, two by two, supply side first."""
    return [(hoist_name(a), hoist_name(b)) for a, b in zip(place.frees[::2], place.frees[1::2], strict=False)]


def split_feed(demand: Demand) -> Demand:
    """A demand without a stop of its own, with gaps made in the lines that its contacts hang on."""
    # "common" is the winding's own end and no line of the supply
    nets = [n for n in ("feed", "neutral") if any(n in (w.a, w.b) for w in demand.wants)]
    for net in nets if "feed" in nets else []:
        gap = Gap("", net, f"{net}.stopped")
        demand = replace(behind(demand, gap, gap.b), gaps=(*demand.gaps, gap))
    return demand


def wired_stop(sheet: Sheet, gaps: Sequence[Gap], motor: bool, own_control: bool = False) -> dict[str, str]:
    """Put a wired emergency stop into the gaps. Gives for each gap's supply net the net behind it.

    own_control: the motor line lies behind a winding, so that control takes a line of its own.
    """
    id = sheet.device("S1", "emergency-stop-motor" if motor else "emergency-stop")
    blocks = [("1", "2"), ("3", "4")] if motor else [("11", "12"), ("21", "22")]
    if len(gaps) > len(blocks):
        raise NoWay(f"the stop has {len(gaps)} lines to open, a wired stop with that many poles is not there")
    found: dict[str, str] = {}
    why = "the wired emergency stop takes the place of the pendant's, before everything that can weld"
    for index, gap in enumerate(gaps):
        mine = blocks[index : index + 1] if len(gaps) > 1 else blocks
        net = gap.a
        for step, (into, out) in enumerate(mine):
            sheet.put(net, f"{id}:{into}", why)
            net = f"{gap.a}.{id}.{step}"
            sheet.put(net, f"{id}:{out}", "second block in series: one that comes off its actuator is not all"
                      if step == 0 and len(mine) > 1 else why)  # fmt: skip
        found[gap.a] = net
    if motor and (
        len(gaps) > 1 or own_control
    ):  # each motor line has its own limit before it: control needs a line too
        found[CONTROL] = f"{CONTROL}.{id}"
        sheet.put(CONTROL, f"{id}:11", why)
        sheet.put(found[CONTROL], f"{id}:12", why)
    state_stop(sheet, id, "wired emergency stop")
    sheet.put("earth", f"{id}:PE", "the metal of the stop's box is joined to the protective conductor")
    return found


def state_stop(sheet: Sheet, device: str, kind: str) -> None:
    """The [[stop]] row of an added device: the job's own where it has one, else as planned."""
    mine = next((s for s in sheet.job.stops if s.device == device), None)
    if mine is not None:
        sheet.stops.append(mine)
        return
    taken = {s.id for s in (*sheet.job.stops, *sheet.stops)}
    name = device if device not in taken else f"{device}-stop"
    sheet.stops.append(
        StopFact(
            name,
            kind,
            device,
            "operator",
            parse(PLANNED_DISTANCE, "length"),
            True,
            True if "isolator" in kind else None,
            "as planned: where the operator stands and works the transmitter",
        )
    )
    sheet.open.append(
        f"hang {device} where the operator stands, within {PLANNED_DISTANCE} of the hand, with no way under "
        "the load; the job states it so as planned"
    )


def line_isolator(sheet: Sheet, site: Site) -> None:
    """A battery isolator at the type's place for one: what ends a stuck contactor where no contactor can."""
    place = site.demand.place("isolator")
    if place is None:
        raise NoWay("the type has no place for an isolator")
    lines = pairs(place)
    if len(lines) != 1:
        raise NoWay(f"no isolator for direct current with {len(lines)} poles is in the catalog")
    id = sheet.device("Q2", "battery-isolator")
    sheet.inside.add(id)
    sheet.take_off(place.remove, "the isolator goes in here")
    why = "isolator in the line, before everything that can stick"
    ((before, after),) = lines
    sheet.put(before, before)
    sheet.put(before, f"{id}:1", why)
    sheet.put(after, f"{id}:2", why)
    sheet.put(after, after)
    state_stop(sheet, id, "isolator")


def both_lines(sheet: Sheet, site: Site) -> tuple[str, str]:
    """A motor-rated stop with a pole in each line at the main-contactor place. Gives the net of the
    second line behind the stop, and the point of the hoist that this line went on to."""
    place = site.demand.place("main-contactor")
    if place is None or len(place.frees) != 4:
        raise NoWay("the type has no place where both lines can be opened")
    id = sheet.device("S1", "emergency-stop-motor")
    sheet.take_off(place.remove, "the emergency stop goes in here, a pole in each line")
    why = "a pole of the emergency stop in each line: one alone leaves the windings on the other"
    (first, on), (second, common) = pairs(place)
    for before, after, pole in ((first, on, "1"), (second, SECOND, "3")):
        sheet.put(before, before)
        sheet.put(before, f"{id}:{pole}", why)
        sheet.put(after, f"{id}:{int(pole) + 1}", why)
    sheet.put(on, on)
    sheet.put(common, common)
    sheet.put("earth", f"{id}:PE", "the metal of the stop's box is joined to the protective conductor")
    state_stop(sheet, id, "wired emergency stop")
    return SECOND, common


def stop_wants(demand: Demand, behind_stop: dict[str, str], has_outputs: bool) -> list[Contact]:
    """The receiver's stop outputs in what is left of the first gap, or none."""
    if not has_outputs or not demand.gaps:
        return []
    gap = demand.gaps[0]
    return [Contact("stop", "NO", behind_stop.get(gap.a, gap.a), gap.b)]


def main_contactor(sheet: Sheet, site: Site, hot: str, ret: str, volts: float, kind: str) -> str:
    """A main contactor at the type's place, its coil behind the stop path. Gives its id."""
    place = site.demand.place("main-contactor")
    if place is None or len(place.frees) // 2 > 3:
        raise NoWay("the type has no place for a main contactor")
    device = by_coil(site.catalog, "main-contactor", volts, kind)
    if device is None:
        raise NoWay(f"no main contactor with a coil for {volts:.0f} V {kind} is in the catalog")
    id = sheet.device("K0", device.id)
    sheet.inside.add(id)
    sheet.take_off(place.remove, "the main contactor goes in here")
    why = "the main contactor opens the motor line when the stop path opens, also when another is welded"
    for (before, after), pole in zip(pairs(place), ("1", "3", "5"), strict=False):
        sheet.put(before, before)
        sheet.put(before, f"{id}:{pole}", why)
        sheet.put(after, f"{id}:{int(pole) + 1}", why)
        sheet.put(after, after)
    sheet.put(hot, f"{id}:A1", "coil of the main contactor, behind every stop")
    sheet.put(ret, f"{id}:A2", "return of the main contactor's coil")
    return id
