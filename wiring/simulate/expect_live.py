"""First energising: supply, coil voltages, direction, currents, the dip while the motor starts."""

from __future__ import annotations

from collections.abc import Iterator

from wiring.files.quantity import show
from wiring.model.circuit import Part
from wiring.model.commissioning import Step
from wiring.simulate.expect_site import Band, Site, bare

GROUP = "3 First energising, no load on the hook, hand on the isolator"
NO_MOTION = ("no motion", "nothing", "nothing moves", "nothing moved", "hums")
COILS = "coils only, motor leads off where they can be"


def live_steps(site: Site) -> Iterator[Step]:
    """In the order in which power reaches further into the circuit."""
    yield from supply_steps(site)
    for key in site.commands():
        yield from coil_steps(site, key)
    yield from directions(site)
    for key in site.commands():
        yield amps_step(site, key)
        yield from dip_steps(site, key)


def supply_steps(site: Site) -> Iterator[Step]:
    """The supply of the day, to which every later figure is set in proportion; then the receiver's own."""
    stated = site.job.supply.voltage
    if stated is not None:
        share = site.job.supply.tolerance.si if site.job.supply.tolerance else None
        low = stated.si * (1 - share) if share is not None else None
        high = stated.si * (1 + share) if share is not None else None
        limits = f", {show(low, 'V')} to {show(high, 'V')}" if low is not None and high is not None else ""
        yield Step(
            "mains", GROUP, "supply", "Volts at the isolator's outgoing side, nothing running",
            f"{stated}{limits}", "supply", kind="voltage", low=low, high=high, nominal=stated.si,
            source="job file, supply", basis="stated",
        )  # fmt: skip
    at_rest = site.settled(frozenset()).energised
    for part in site.circuit.parts:
        if part.kind == "supply-input" or (part.kind == "coil" and part.name in at_rest):
            band = site.band(site.meter.volts(part.name, frozenset()), "volts", "voltage")
            after = ", after START" if "key:start" in site.meter.network.input_bit else ""
            yield volts_step(
                site, f"volts-{part.name.replace(':', '-')}", part, f"nothing pressed{after}", band
            )


def volts_step(site: Site, id: str, part: Part, state: str, band: Band) -> Step:
    """A voltage across a load."""
    current = site.settled(frozenset()).amps.get(part.name, 0j)
    return Step(
        id, GROUP, "supply", f"Volts across {part.name} ({part.pins[0]} to {part.pins[1]}), {state}",
        site.shown(band, "V"), part.name, kind="voltage", low=band.low, high=band.high, nominal=band.nominal,
        source="simulation with real wires", basis="derived", rests_on=band.rests_on, supply=True,
        impedance=band.nominal / abs(current) + 0j if abs(current) > 1e-6 else None,
    )  # fmt: skip


def coil_steps(site: Site, key: str) -> Iterator[Step]:
    """The coils that a key pulls in, each with its expected volts."""
    state = site.held(key)
    before, now = site.settled(frozenset()), site.settled(state)
    for part in site.circuit.parts:
        if part.kind not in ("coil", "drive-input") or part.name not in now.energised:
            continue
        if part.name in before.energised:
            continue  # read at rest already
        band = site.band(site.meter.volts(part.name, state), "volts", "voltage")
        rated = part.values.get("voltage")
        floor = least(site, part) * rated.si if rated else None
        low = band.low if floor is None else max(floor, min(band.low, band.nominal))
        current = now.amps.get(part.name, 0j)
        volts = now.volts[part.name]
        yield Step(
            f"volts-{part.name.replace(':', '-')}-{bare(key)}", GROUP, "supply",
            f"Volts across {part.name} ({part.pins[0]} to {part.pins[1]}) while {site.said(key)} is held; "
            f"{COILS}",
            f"{site.shown(band, 'V')}; takes {show(abs(current), 'A')}"
            + (f"; never below {show(floor, 'V')}" if floor else ""),
            part.name, kind="voltage", low=low, high=band.high, nominal=band.nominal,
            source="simulation with real wires; coil-limits", basis="derived", rests_on=band.rests_on,
            supply=True, impedance=volts / current if abs(current) > 1e-9 else None,
        )  # fmt: skip


def least(site: Site, part: Part) -> float:
    """Share of its rated voltage below which a coil need not close."""
    hertz = part.values.get("frequency")
    column = "dc" if hertz is not None and hertz.si == 0 else "ac"
    value = site.catalog.tables["coil-limits"].cell("pick-up", column)
    return value.si if value else 0.0


def directions(site: Site) -> Iterator[Step]:
    """UP first: half a second, no load, eyes on the hook."""
    commands = site.commands()
    phases = any(m.kind == "three-phase" for m in site.circuit.motors)
    wrong = (
        "swap two supply leads, never a control wire" if phases else "stop, isolate, find the crossed wire"
    )
    for key in sorted(commands, key=lambda k: not k.startswith("key:up")):
        if "." in key:
            continue
        yield Step(
            f"direction-{bare(key)}", GROUP, "direction",
            f"{site.said(key)}: bump for half a second, watch what moves. Wrong way: {wrong}",
            " and ".join(commands[key]), key, words=("ok", "yes", "pass", "works", "moves", *commands[key]),
            wrong=(*NO_MOTION, *(m for m in site.motions() if m not in commands[key])),
        )  # fmt: skip


def amps_step(site: Site, key: str) -> Step:
    """Line current while running."""
    band = site.band(site.meter.line_amps(site.held(key)), "amps", "current")
    moves = site.commands()[key]
    runs = [m for m in site.circuit.motors if m.positive in moves or m.negative in moves]
    plate = [m.values["full_load_current"] for m in runs if "full_load_current" in m.values]
    stated = " + ".join(show(v.si, "A") for v in plate if not v.weak)
    said = f"; plate {stated}" if stated else ""
    return Step(
        f"amps-{bare(key)}", GROUP, "current",
        f"Largest line current while {site.said(key)} is held, empty hook",
        f"{site.shown(band, 'A')} with rated load, less without{said}", key, kind="current",
        low=0.0, high=band.high, nominal=band.nominal, source="simulation with real wires", basis="derived",
        rests_on=band.rests_on,
    )  # fmt: skip


def dip_steps(site: Site, key: str) -> Iterator[Step]:
    """The receiver's supply while the motors of a key start: it must stay inside its range."""
    if "." in key:
        return
    for part in site.circuit.parts:
        if part.kind != "supply-input":
            continue
        level = site.meter.starting_volts(part.name, site.held(key))
        least_volts = part.values.get("minimum")
        floor = f"never below {show(least_volts.si, 'V')}" if least_volts else "its least volts are not known"
        yield Step(
            f"dip-{bare(key)}", GROUP, "supply",
            f"Smallest volts across {part.name} while {site.said(key)} starts the motor (minimum hold)",
            f"about {show(level.nominal, 'V')}; {floor}",
            part.name, kind="voltage", low=least_volts.si if least_volts else None, nominal=level.nominal,
            source="simulation, rotor locked", basis="derived", rests_on=level.rests_on,
        )  # fmt: skip
