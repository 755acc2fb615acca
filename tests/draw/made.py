"""Circuits for the drawing tests: naive conversions of every hoist type, and circuits nobody would build."""

from __future__ import annotations

import random

from wiring.circuit import build_after, build_before
from wiring.files import load_catalog
from wiring.files.quantity import parse
from wiring.model.circuit import Circuit, Part, Point
from wiring.model.job import Cable, Connection, Cord, Core, HoistFacts, Job, Pendant, ReceiverFacts
from wiring.model.value import WireSize

CATALOG = load_catalog()
AWG_16 = WireSize("awg", "16", 1.308696e-6, "16 AWG")


def converted_job(hoist: str, receiver: str, fate: str = "removed") -> Job:
    """Each core of the type to the next terminal of the receiver: not a good plan, but one to draw."""
    kind, radio = CATALOG.hoists[hoist], CATALOG.receivers[receiver]
    terminals = list(dict.fromkeys(pin for part in radio.net.parts for pin in part.at))
    cores = tuple(
        Core(str(n), core.colours[0] if core.colours else None, core.role, "readings")
        for n, core in enumerate(kind.cores, 1)
    )
    order = tuple(core.id for core in cores)
    rows = tuple(
        Connection(f"core:{core.id}", f"receiver:{terminal}", f"W1:{core.id}", f"10{core.id}")
        for core, terminal in zip(cores, terminals, strict=False)
    )
    length = parse("3 ft", "length")
    return Job(
        file="made.toml",
        title=f"{kind.title}, {radio.title}",
        region="us",
        stage="design",
        hoist=HoistFacts(type=hoist, type_by="readings"),
        cord=Cord(size=AWG_16, order=order, fate=fate, kept_length=length if fate == "tail-kept" else None),
        cores=cores,
        pendant=Pendant(fate="removed"),
        receiver=ReceiverFacts(type=receiver),
        cables=(Cable("W1", size=AWG_16, length=length, order=order),),
        connections=rows,
    )


def converted(hoist: str, receiver: str, fate: str = "removed") -> tuple[Circuit, Circuit]:
    """The circuit as found and as converted of such a job."""
    job = converted_job(hoist, receiver, fate)
    return build_before(job, CATALOG), build_after(job, CATALOG)


KINDS = (
    ("contact", 2), ("contact", 2), ("contact", 2), ("coil", 2), ("coil", 2), ("fuse", 2), ("winding", 2),
    ("capacitor", 2), ("motor3", 3), ("transformer", 4), ("rectifier", 4), ("load", 2), ("suppressor", 2),
    ("brake", 2), ("semiconductor", 2), ("supply-input", 2), ("drive-input", 2),
)  # fmt: skip


def random_circuit(seed: int, parts: int = 18) -> Circuit:
    """Parts of every kind joined at random by wires: bridges, loops, loose ends and shorted parts."""
    chance = random.Random(seed)
    made: list[Part] = [Part("hoist:V1", "source", ("hoist:m.L", "hoist:m.N"), "hoist")]
    coils: list[str] = []
    for n in range(parts):
        kind, count = chance.choice(KINDS)
        name = f"hoist:P{n}"
        pins = tuple(f"{name}.{k}" for k in range(1, count + 1))
        by = f"coil:{chance.choice(coils)}" if kind == "contact" and coils and chance.random() < 0.5 else ""
        if kind == "contact" and not by:
            by = chance.choice(("button:up", "limit:up", "stop:S0", "thermal:OL"))
        form = chance.choice(("NO", "NC")) if kind in ("contact", "semiconductor") else ""
        role = "power" if kind == "contact" and chance.random() < 0.3 else ""
        made.append(Part(name, kind, pins, "hoist", form, by, role))  # type: ignore[arg-type]
        if kind == "coil":
            coils.append(name)
    points = [Point(pin, "hoist", True, "hoist") for part in made for pin in part.pins]
    points += [Point(f"hoist:X1.{n}", "hoist", True, "hoist") for n in range(1, 5)]
    names = [point.name for point in points]
    for n in range(int(len(names) * 0.8)):
        a, b = chance.sample(names, 2)
        made.append(Part(f"hoist:W{n}", "wire", (a, b), "hoist"))
    for n in range(2):
        a, b = chance.sample(names, 2)
        made.append(Part(f"core:{n}", "wire", (a, b), "core", role="spare", colour="green/yellow"))
    return Circuit("before", tuple(points), tuple(made), (), earth="hoist:X1.4")
