"""What stands between the receiver's contacts and the hoist: a contactor pair, or relays."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from wiring.circuit import hoist_name
from wiring.model.entry import Catalog
from wiring.planner.demand import Contact, rest_contacts_closed
from wiring.planner.sheet import Sheet
from wiring.planner.site import NoWay, Site
from wiring.planner.stops import pairs
from wiring.planner.supply import by_coil, of_kind

POLES = (("1", "2"), ("3", "4"), ("5", "6"))
AUX = ("13", "14")
#: An auxiliary contact takes over a light contact only [A]; its own rating is judged by the rules.
LIGHT = 1.0


@dataclass(frozen=True, slots=True)
class Domain:
    """Two nets with a voltage between them."""

    hot: str
    ret: str
    volts: float
    kind: str


def contactor_pair(sheet: Sheet, site: Site, wants: Sequence[Contact], control: Domain) -> list[Contact]:
    """Put the handset's contacts on a contactor pair. Gives the contacts its two coils want."""
    closing = rest_contacts_closed(wants)
    buttons = list(dict.fromkeys(w.button for w in closing))
    if len(buttons) != 2:
        raise NoWay(f"a contactor pair serves two keys, this hoist has {len(buttons)}")
    device = by_coil(site.catalog, "contactor-pair", control.volts, control.kind)
    if device is None:
        raise NoWay(
            f"no contactor pair with coils for {control.volts:.0f} V {control.kind} is in the catalog"
        )
    id = sheet.device("K10", device.id)
    if site.three_phase:
        sheet.inside.add(id)
    for button, unit in zip(buttons, device.units, strict=True):
        _poles(sheet, f"{id}.{unit}", button, [w for w in closing if w.button == button])
    hot = _protected(sheet, site, control)
    found: list[Contact] = []
    for button, unit, other in zip(buttons, device.units, reversed(device.units), strict=True):
        net = f"coil.{button}"
        cross = f"resting contact of the {other} contactor: {button} cannot come in while {other} is in"
        sheet.put(net, f"{id}.{other}:21", cross)
        net = f"{net}.free"
        sheet.put(net, f"{id}.{other}:22", cross)
        net = _limit(sheet, site, button, net)
        sheet.put(net, f"{id}.{unit}:A1", f"coil of the {unit} contactor")
        sheet.put(control.ret, f"{id}.{unit}:A2", f"return of the {unit} contactor's coil")
        found.append(Contact(button, "NO", hot, f"coil.{button}"))
    return found


def _poles(sheet: Sheet, unit: str, button: str, wants: list[Contact]) -> None:
    """One pole for each contact of a direction, the heavy ones on main poles."""
    ordered = sorted(wants, key=lambda w: -(w.amps if w.amps is not None else 1e9))
    if len(ordered) > len(POLES) + 1 or (
        len(ordered) > len(POLES) and (ordered[-1].amps is None or ordered[-1].amps > LIGHT)
    ):
        raise NoWay(f"a direction switches {len(ordered)} heavy lines, the pair has {len(POLES)} poles")
    for want, (a, b) in zip(ordered, (*POLES, AUX), strict=False):
        why = f"pole of the contactor in place of the handset's contact for {button}, before every limit"
        sheet.put(want.a, f"{unit}:{a}", why)
        sheet.put(want.b, f"{unit}:{b}", why)


def _protected(sheet: Sheet, site: Site, control: Domain) -> str:
    """The net of the coils: behind a fuse of its own and, on three phases, behind an overload relay."""
    hot = control.hot
    if site.needs_transformer:
        return _overload(sheet, site, hot)
    fuse = sheet.device("F10", "fuse")
    sheet.put(hot, f"{fuse}:1", "a fuse of its own for coils and the receiver's contacts, behind the stop")
    sheet.put(
        "coils", f"{fuse}:2", "a fuse of its own for coils and the receiver's contacts, behind the stop"
    )
    return "coils"


def _overload(sheet: Sheet, site: Site, hot: str) -> str:
    """An overload relay in the motor line, its contact in the coils' feed."""
    place, line = site.demand.place("motor-line"), site.demand.place("main-contactor")
    if place is None or line is None:
        return hot
    id = sheet.device("F20", "overload-relay")
    sheet.inside.add(id)
    sheet.take_off(place.remove, "the overload relay goes in here")
    why = "the motor is now switched by contactors: an overload relay set to its plate"
    runs = pairs(place)
    for (before, after), (a, b) in zip(runs, POLES, strict=False):
        sheet.put(before, before)
        sheet.put(before, f"{id}:{a}", why)
        sheet.put(after, f"{id}:{b}", why)
        sheet.put(after, after)
    sheet.put(hot, f"{id}:95", "an overload takes the coils' feed away, until somebody resets it by hand")
    sheet.put("coils", f"{id}:96", "an overload takes the coils' feed away, until somebody resets it by hand")
    sheet.open.append(f"set {id} to the full-load current on the motor's plate")
    return "coils"


def _limit(sheet: Sheet, site: Site, button: str, net: str) -> str:
    """A limit switch in a coil's feed where a hoisting motion has none."""
    motion = next((b.motion for b in site.hoist.buttons if b.id == button), "")
    has = any(limit.motion == motion for limit in site.hoist.limits)
    has = has or (bool(site.hoist.limits) and motion != "hoist up")
    type = f"limit-switch-{button}"
    if has or not motion.startswith("hoist") or type not in site.catalog.devices:
        return net
    id = sheet.device("B1", type)
    why = f"the hoist had no limit for {motion}: the switch opens the coil before the hook is at its end"
    sheet.put(net, f"{id}:21", why)
    sheet.put(f"{net}.limit", f"{id}:22", why)
    sheet.put("earth", f"{id}:PE", "the metal of the limit switch is joined to the protective conductor")
    sheet.open.append(f"mount {id} so that {motion} trips it with the stopping distance to spare")
    return f"{net}.limit"


def relays(
    sheet: Sheet, site: Site, wants: Sequence[Contact], domain: Domain, low_side: bool, bleed: bool
) -> list[Contact]:
    """One relay (or more) for each key, between the receiver and the wants. Gives what their coils want."""
    if site.demand.motor and all(w.b in site.demand.points or w.a in site.demand.points for w in wants):
        raise NoWay("relays of the catalog have no motor rating")
    device = by_coil(site.catalog, "relay", domain.volts, domain.kind)
    if device is None:
        raise NoWay(f"no relay with a coil for {domain.volts:.0f} V {domain.kind} is in the catalog")
    grouped = {b: [w for w in wants if w.button == b] for b in dict.fromkeys(w.button for w in wants)}
    ids = {b: [sheet.device("K20", device.id) for _ in range(0, len(mine), 2)] for b, mine in grouped.items()}
    yields = _priority(grouped)
    found: list[Contact] = []
    for button, mine in grouped.items():
        net = f"relay.{button}"
        for n, id in enumerate(ids[button]):
            live, ret = (domain.hot, net) if low_side else (net, domain.ret)
            if button in yields and low_side:
                ret = _through(sheet, ids[yields[button]][0], ret, button)
            elif button in yields:
                live = _through(sheet, ids[yields[button]][0], live, button)
            sheet.put(live, f"{id}:A1", f"coil of the relay for {button}, in the receiver's own circuit")
            sheet.put(ret, f"{id}:A2", f"coil of the relay for {button}, in the receiver's own circuit")
            if bleed:
                bleeder(sheet, id, live, ret)
            if domain.kind == "DC":
                diode(sheet, id, live, ret)
            for want, contact in zip(mine[2 * n :], ("1", "2"), strict=False):
                why = f"the relay closes while key {button} is held: in place of the handset's contact"
                sheet.put(want.a, f"{id}:{contact}1", why)
                sheet.put(want.b, f"{id}:{contact}{'4' if want.form == 'NO' else '2'}", why)
        a, b = (net, domain.ret) if low_side else (domain.hot, net)
        found.append(Contact(button, "NO", a, b))
    return found


def _priority(grouped: Mapping[str, Sequence[Contact]]) -> dict[str, str]:
    """Of two opposite keys the first yields to the second, by a resting contact of its relay: both
    held, one runs. With contacts both ways the faster relay would decide, which nobody knows."""
    if len(grouped) != 2 or any(len(mine) != 1 for mine in grouped.values()):
        return {}
    first, second = grouped
    return {first: second}


def _through(sheet: Sheet, other: str, net: str, button: str) -> str:
    """A coil net led through the free resting contact of another relay."""
    why = f"resting contact of the opposite relay: {button} drops out while that one is in"
    sheet.put(net, f"{other}:21", why)
    sheet.put(f"{net}.free", f"{other}:22", why)
    return f"{net}.free"


def bleeder(sheet: Sheet, coil: str, live: str, ret: str) -> None:
    """A resistor that takes the leakage of an electronic output past a coil."""
    id = sheet.device("R1", "bleeder-resistor")
    why = f"takes the leakage of the electronic output past the coil of {coil}, which it could hold"
    sheet.put(live, f"{id}:1", why)
    sheet.put(ret, f"{id}:2", why)


def diode(sheet: Sheet, coil: str, live: str, ret: str) -> None:
    """A flyback diode, cathode to plus."""
    id = sheet.device("R1", "suppressor-diode")
    why = f"takes the switching surge of the coil of {coil}; cathode to plus"
    sheet.put(live, f"{id}:1", why)
    sheet.put(ret, f"{id}:2", why)


def keep_suppressors(sheet: Sheet, site: Site) -> None:
    """Suppressors of the job stay across what they were across, where that is still there."""
    where = {point: net for net, points in sheet.nets.items() for point in points}
    for device in site.job.devices:
        type = site.catalog.devices.get(device.type)
        if type is None or type.kind != "suppressor" or device in sheet.devices:
            continue
        ends: dict[str, str] = {}
        for row in site.job.connections:
            for pin, other in ((row.from_, row.to), (row.to, row.from_)):
                if pin.startswith(f"{device.id}:") and (other in where or other.startswith("hoist:")):
                    ends[pin] = where.get(other, other)
        if len(ends) == 2:
            sheet.devices.append(device)
            for pin, net in ends.items():
                if net.startswith("hoist:"):
                    sheet.put(net, net)
                sheet.put(net, pin, "the suppressor stays across its coil")


def replacement_capacitor(sheet: Sheet, site: Site) -> None:
    """A run capacitor that sat in the handset, on the motor itself, behind the limits."""
    parts = [p for p in site.hoist.handset_parts if p.kind == "capacitor"]
    for part in parts:
        wanted = part.values["capacitance"].si
        type = nearest_capacitor(site.catalog, wanted)
        windings = [p for p in site.hoist.net.parts if p.kind == "winding"]
        pins = [pin for w in windings for pin in w.at]
        ends = [pin for pin in pins if pins.count(pin) == 1]
        if len(ends) != 2:
            raise NoWay("where the handset's capacitor has to go cannot be told")
        id = sheet.device("C1", type)
        sheet.inside.add(id)
        why = "the run capacitor left with the handset: a new one at the motor, behind the limits"
        for point, pin in zip(ends, ("1", "2"), strict=True):
            full = hoist_name(point)
            sheet.put(full, full)
            sheet.put(full, f"{id}:{pin}", why)


def nearest_capacitor(catalog: Catalog, farad: float) -> str:
    """The catalog's capacitor of this size. Raises NoWay where none is within a tenth."""
    for device in of_kind(catalog, "capacitor"):
        part = next(p for p in device.net.parts if p.kind == "capacitor")
        if abs(part.values["capacitance"].si - farad) <= 0.1 * farad:
            return device.id
    raise NoWay(f"no run capacitor of {farad * 1e6:.0f} uF is in the catalog")
