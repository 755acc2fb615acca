"""The receiver to buy, from what the hoist asks of it: contacts, supply, mode, loss, stop."""

from __future__ import annotations

from collections.abc import Iterator

from wiring.circuit import build_before
from wiring.model.circuit import Circuit
from wiring.model.entry import Catalog
from wiring.model.job import Job
from wiring.model.proposal import Want
from wiring.planner.demand import Demand, demand_of, with_type_cores
from wiring.planner.supply import by_coil, taps
from wiring.planner.trial import standing
from wiring.simulate.network import Network
from wiring.simulate.states import space_of


def specification(job: Job, catalog: Catalog) -> tuple[Want, ...]:
    """What to look for on data sheets. Empty where the hoist type is not known."""
    if job.hoist.type is None or job.hoist.type not in catalog.hoists:
        return ()
    hoist = catalog.hoists[job.hoist.type]
    before = build_before(job, catalog)
    demand = demand_of(job, hoist, before)
    if demand.missing:
        job = with_type_cores(job, hoist)
        before = build_before(job, catalog)
        demand = demand_of(job, hoist, before)
    return (
        *contacts(demand, before, catalog),
        *outputs(demand, before),
        *supply(demand, before),
        Want("mode", "momentary, fixed or shown by a bench test", "the hook moves only while a key is held"),
        *loss(catalog),
        Want("supply and link come back", "outputs off; a key still held is ignored until let go",
             "nothing may start because something came back"),
        *stop(demand),
    )  # fmt: skip


def contacts(demand: Demand, before: Circuit, catalog: Catalog) -> Iterator[Want]:
    """Category and current of the contacts: the motor's, a coil's, or a drive input's."""
    tap = next(iter(taps(demand, before)), None)
    if demand.motor:
        yield from motor_contacts(demand)
        pair = by_coil(catalog, "contactor-pair", tap.volts, tap.kind) if tap else None
        if pair is not None and tap is not None:
            coil = next(p for p in pair.net.parts if p.kind == "coil")
            inrush = coil.values["inrush"].si / tap.volts
            sealed = coil.values["sealed"].si / tap.volts
            yield Want("contact, with a contactor pair",
                       f"AC-15 or pilot duty at {tap.volts:.0f} V: {sealed:.2f} A, makes {inrush:.1f} A",
                       "coils only: the simpler way, with contacts made for the motor")  # fmt: skip
        return
    amps, inrush, kind = coil_currents(before)
    if not amps:
        yield Want("contact", "for small loads: 1 mA to 10 mA at 24 V, gold or transistor",
                   "the contact switches inputs of a drive, which a power contact does not wet")  # fmt: skip
        return
    category = "AC-15 or pilot duty" if kind == "AC" else "DC-13"
    volts = f"{tap.volts:.0f} V {tap.kind}" if tap else "the control voltage"
    makes = f", makes {inrush:.1f} A" if inrush else ""
    yield Want("contact", f"{category} at {volts}: {amps:.2f} A{makes}",
               "the largest coil current that one button switches")  # fmt: skip


def motor_contacts(demand: Demand) -> Iterator[Want]:
    """The rating a contact would need that takes the motor itself."""
    motor = next(iter(demand.hoist.motors), None)
    if motor is None:
        return
    amps, locked = motor.values.get("full_load_current"), motor.values.get("locked_rotor_current")
    power = motor.values.get("power")
    words = [f"{power.si:.0f} W" if power else "", f"{amps.si:.1f} A" if amps else ""]
    makes = f"; makes {locked.si:.0f} A" if locked else ""
    text = " or ".join(w for w in words if w)
    yield Want(
        "contact, without further contactors",
        f"a motor rating (hp, kW or AC-3) of at least {text}{makes}",
        "the handset switches the motor's own current; a resistive rating says nothing about it",
    )


def coil_currents(before: Circuit) -> tuple[float, float, str]:
    """Largest current through a handset contact while held [A], at the moment of closing [A], kind."""
    space = space_of(Network(before))
    coils = {p.name: p for p in before.parts if p.kind == "coil"}
    rest = set(space.settled(space.rest).energised)
    amps = inrush = 0.0
    kind = "DC" if space.network.hertz[0] == 0 else "AC"
    for name in before.expected:
        bit = space.keys.get(name, 0)
        settled = space.settled(space.at(bit | space.needs.get(bit, 0)))
        for coil in set(settled.energised) - rest:
            part = coils.get(coil)
            if part is None:
                continue
            volts = part.values["voltage"].si
            amps = max(amps, abs(settled.amps.get(coil, 0j)))
            if "inrush" in part.values:
                inrush = max(inrush, part.values["inrush"].si / volts)
    return amps, inrush, kind


def outputs(demand: Demand, before: Circuit) -> Iterator[Want]:
    """How many contacts, of which form, for which keys."""
    lines = []
    for button in demand.buttons():
        mine = [w for w in demand.wants if w.button == button]
        forms = [
            f"{sum(w.form == f for w in mine)} {f}" for f in ("NO", "NC") if any(w.form == f for w in mine)
        ]
        lines.append(f"{button}: {' + '.join(forms)}")
    yield Want(
        "outputs", "; ".join(lines), "one contact for each that the handset has; none may share a pole"
    )
    if any(b.endswith(".2") for b in demand.buttons()):
        yield Want("second step", "two-step keys, cumulative: the first stays closed under the second",
                   "a second step that replaces the first lets go between the speeds")  # fmt: skip
    if "start" in demand.buttons():
        yield Want(
            "start",
            "an output that follows a START key as a pulse",
            "the hoist has a main contactor to start",
        )
    if fights(before):
        yield Want("opposite keys", "kept apart by hardware: a mechanical interlock or crossed contacts",
                   "both directions at once stall the motor or short its capacitor")  # fmt: skip


def fights(before: Circuit) -> bool:
    """True where two buttons together, which the handset may not allow, would short or stall."""
    space = space_of(Network(before))
    keys = list(space.keys.values())
    for i, one in enumerate(keys):
        for other in keys[i + 1 :]:
            at = space.at(one | other)
            if at.run.shorts or standing(space, at):
                return True
    return False


def supply(demand: Demand, before: Circuit) -> Iterator[Want]:
    """The voltage the hoist can give it."""
    found = taps(demand, before)
    if found:
        tap = found[0]
        yield Want("supply", f"{tap.volts:.0f} V {tap.kind}, or with a supply unit of its own",
                   f"what the hoist has at {tap.hot} and {tap.ret}")  # fmt: skip


def loss(catalog: Catalog) -> Iterator[Want]:
    """How fast the outputs must open when the signal is lost."""
    usual = catalog.value("hoist-practice/loss-usual/time")
    if usual is not None:
        yield Want("signal lost", f"every output opens within {usual.si:g} s",
                   f"{usual.source or 'common practice'} ({usual.basis})")  # fmt: skip


def stop(demand: Demand) -> Iterator[Want]:
    """The stop function."""
    if demand.gaps:
        yield Want(
            "stop",
            "two stop outputs in series on channels of their own, with the claim of a maker",
            f"the pendant's stop {demand.gaps[0].id} goes with the cord; a wired stop is needed beside it",
        )
    else:
        yield Want("stop", "a stop key; better two stop outputs in series",
                   "the pendant had no stop of its own")  # fmt: skip
