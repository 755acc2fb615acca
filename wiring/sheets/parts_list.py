"""Parts list: what to buy by kind and rating, no makers; spares; what comes off and is kept."""

from __future__ import annotations

from collections.abc import Mapping

from wiring.files.quantity import show
from wiring.model.job import Rating
from wiring.model.plan import Plan
from wiring.model.value import Value
from wiring.sheets.sheet import Material, Sheet, Table, Text, head_of, said
from wiring.sheets.wires import new_wires

RATINGS = (
    ("motor_120", "motor 120 V"), ("motor_240", "motor 240 V"), ("ac3", "AC-3"), ("ac4", "AC-4"),
    ("ac15_120", "AC-15 120 V"), ("ac15_240", "AC-15 240 V"), ("dc13_24", "DC-13 24 V"),
    ("pilot", "pilot duty"), ("general", "general use"), ("resistive", "resistive"), ("make", "make"),
    ("voltage_ac", "up to AC"), ("voltage_dc", "up to DC"), ("min_load", "least load"),
    ("fuse_max", "back-up fuse at most"), ("electrical_life", "operations"),
)  # fmt: skip


def parts_list(material: Material) -> Sheet:
    """What has to be there before the work starts."""
    plan = material.plan
    rows = (*receiver_rows(plan), *merged(device_rows(plan)), *cable_rows(plan), *link_rows(plan),
            *merged(spare_rows(plan)))  # fmt: skip
    numbered = tuple((str(n), *row) for n, row in enumerate(rows, 1))
    return Sheet(
        id="parts-list",
        title="Parts list",
        head=head_of(plan),
        landscape=True,
        blocks=(
            Text(
                "By kind and rating. Any make that meets the line will do; keep its data sheet with "
                "this pack."
            ),
            Table(("No.", "Tag", "What", "Rating", "Quantity", "Rating known by"), numbered, "To buy"),
        ),
    )


def merged(rows: tuple[tuple[str, ...], ...]) -> tuple[tuple[str, ...], ...]:
    """Parts that are the same in one line: their tags, and how many there are in all."""
    alike: dict[tuple[str, ...], list[tuple[str, str]]] = {}
    for tag, what, rating, count, known in rows:
        alike.setdefault((what, rating, known, "" if count.isdigit() else count), []).append((tag, count))
    return tuple(
        (", ".join(tag for tag, _ in group), what, rating, text or str(sum(int(n) for _, n in group)), known)
        for (what, rating, known, text), group in alike.items()
    )


def rated(rating: Rating | None) -> str:
    """A rating in words, every figure that is stated."""
    if rating is None:
        return "not stated"
    words = [f"{name} {getattr(rating, key)}" for key, name in RATINGS if getattr(rating, key) is not None]
    return ", ".join(words) or "not stated"


def typical(values: Mapping[str, Value], words: Mapping[str, str]) -> str:
    """The catalog type's own figures, for want of stated ones."""
    names = dict(RATINGS)
    found = [f"{names.get(key, key)} {show(value.si, value.unit)}" for key, value in values.items()]
    found += [f"{names.get(key, key)} {text}" for key, text in words.items()]
    return ", ".join(found) or "not stated"


def receiver_rows(plan: Plan) -> tuple[tuple[str, ...], ...]:
    """The receiver and its transmitters."""
    facts = plan.job.receiver
    entry = plan.catalog.receivers.get(facts.type or "")
    if entry is None:
        return (("receiver", "radio receiver, type not known", "see the requirement list", "1", "not known"),)
    ratings = dict.fromkeys(rated(o.rating) for o in facts.outputs if o.rating is not None)
    shown = "; ".join(ratings) or typical(entry.rating, entry.rating_words)
    rows = [("receiver", entry.title, shown, "1", said(facts.source, "type's figures"))]
    for sender in plan.job.transmitters:
        rows.append(
            (sender.id, f"transmitter, keys {', '.join(sender.keys)}", "paired to this receiver", "1", "-")
        )
    return tuple(rows)


def device_rows(plan: Plan) -> tuple[tuple[str, ...], ...]:
    """Added devices, a row each."""
    rows = []
    for device in plan.job.devices:
        entry = plan.catalog.devices.get(device.type)
        title = entry.title if entry else device.type
        if device.rating is not None:
            shown, known = rated(device.rating), said(device.rating.source or device.source)
        else:
            shown = typical(entry.rating, entry.rating_words) if entry else "not stated"
            known = "type's figures, to be confirmed"
        rows.append((device.id, title, f"{shown}{own_values(plan, device.id)}", "1", known))
    return tuple(rows)


def own_values(plan: Plan, device: str) -> str:
    """Coil voltage, fuse rating and stated values of a device, as the circuit has them."""
    found = []
    for part in plan.after.parts if plan.after else ():
        if part.owner.partition(".")[0] != device:
            continue
        if part.kind == "coil" and "voltage" in part.values:
            found.append(f"coil {show(part.values['voltage'].si, 'V', digits=0)}")
        if part.kind == "fuse" and "rating" in part.values:
            found.append(f"fuse {show(part.values['rating'].si, 'A')} ({part.values['rating'].basis})")
    return "".join(f"; {text}" for text in dict.fromkeys(found))


def cable_rows(plan: Plan) -> tuple[tuple[str, ...], ...]:
    """Cables to lay."""
    rows = []
    for cable in plan.job.cables:
        entry = plan.catalog.cables.get(cable.type or "")
        count = f"{len(cable.order)} conductors" if cable.order else "conductors not stated"
        title = entry.title if entry else said(cable.type, "type not stated")
        rows.append((cable.id, title, f"{count}, {said(cable.size)}", said(cable.length), "job file"))
    return tuple(rows)


def link_rows(plan: Plan) -> tuple[tuple[str, ...], ...]:
    """Single wires inside boxes, and a ferrule for each stranded end."""
    rows = new_wires(plan)
    links = [row for row in rows if row.length == "in the box"]
    found = []
    if links:
        sizes = ", ".join(dict.fromkeys(row.size for row in links))
        found.append(("-", "single wires inside the boxes", f"size {sizes}", str(len(links)), "wire list"))
    ferrules: dict[str, int] = {}
    for row in rows:
        if row.ferrule[:1].isdigit():
            ferrules[row.ferrule] = ferrules.get(row.ferrule, 0) + 2
    found += [
        ("-", "ferrules with collar", size, str(count), "wire list") for size, count in ferrules.items()
    ]
    return tuple(found)


def spare_rows(plan: Plan) -> tuple[tuple[str, ...], ...]:
    """Spares that stop a hoist when they are not there."""
    fuses = [part for part in (plan.after.parts if plan.after else ()) if part.kind == "fuse"]
    rows: list[tuple[str, ...]] = []
    for part in fuses:
        rating = part.values.get("rating")
        shown = f"{show(rating.si, 'A')} ({rating.basis})" if rating else "rating not stated"
        rows.append((part.name, "spare fuse, same size and kind", shown, "2", "circuit"))
    if plan.job.transmitters:
        rows.append(("-", "batteries for each transmitter", "as its manual says", "2 sets", "-"))
    return tuple(rows)
