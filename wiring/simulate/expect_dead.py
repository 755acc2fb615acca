"""Dead tests: locked out, receiver and cables in place, before the first energising."""

from __future__ import annotations

from collections.abc import Iterator

from wiring.model.circuit import Part
from wiring.model.commissioning import Step
from wiring.simulate.expect import Level
from wiring.simulate.expect_site import Site
from wiring.simulate.readings import shown

GROUP = "1 Dead tests, locked out"
OPEN_WORDS = ("ol", "open", "ok", "yes", "pass")


def dead_steps(site: Site) -> Iterator[Step]:
    """Wires, output contacts, loads behind them, earth, insulation."""
    yield Step(
        "wires", GROUP, "dead",
        "Ring out every wire of the wire list from end to end against the papers; tug each one",
        f"all {len(site.job.connections)} as listed, none loose, no wire more",
        "wire list", words=("ok", "yes", "pass", "as listed", "good"),
    )  # fmt: skip
    for part in site.circuit.parts:
        if part.by.startswith("output:") and part.form == "NO" and wired(site, part):
            yield from contact_steps(site, part)
    yield from earth_steps(site)
    yield from insulation(site)


def wired(site: Site, contact: Part) -> bool:
    """True where both pins of a contact have something besides it."""
    count = dict.fromkeys(contact.pins, 0)
    for part in site.circuit.parts:
        for pin in set(part.pins) & set(contact.pins):
            count[pin] += part.kind == "wire"
    return all(count.values())


def contact_steps(site: Site, contact: Part) -> Iterator[Step]:
    """An output open without supply, and the resistance of what it will switch."""
    id = contact.name.partition(":")[2]
    one, two = contact.pins
    across = site.meter.ohms(one, two)
    if across == "OL":
        yield Step(
            f"open-{id}", GROUP, "dead", f"Ohms across {contact.name}: {one} to {two}",
            "OL: open without supply", contact.name, words=OPEN_WORDS,
        )  # fmt: skip
    elif across == "climbs":
        yield Step(
            f"open-{id}", GROUP, "dead", f"Ohms across {contact.name}: {one} to {two}",
            "climbs: a capacitor behind it, no closed contact", contact.name, words=("climbs", "ok", "pass"),
        )  # fmt: skip
    else:
        yield ohms_step(
            site, f"open-{id}", f"Ohms across {contact.name}, receiver dead: {one} to {two}", one, two
        )
    back = return_point(site)
    if back and back not in contact.pins and not isinstance(site.meter.ohms(two, back), str):
        yield ohms_step(
            site, f"load-{id}", f"Ohms of what {contact.name} switches: {two} to {back}", two, back
        )


def ohms_step(site: Site, id: str, do: str, one: str, two: str) -> Step:
    """A resistance with its band."""
    level = Level(*ends(site, one, two))
    band = site.band(level, "ohms", "resistance")
    wide = ", wide: placeholders" if band.rests_on else ""
    wanted = f"{shown(band.nominal)} ({shown(band.low).split(' ')[0]} to {shown(band.high)}{wide}), leads off"
    return Step(
        id, GROUP, "dead", do, wanted, f"{one} - {two}", kind="resistance", low=band.low, high=band.high,
        nominal=band.nominal, rests_on=band.rests_on, source="simulation of the dead circuit",
        basis="derived",
    )  # fmt: skip


def ends(site: Site, one: str, two: str) -> tuple[float, float, float, tuple[str, ...]]:
    """Resistance on every corner of the weak values, with what it rests on. [ohm]"""
    from wiring.simulate.readings import expected_ohms

    found = [expected_ohms(n, one, two, frozenset()) for n in site.meter.networks]
    numbers = [f for f in found if not isinstance(f, str)]
    wide = max(numbers) - min(numbers) > 0.01 * max(numbers)
    return numbers[0], min(numbers), max(numbers), site.meter.weak if wide else ()


def return_point(site: Site) -> str:
    """The point that most coils return to, else the return of the supply."""
    pins: dict[str, int] = {}
    nets = site.meter.network
    for part in site.circuit.parts:
        if part.kind == "coil":
            pins[part.pins[1]] = pins.get(part.pins[1], 0) + 1
    if pins:
        return max(pins, key=lambda p: pins[p])
    source = next((p for p in nets.circuit.parts if p.kind == "source"), None)
    return source.pins[1] if source else ""


def earth_steps(site: Site) -> Iterator[Step]:
    """Every earth terminal of an added box or the receiver against the hoist's earth."""
    earth = site.circuit.earth
    limit = site.catalog.tables["commissioning"].cell("earth", "resistance")
    if not earth or limit is None:
        return
    for point in site.circuit.points:
        if point.terminal and point.name.endswith(":PE") and point.name != earth:
            ohms = site.meter.ohms(point.name, earth)
            owner = point.name.partition(":")[0]
            if isinstance(ohms, str):
                yield Step(
                    f"earth-{owner}", GROUP, "earth", f"Ohms {point.name} to {earth}",
                    "a path: THE PLAN HAS NONE", point.name, kind="resistance", low=0.0, high=limit.si,
                    source=limit.source, basis=str(limit.basis), rests_on=(limit.id,),
                )  # fmt: skip
                continue
            high = ohms + limit.si
            yield Step(
                f"earth-{owner}", GROUP, "earth",
                f"Ohms {point.name} to {earth}, at 0.2 A or more, leads off",
                f"at most {shown(high) if high >= 1 else f'{high:.2f} ohm'}; computed {ohms:.2f} ohm",
                point.name, kind="resistance", low=0.0, high=high, nominal=ohms,
                source=limit.source, basis=str(limit.basis), rests_on=(limit.id,),
            )  # fmt: skip


def insulation(site: Site) -> Iterator[Step]:
    """Insulation with the receiver's wires off."""
    table = site.catalog.tables["iec-60204-1-limits"]
    volts, least = table.cell("insulation", "voltage"), table.cell("insulation", "resistance")
    if volts is None or least is None:
        return
    yield Step(
        "insulation", GROUP, "insulation",
        f"Receiver, drive and suppressors disconnected: every circuit to earth at {volts.si:.0f} V DC",
        f"at least {least.si / 1e6:g} Mohm", "circuit", kind="resistance", low=least.si,
        source=least.source, basis=str(least.basis),
    )  # fmt: skip
