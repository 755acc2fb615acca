"""Bigger edits in one piece: a wired stop put into the feed, a main contactor into the motor line,
crossed resting contacts, a suppressor, a larger conductor."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from wiring.circuit import hoist_name
from wiring.circuit.compare import nets
from wiring.files import parse_size
from wiring.model.circuit import Circuit
from wiring.model.finding import Finding
from wiring.model.job import AddedDevice, Connection, Job, StopFact
from wiring.planner.rewire import Edited, Wired
from wiring.planner.sheet import Sheet
from wiring.planner.site import NoWay, Site
from wiring.planner.stops import main_contactor, pairs, wired_stop


def with_stop(job: Job, site: Site) -> Iterator[Edited]:
    """A wired emergency stop between the feed core and everything that hangs on it."""
    demand = site.demand
    if not demand.gaps or any(gap.a not in demand.points for gap in demand.gaps):
        return
    for motor in (True, False) if demand.motor else (False, True):
        sheet = Sheet(job)
        try:
            behind = wired_stop(sheet, demand.gaps, motor)
        except NoWay:
            continue
        yield Edited(_put_in(job, sheet, demand.points, behind), f"put {sheet.devices[0].id} into the feed")


def _put_in(job: Job, sheet: Sheet, points: dict[str, str], behind: dict[str, str]) -> Job:
    """The rows that sat on the feed cores now sit behind the stop."""
    rows = list(job.connections)
    device = sheet.devices[0]
    for line, net in behind.items():
        if line not in points:
            continue
        core = points[line]
        out = next(iter(sheet.nets[net]))
        into = next(p for p in sheet.nets[line] if p.startswith(f"{device.id}:"))
        carried = False
        for n, row in enumerate(rows):
            ends = {row.from_: row.to, row.to: row.from_}
            if core in ends and not carried:
                rows[n] = Connection(core, into, row.conductor, row.number)
                rows.append(Connection(out, ends[core]))
                carried = True
            elif core in ends:
                rows[n] = replace(row, from_=out, to=ends[core])
    for net, held in sheet.nets.items():
        inner = [p for p in held if p.startswith(f"{device.id}:")]
        if len(inner) == 2 and net not in behind:
            rows.append(Connection(inner[0], inner[1]))
    if "earth" in points:
        earth = _earth_point(job, points)
        rows.append(Connection(earth, f"{device.id}:PE"))
    devices = job.devices if device in job.devices else (*job.devices, device)
    stops = [*job.stops, *(s for s in sheet.stops if s not in job.stops)]
    return replace(job, connections=tuple(rows), devices=devices, stops=_no_stale(stops, devices))


def _earth_point(job: Job, points: dict[str, str]) -> str:
    """A point of the protective conductor that is in the box already, else the core itself."""
    ends = [e for row in job.connections for e in (row.from_, row.to) if e.endswith(":PE")]
    return next((e for e in ends if not e.startswith("core:")), points["earth"])


def _no_stale(stops: list[StopFact], devices: tuple[AddedDevice, ...]) -> tuple[StopFact, ...]:
    seen: dict[str, StopFact] = {}
    for stop in stops:
        seen.setdefault(stop.device or stop.id, stop)
    return tuple(seen.values())


def with_main_contactor(job: Job, site: Site, now: Wired) -> Iterator[Edited]:
    """A main contactor at the type's place, its coil on each net in turn."""
    place, tap = site.demand.place("main-contactor"), site.tap
    if place is None or tap is None or any(d.type.startswith("main-contactor") for d in job.devices):
        return
    lands = [m[0] for m in now.members.values()]
    for hot in lands:
        sheet = Sheet(job)
        try:
            id = main_contactor(sheet, site, "hot", "ret", tap.volts, tap.kind)
        except NoWay:
            return
        rows = [Connection(hot, f"{id}:A1"), Connection(tap.ret, f"{id}:A2")]
        for (before, after), pole in zip(pairs(place), (1, 3, 5), strict=False):
            rows += [Connection(before, f"{id}:{pole}"), Connection(f"{id}:{pole + 1}", after)]
        made = replace(
            job,
            devices=(*job.devices, *sheet.devices),
            removes=(
                *job.removes,
                *(r for r in sheet.removes if r.name not in {x.name for x in job.removes}),
            ),
            connections=(*job.connections, *rows),
        )
        yield Edited(made, f"put {id} into the motor line")


def with_cross_contacts(job: Job, site: Site) -> Iterator[Edited]:
    """The resting contacts of a contactor pair, each in the other coil's feed."""
    for device in job.devices:
        type = site.catalog.devices.get(device.type)
        if type is None or type.kind != "contactor-pair":
            continue
        rows = list(job.connections)
        changed = False
        for unit, other in (type.units, tuple(reversed(type.units))):
            into, out = f"{device.id}.{other}:21", f"{device.id}.{other}:22"
            coil = f"{device.id}.{unit}:A1"
            if any({into, out} & {r.from_, r.to} for r in rows):
                continue
            for n, row in enumerate(rows):
                if coil in (row.from_, row.to):
                    feed = row.to if row.from_ == coil else row.from_
                    rows[n] = replace(row, from_=feed, to=into)
                    rows.append(Connection(out, coil))
                    changed = True
                    break
        if changed:
            yield Edited(replace(job, connections=tuple(rows)), f"cross the resting contacts of {device.id}")


def with_suppressor(job: Job, finding: Finding, kind: str) -> Iterator[Edited]:
    """A suppressor across the coil that a finding names."""
    coil = finding.subject
    terminals = (
        (f"{coil}:A1", f"{coil}:A2") if not coil.startswith("hoist:") else (f"{coil}.A1", f"{coil}.A2")
    )
    sheet = Sheet(job)
    for type in ("suppressor-diode",) if kind == "DC" else ("suppressor-rc", "suppressor-varistor"):
        id = sheet.device("R1", type)
        rows = (Connection(terminals[0], f"{id}:1"), Connection(terminals[1], f"{id}:2"))
        yield Edited(
            replace(job, devices=(*job.devices, sheet.devices[-1]), connections=(*job.connections, *rows)),
            f"put {type} across {coil}",
        )


def with_suppressor_whole(job: Job, site: Site, after: Circuit) -> Iterator[Edited]:
    """A suppressor with one end in the air, put across the coil that its other end is on."""
    landed = {end for row in job.connections for end in (row.from_, row.to)}
    for device in job.devices:
        type = site.catalog.devices.get(device.type)
        pins = (f"{device.id}:1", f"{device.id}:2")
        if type is None or type.kind != "suppressor" or len(landed & set(pins)) != 1:
            continue
        bare, held = sorted(pins, key=lambda pin: pin in landed)
        net = nets(after.parts)
        for part in after.parts:
            if part.kind != "coil" or net.get(held) not in (net[part.pins[0]], net[part.pins[1]]):
                continue
            other = part.pins[0] if net[part.pins[1]] == net[held] else part.pins[1]
            row = Connection(other, bare)
            yield Edited(replace(job, connections=(*job.connections, row)), f"{bare} to {other}")


def with_larger(job: Job, site: Site, finding: Finding) -> Iterator[Edited]:
    """The cable of a finding in the next sizes that its type is made in."""
    owner = finding.subject.partition(":")[0]
    for index, cable in enumerate(job.cables):
        if cable.id != owner or cable.size is None or cable.type is None:
            continue
        type = site.catalog.cables.get(cable.type)
        sizes = [parse_size(text) for text in (type.sizes if type else ())]
        for size in sorted((s for s in sizes if s.area_m2 > cable.size.area_m2), key=lambda s: s.area_m2)[:4]:
            cables = [*job.cables]
            cables[index] = replace(cable, size=size)
            yield Edited(replace(job, cables=tuple(cables)), f"{cable.id} of {size.text}")


def to_earth(job: Job, site: Site, point: str) -> Iterator[Edited]:
    """A protective conductor to a point that has none."""
    earth = site.demand.points.get("earth") or (hoist_name(site.hoist.earth) if site.hoist.earth else None)
    if earth is None:
        return
    rows = [e for r in job.connections for e in (r.from_, r.to) if e.endswith(":PE") and e != point]
    start = next((e for e in rows if not e.startswith(("core:", "hoist:"))), earth)
    row = Connection(start, point)
    yield Edited(replace(job, connections=(*job.connections, row)), f"earth to {point}")
