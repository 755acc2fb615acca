"""Jobs made from types for the planner's tests: every core known, nothing connected yet."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from wiring.files import load_catalog, parse
from wiring.model.entry import Catalog, EntryPart, EntryWire, Netlist, ReceiverType, Terminal
from wiring.model.job import (
    Cord,
    Core,
    HoistFacts,
    Job,
    LoadHolding,
    Pendant,
    ReceiverFacts,
    ReceiverOutput,
    StopFact,
    Supply,
)

CATALOG = load_catalog()


def lived_in(job: Job, catalog: Catalog = CATALOG) -> Job:
    """A made job with what an owner states as well: how the load is held, where the isolator hangs."""
    stops = [s for s in catalog.hoists[job.hoist.type or ""].stops if s.kind == "isolator"]
    near = parse("4 m", "length")
    facts = tuple(
        StopFact(s.id, "isolator", f"hoist:{s.id}", "near", near, True, True, "wall by the door")
        for s in stops
    )
    held = replace(job.hoist, load_holding=LoadHolding("load-pressure brake", "plate"))
    return replace(job, hoist=held, stops=facts)


def job_of(hoist: str, receiver: str | None, catalog: Catalog = CATALOG) -> Job:
    """A job with a hoist type, its cores by roles, and a receiver fresh from its box."""
    type = catalog.hoists[hoist]
    cores = tuple(
        Core("PE" if c.role == "earth" else str(n), c.colours[0], c.role, "traced", "traced by hand")
        for n, c in enumerate(type.cores, 1)
    )
    facts = ReceiverFacts()
    if receiver:
        kind = catalog.receivers[receiver]
        mode = "momentary" if "momentary" in kind.modes else None
        outputs = tuple(ReceiverOutput(o.id, o.key or None, mode=mode) for o in kind.outputs)
        facts = ReceiverFacts(
            receiver, "its data sheet", parse("0.4 s", "time"), "off", True, outputs=outputs,
            step_two="cumulative" if kind.step_two == "either" else kind.step_two,
        )  # fmt: skip
    return Job(
        file="made.toml",
        title="Made for a test",
        region="iec" if type.frequency.si == 50 else "us",
        stage="design",
        supply=Supply(type.supply_system),
        hoist=HoistFacts(hoist, "traced", "traced by hand"),
        cord=Cord(fate="removed", order=tuple(c.id for c in cores)),
        cores=cores,
        pendant=Pendant("removed"),
        receiver=facts,
    )


def boxed(*parts: EntryPart, outputs: str = "A B", wires: tuple[EntryWire, ...] = ()) -> ReceiverType:
    """A receiver with these contacts between screws, each name in small letters a sealed junction."""
    pins = dict.fromkeys(pin for p in parts for pin in p.at)
    pins |= dict.fromkeys(pin for w in wires for pin in w.ends)
    net = Netlist(
        tuple(Terminal(pin) for pin in pins if not pin.islower()),
        tuple(pin for pin in pins if pin.islower()),
        parts,
        wires,
    )
    base = CATALOG.receivers["two-channel-dry"]
    listed = tuple(replace(base.outputs[0], id=name, key="") for name in outputs.split())
    return replace(base, net=net, outputs=listed, stop_outputs=())


def contact(output: str, at: str, form: str = "NO", kind: Any = "contact") -> EntryPart:
    return EntryPart(f"{output}-{form}-{at}", kind, tuple(at.split()), form, f"output:{output}")
