"""Names in a job: every id once, every name the name of something that exists."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TypeVar

from wiring.files.job_points import World, addresses, stop_devices
from wiring.files.problems import InputError, Reporter, listed, nearest, printable
from wiring.files.quantity import QuantityError, read_as
from wiring.model.entry import Catalog
from wiring.model.job import Job

T = TypeVar("T")
RESERVED = ("core", "hoist", "receiver", "plug", "pendant")


def check_names(job: Job, catalog: Catalog, site: Reporter) -> None:
    """Note a problem for every name of the job that is used twice or does not exist."""
    world = World(job)
    _types(world, catalog, site)
    world.fill()
    _ids(job, site)
    _cores(world, site)
    _receiver(world, site)
    _connections(world, site)
    _stops(world, site)
    _removes(world, site)
    _readings(world, site)
    _values(world, site)
    _confirms(job, catalog, site)


# ---- types ----------------------------------------------------------------------------------------


def _types(world: World, catalog: Catalog, site: Reporter) -> None:
    """Look up every type that the job names."""
    job = world.job
    if job.hoist.type is not None:
        world.hoist = _entry(catalog.hoists.__getitem__, catalog.hoists, job.hoist.type, "hoist.type", site)
    if job.receiver.type is not None:
        get = catalog.receivers.__getitem__
        world.receiver = _entry(get, catalog.receivers, job.receiver.type, "receiver.type", site)
    for n, device in enumerate(job.devices):
        found = _entry(catalog.devices.__getitem__, catalog.devices, device.type, f"device.{n}.type", site)
        world.devices[device.id] = found
    cables = [("cord.type", job.cord.type)]
    cables += [(f"cable.{n}.type", cable.type) for n, cable in enumerate(job.cables)]
    for key, name in cables:
        if name is not None:
            _entry(catalog.cables.__getitem__, catalog.cables, name, key, site)


def _entry(get: Callable[[str], T], names: Iterable[str], name: str, key: str, site: Reporter) -> T | None:
    """The entry of that name, or None after noting why it cannot be had."""
    try:
        return get(name)
    except KeyError:
        if name.endswith(".toml"):
            site.problem(
                key, f'"{printable(name)}", which is no file', "a file beside the job, or a catalog id"
            )
        else:
            site.known(key, name, names, "a catalog id, or a .toml file beside the job")
    except InputError as error:
        site.problem(key, f'"{printable(name)}", which cannot be used', "an entry without problems")
        site.problems.extend(error.problems)
    return None


# ---- ids ------------------------------------------------------------------------------------------


def _ids(job: Job, site: Reporter) -> None:
    """Ids are distinct: cores, outputs, transmitters, stops, jumpers; devices and cables share one space."""
    _once([(f"core.{n}.id", core.id) for n, core in enumerate(job.cores)], "each core its own id", site)
    _once(
        [(f"receiver.output.{n}.id", o.id) for n, o in enumerate(job.receiver.outputs)],
        "each output its own id",
        site,
    )
    _once(
        [(f"receiver.jumper.{n}.id", j.id) for n, j in enumerate(job.receiver.jumpers)],
        "each jumper its own id",
        site,
    )
    _once(
        [(f"transmitter.{n}.id", t.id) for n, t in enumerate(job.transmitters)],
        "each transmitter its own id",
        site,
    )
    _once([(f"stop.{n}.id", stop.id) for n, stop in enumerate(job.stops)], "each stop its own id", site)
    owners = [(f"device.{n}.id", device.id) for n, device in enumerate(job.devices)]
    owners += [(f"cable.{n}.id", cable.id) for n, cable in enumerate(job.cables)]
    _once(owners, "each device and cable its own id", site)
    for key, id in owners:
        if id in RESERVED:
            site.problem(key, f'"{id}"', f"an id other than {listed(RESERVED)}")
    _once([(f"value.{n}.of", value.of) for n, value in enumerate(job.values)], "each value stated once", site)


def _once(ids: list[tuple[str, str]], what: str, site: Reporter) -> None:
    """Note a problem for every name that stands twice. what: what must be done once."""
    first: dict[str, str] = {}
    for key, id in ids:
        if id in first:
            line = site.lines.get(first[id], 0)
            site.problem(key, f'"{id}" again (first on line {line})', what)
        first.setdefault(id, key)


# ---- cord and pendant -----------------------------------------------------------------------------


def _cores(world: World, site: Reporter) -> None:
    """Roles belong to the hoist type; the order names cores; pendant contacts name what exists."""
    job, hoist = world.job, world.hoist
    ids = [core.id for core in job.cores]
    _order("cord.order", job.cord.order, ids, site)
    if hoist is None:
        return
    roles = (*(core.role for core in hoist.cores), "spare")
    for n, core in enumerate(job.cores):
        if core.role is not None:
            site.known(f"core.{n}.role", core.role, roles, "a role of this hoist type, or unknown")
    contacts = [contact.id for contact in hoist.contacts]
    for n, name in enumerate(job.pendant.keep):
        site.known(f"pendant.keep.{n}", name, contacts, "a handset contact of the hoist type")
    buttons = [*(button.id for button in hoist.buttons), *(stop.id for stop in hoist.stops)]
    for n, contact in enumerate(job.pendant.contacts):
        key = f"pendant.contact.{n}"
        site.known(f"{key}.button", contact.button, buttons, "a button or stop of the hoist type")
        for end in contact.between:
            site.known(f"{key}.between", end, (*ids, *hoist.handset_junctions), "a core or handset junction")
    clearances = {button.id.partition(".")[0]: 0 for button in hoist.buttons} | {
        x.id: 0 for x in hoist.limits
    }
    for name in job.place.clearance if job.place else ():
        site.known(f"place.clearance.{name}", name, clearances, "a button or limit of the hoist type")


def _order(key: str, order: tuple[str, ...] | None, ids: list[str] | None, site: Reporter) -> None:
    """An order names each thing once, and only things that exist."""
    _once([(f"{key}.{n}", id) for n, id in enumerate(order or ())], "each once in the order", site)
    for n, id in enumerate(order or ()):
        if ids is not None:
            site.known(f"{key}.{n}", id, ids, "a core of this job")


# ---- receiver and transmitters ---------------------------------------------------------------------


def _receiver(world: World, site: Reporter) -> None:
    """Outputs and jumpers exist on the receiver type, keys on the hoist type."""
    job, keys = world.job, world.keys()
    if world.receiver is not None:
        outputs = [output.id for output in world.receiver.outputs]
        jumpers = [part.id for part in world.receiver.net.parts if part.role == "jumper"]
        for n, output in enumerate(job.receiver.outputs):
            site.known(f"receiver.output.{n}.id", output.id, outputs, "an output of the receiver type")
        for n, jumper in enumerate(job.receiver.jumpers):
            site.known(f"receiver.jumper.{n}.id", jumper.id, jumpers, "a jumper of the receiver type")
        for n, row in enumerate(job.bench):
            if row.output is not None:
                site.known(f"bench.{n}.output", row.output, outputs, "an output of the receiver type")
    if keys is None:
        return
    for n, output in enumerate(job.receiver.outputs):
        if output.key is not None:
            site.known(
                f"receiver.output.{n}.key", output.key, keys, "a button of the hoist type, stop or start"
            )
    for n, transmitter in enumerate(job.transmitters):
        for m, key in enumerate(transmitter.keys):
            site.known(f"transmitter.{n}.keys.{m}", key, keys, "a button of the hoist type, stop or start")


# ---- connections ----------------------------------------------------------------------------------


def _connections(world: World, site: Reporter) -> None:
    """Points exist, conductors exist and are used once."""
    cables = {cable.id: cable for cable in world.job.cables}
    for n, cable in enumerate(world.job.cables):
        _order(f"cable.{n}.order", cable.order, None, site)
    conductors: list[tuple[str, str]] = []
    for n, row in enumerate(world.job.connections):
        key = f"connection.{n}"
        for end, point in (("from", row.from_), ("to", row.to)):
            _point(f"{key}.{end}", point, world, site)
        if row.from_ == row.to:
            site.problem(f"{key}.to", f'"{row.to}" at both ends', "two different points")
        if row.conductor is None:
            continue
        conductors.append((f"{key}.conductor", row.conductor))
        cable_id = row.conductor.partition(":")[0]
        order = cables[cable_id].order if cable_id in cables else None
        if site.known(f"{key}.conductor", cable_id, cables, "a cable of this job") and order is not None:
            known = [f"{cable_id}:{id}" for id in order]
            site.known(f"{key}.conductor", row.conductor, known, "a conductor in the order of that cable")
    _once(conductors, "each conductor in one connection", site)


def _point(key: str, point: str, world: World, site: Reporter, also: Iterable[str] = ()) -> bool:
    """Note a problem where a point's owner or terminal does not exist."""
    if point in also:
        return True
    owner = point.partition(":")[0].partition(".")[0]
    if owner not in world.landing:
        owners = list(world.landing)
        near = nearest(owner, owners)
        cable = any(cable.id == owner for cable in world.job.cables)
        found = f'"{point}", a cable' if cable else f'"{point}"'
        site.problem(key, found, f"a point of {listed(owners)}", near and f"{near}:{point.partition(':')[2]}")
        return False
    landing = world.landing[owner]
    return landing is None or site.known(key, point, sorted(landing), f"a terminal of {owner}")


# ---- stops, removals, readings, values, confirmations -----------------------------------------------


def _stops(world: World, site: Reporter) -> None:
    """A stop's device exists; its id is no other stop's of the type."""
    devices = stop_devices(world)
    own = {stop.id for stop in world.hoist.stops} if world.hoist else set()
    for n, stop in enumerate(world.job.stops):
        if stop.device is not None and devices is not None:
            what = "a stop or part of the hoist type, or a device"
            site.known(f"stop.{n}.device", stop.device, devices, what)
        if stop.id in own and stop.device not in (f"hoist:{stop.id}", f"pendant:{stop.id}"):
            found = f'"{stop.id}", which is a stop of the hoist type'
            site.problem(f"stop.{n}.id", found, f'another id, or device = "hoist:{stop.id}"')


def _removes(world: World, site: Reporter) -> None:
    """What is removed is a wire or part of the hoist type, and is removed once."""
    if world.hoist is not None:
        names = [f"hoist:{wire.id}" for wire in world.hoist.net.wires]
        names += [f"hoist:{part.id}" for part in world.hoist.net.parts]
        for n, row in enumerate(world.job.removes):
            if not row.name:
                continue  # said already: neither wire nor part
            site.known(_remove_key(n, site), row.name, names, "a wire or part of the hoist type")
    _once(
        [(_remove_key(n, site), row.name) for n, row in enumerate(world.job.removes)],
        "each removed once",
        site,
    )


def _remove_key(n: int, site: Reporter) -> str:
    return f"remove.{n}.wire" if f"remove.{n}.wire" in site.lines else f"remove.{n}.part"


def _readings(world: World, site: Reporter) -> None:
    """A reading lies between cores, points or groups of them, in a state made of inputs that exist."""
    cores = {core.id for core in world.job.cores}
    for n, row in enumerate(world.job.readings):
        for m, side in enumerate(row.between):
            for name in (side,) if side in cores else side.split("+"):
                key = f"reading.{n}.between.{m}"
                if ":" in name:
                    _point(key, name.strip(), world, site, _cable_ends(world))
                else:
                    site.known(key, name.strip(), sorted(cores), "a core of this job, or a point")
        if row.state is not None and _said(f"reading.{n}.state", row.state, site):
            _state(f"reading.{n}.state", row.state, world, site)


def _cable_ends(world: World) -> set[str]:
    return {
        f"{cable.id}:{id}.{end}"
        for cable in world.job.cables
        for id in cable.order or ()
        for end in ("from", "to")
    }


def _said(key: str, state: str, site: Reporter) -> bool:
    """A state is `rest`, or `press NAME` and `open NAME` joined by commas: whatever the hoist is, other
    words would be read as nothing held."""
    other = [step.strip() for step in state.split(",") if step.split()[:1] not in (["press"], ["open"])]
    if state == "rest" or not other:
        return True
    near = "rest" if "release" in other[0] else nearest(other[0], ("rest", "press", "open"))
    site.problem(key, f'"{printable(other[0])}"', 'rest, "press up", "open limit:up", joined by commas', near)
    return False


def _state(key: str, state: str, world: World, site: Reporter) -> None:
    """Every name of a state is one of the hoist type's."""
    hoist = world.hoist
    if hoist is None or state == "rest":
        return
    buttons = [button.id for button in hoist.buttons]
    opened = [f"limit:{each.id}" for each in hoist.limits] + [f"stop:{each.id}" for each in hoist.stops]
    opened += [f"thermal:{id}" for id, _ in hoist.thermals]
    for step in state.split(","):
        verb, _, name = step.strip().partition(" ")
        if verb == "press":
            pressable = [
                *buttons,
                *(stop.removeprefix("stop:") for stop in opened if stop.startswith("stop:")),
            ]
            bare = name.removeprefix("button:").removeprefix("key:").removeprefix("stop:")
            site.known(key, bare, pressable, "a button or stop of the hoist type")
        else:
            stops = [f"stop:{stop.id}" for stop in world.job.stops]
            site.known(key, name, (*opened, *stops), "a limit, stop or thermal device of the hoist type")


def _values(world: World, site: Reporter) -> None:
    """A stated value has an address that exists, and a quantity of its kind."""
    known = addresses(world) if world.job.values else None
    for n, row in enumerate(world.job.values):
        if known is None:
            return
        part = row.of.rpartition(".")[0]
        same = [address for address in known if address.rpartition(".")[0] == part] or list(known)
        if site.known(f"value.{n}.of", row.of, known if row.of in known else same, "owner:part.property"):
            kinds = known[row.of]
            if row.is_.kind not in kinds:
                allowed = " or ".join(f"a {kind}" for kind in kinds)
                site.problem(f"value.{n}.is", f'"{row.is_}", a {row.is_.kind}', allowed)


def _confirms(job: Job, catalog: Catalog, site: Reporter) -> None:
    """A confirmation names a number of a table, and gives one of its unit."""
    for n, row in enumerate(job.confirms):
        key = f"confirm.{n}.entry"
        table, _, rest = row.entry.partition("/")
        line, _, column = rest.rpartition("/")
        found = _entry(catalog.tables.__getitem__, catalog.tables, table, key, site)
        if found is None or not site.known(key, line, found.rows, f"a row of {table}"):
            continue
        cell = found.cell(line, column)
        if cell is None:
            columns = [name for name in found.rows[line] if found.cell(line, name)]
            site.known(key, column, columns, "a column with a number in that row")
            continue
        for name, text in (("is", row.is_), ("ours", row.ours)):
            try:
                if text is not None:
                    read_as(text, cell.unit)
            except QuantityError as error:
                site.problem(f"confirm.{n}.{name}", printable(error.found), error.allowed, error.nearest)
