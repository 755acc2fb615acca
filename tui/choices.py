"""Words a field can be completed from: of the schema, the catalog and the job itself."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from tui.fields import UNKNOWN, Field
from tui.sight import Sight
from wiring.model.entry import Netlist

Choice = tuple[str, str]

COLOURS = (
    "black", "white", "red", "blue", "green", "orange", "brown", "grey", "yellow", "violet", "pink",
    "green/yellow", "turquoise",
)  # fmt: skip
CATALOG = {
    "hoist.type": "hoists",
    "receiver.type": "receivers",
    "device.type": "devices",
    "cable.type": "cables",
    "cord.type": "cables",
}


def choices_for(block: str, field: Field, sight: Sight) -> tuple[Choice, ...]:
    """(word, note) pairs for a field, best first; empty where anything can be typed."""
    whole = f"{block}.{field.path}"
    found: Iterable[Choice]
    if whole in CATALOG:
        found = _entries(CATALOG[whole], sight)
        if block in ("hoist", "receiver"):
            found = [*found, (UNKNOWN, "not known yet")]
    elif field.choices:
        found = [(word, "") for word in field.choices]
        if whole == "core.role":
            found = _roles(field, sight)
    else:
        made = _MADE.get(whole)
        found = made(sight) if made else ()
    return tuple(dict(found).items())


def _entries(shelf: str, sight: Sight) -> list[Choice]:
    if sight.catalog is None:
        return []
    return [(id, entry.title) for id, entry in getattr(sight.catalog, shelf).items()]


def _hoist(sight: Sight) -> Any:
    kind = sight.open.at("hoist.type")
    return sight.catalog.hoists.get(kind) if sight.catalog and isinstance(kind, str) else None


def _receiver(sight: Sight) -> Any:
    kind = sight.open.at("receiver.type")
    return sight.catalog.receivers.get(kind) if sight.catalog and isinstance(kind, str) else None


def _roles(field: Field, sight: Sight) -> list[Choice]:
    """Roles of the hoist type first, then all others."""
    hoist = _hoist(sight)
    own = [(core.role, f"at hoist:{core.at}. {core.about}") for core in hoist.cores] if hoist else []
    return own + [(word, "") for word in field.choices if word not in dict(own)]


def ids(sight: Sight, block: str) -> list[str]:
    """Ids of the entries of a list in the job."""
    rows = sight.open.at(block)
    found = [row.get("id") for row in rows if isinstance(row, dict)] if isinstance(rows, list) else []
    return [one for one in found if isinstance(one, str)]


def pins(net: Netlist) -> list[str]:
    """Terminals of an entry, junctions left out."""
    hidden = set(net.junctions)
    seen = [t.id for t in net.terminals] + [pin for part in net.parts for pin in part.at]
    return [pin for pin in dict.fromkeys(seen) if pin not in hidden]


def points(sight: Sight) -> list[Choice]:
    """Every point that a wire can land on, with what it is."""
    found: list[Choice] = []
    rows = sight.open.at("core")
    for core in rows if isinstance(rows, list) else ():
        found.append((f"core:{core.get('id')}", f"{core.get('colour', '')} {core.get('role', '')}".strip()))
    receiver, hoist = _receiver(sight), _hoist(sight)
    if receiver is not None:
        found += [(f"receiver:{pin}", "receiver") for pin in pins(receiver.net)]
    found += _device_points(sight)
    if hoist is not None:
        found += [
            (f"plug:{pin[5:]}" if pin.startswith("plug.") else f"hoist:{pin}", "hoist")
            for pin in pins(hoist.net)
        ]
    return found


def _device_points(sight: Sight) -> list[Choice]:
    found: list[Choice] = []
    rows = sight.open.at("device")
    for device in rows if isinstance(rows, list) and sight.catalog else ():
        entry = sight.catalog.devices.get(str(device.get("type"))) if sight.catalog else None
        if entry is None:
            continue
        for pin in pins(entry.net):
            unit, colon, terminal = pin.partition(":")
            name = f"{device['id']}.{unit}:{terminal}" if colon else f"{device['id']}:{pin}"
            found.append((name, entry.title))
    return found


def _wires(sight: Sight) -> list[Choice]:
    hoist = _hoist(sight)
    if hoist is None:
        return []
    wires = hoist.net.wires
    return [(f"hoist:{wire.id}", f"{wire.ends[0]} to {wire.ends[1]}") for wire in wires]


def _parts(sight: Sight) -> list[Choice]:
    hoist = _hoist(sight)
    return [(f"hoist:{part.id}", part.kind) for part in hoist.net.parts] if hoist else []


def _conductors(sight: Sight) -> list[Choice]:
    found = []
    rows = sight.open.at("cable")
    for cable in rows if isinstance(rows, list) else ():
        order = cable.get("order")
        for one in order if isinstance(order, list) else ():
            found.append((f"{cable.get('id')}:{one}", str(cable.get("size", ""))))
    return found


def _keys(sight: Sight) -> list[Choice]:
    hoist = _hoist(sight)
    own = [(button.id, button.motion) for button in hoist.buttons] if hoist else []
    return [*own, ("stop", "stop key"), ("start", "start key")]


def _outputs(sight: Sight) -> list[Choice]:
    receiver = _receiver(sight)
    return [(out.id, f"channel {out.channel}") for out in receiver.outputs] if receiver else []


def _values(sight: Sight) -> list[Choice]:
    """Placeholders of the circuit, by address, that a plate or data sheet can replace."""
    plan = sight.plan
    circuit = (plan.after or plan.before) if plan else None
    if circuit is None:
        return []
    seen = [value for part in circuit.parts for value in part.values.values()]
    seen += [value for motor in circuit.motors for value in motor.values.values()]
    return [(value.id, f"{value.si:g} {value.unit}, {value.basis}") for value in seen if value.weak]


def _confirmable(sight: Sight) -> list[Choice]:
    """Recalled table cells that a finding of this plan rests on."""
    findings = sight.plan.report.findings if sight.plan else ()
    return [(one, f.rule) for f in findings for one in f.rests_on if one.count("/") >= 2]


def _stop_devices(sight: Sight) -> list[Choice]:
    hoist = _hoist(sight)
    own = [(f"hoist:{stop.id}", stop.kind) for stop in hoist.stops] if hoist else []
    return own + [(id, "added device") for id in ids(sight, "device")]


_MADE: dict[str, Any] = {
    "core.colour": lambda sight: [(one, "") for one in COLOURS],
    "connection.from": points,
    "connection.to": points,
    "connection.conductor": _conductors,
    "remove.wire": _wires,
    "remove.part": _parts,
    "receiver.output.key": _keys,
    "receiver.output.id": _outputs,
    "bench.output": _outputs,
    "receiver.jumper.id": lambda sight: [
        (part.id, part.label)
        for part in (_receiver(sight).net.parts if _receiver(sight) else ())
        if part.kind == "wire"
    ],
    "value.of": _values,
    "confirm.entry": _confirmable,
    "stop.device": _stop_devices,
    "job.country": lambda sight: [(one, "") for one in ("US", "CA", "DE", "FR", "GB", "NL", "SE", "AU")],
    "place.environment": lambda sight: [(one, "") for one in ("indoor, dry", "indoor, dust", "indoor, damp",
                                                              "outdoor, under a roof", "outdoor, wet")],
    "supply.rcd": lambda sight: [(one, "") for one in ("none", "30 mA", "300 mA")],
    "reading.state": lambda sight: [
        ("rest", "nothing pressed"), *((f"press {key}", motion) for key, motion in _keys(sight)[:-2]),
    ],
}  # fmt: skip
