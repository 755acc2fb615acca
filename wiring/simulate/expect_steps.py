"""Commissioning tests of one conversion in working order, each with its expected figure or word."""

from __future__ import annotations

from collections.abc import Iterator

from wiring.model.circuit import Circuit
from wiring.model.commissioning import Step
from wiring.model.entry import Catalog
from wiring.model.job import Job
from wiring.simulate.expect import Meter
from wiring.simulate.expect_dead import dead_steps
from wiring.simulate.expect_live import live_steps
from wiring.simulate.expect_moving import moving_steps
from wiring.simulate.expect_site import Site
from wiring.simulate.expect_times import times_of

OK = ("ok", "yes", "pass", "works", "good")


def steps(job: Job, catalog: Catalog, circuit: Circuit) -> tuple[Step, ...]:
    """Every test of the converted circuit: dead, mode proof, first energising, limits, times, supply
    and keys, stops, load. Raises KeyError where the catalog has no table of tolerances."""
    site = Site(job, catalog, circuit, Meter(circuit), times_of(job, catalog, circuit))
    made = (*dead_steps(site), *mode_steps(site), *live_steps(site), *moving_steps(site), *last_steps(site))
    return tuple({step.id: step for step in made}.values())


def mode_steps(site: Site) -> Iterator[Step]:
    """Each output by itself, motor leads off: opens on release, on loss and without supply."""
    group = "2 Mode proof, motor leads off or load side isolated"
    for output in site.circuit.outputs:
        if not output.key or output.pulse:
            continue
        id = output.name.partition(":")[2]
        if output.invert:
            do = f"{output.name}: press STOP; again battery out; again receiver supply off"
            wanted = "opens each time; closes only after START with every key released"
        else:
            do = f"{output.name}: hold {output.key}, let go; hold, battery out; hold, supply off and on"
            wanted = "closes while held, opens each time, stays open until pressed anew"
        yield Step(f"mode-{id}", group, "mode", do, wanted, output.name, words=("opens", *OK))
    yield Step(
        "switch-on", group, "switch-on",
        "Switch the transmitter on with a key already held; do it with every key",
        "no output closes", "transmitter", words=("no motion", "nothing moved", "opens", *OK),
    )  # fmt: skip
    yield Step(
        "second-transmitter", group, "second-transmitter",
        "Use a transmitter that is not listed, or pair-list of the receiver: count what is paired",
        f"nothing but {', '.join(t.id for t in site.job.transmitters) or 'the listed ones'} acts",
        "transmitter", words=("no motion", "nothing moved", *OK),
    )  # fmt: skip
    yield Step(
        "battery-low", group, "battery-low",
        "Run the transmitter on an old battery until it gives up, keys pressed now and then",
        "warns first; then outputs open and stay open", "transmitter", words=("stops", "opens", *OK),
    )  # fmt: skip


def last_steps(site: Site) -> Iterator[Step]:
    """The load test by the region's rule, and the transmitter's fall."""
    group = "8 With load, by a competent person"
    row = f"load-{site.job.region}"
    table = site.catalog.tables["commissioning"]
    value = table.cell(row, "ratio")
    clause = str(table.rows.get(row, {}).get("clause", ""))
    if value is not None:
        word = "at most" if site.job.region == "us" else "with"
        yield Step(
            "load", group, "load",
            f"Load test {word} {value.si * 100:.0f} % of the rated load ({clause}, {value.basis}): lift, "
            "stop, hold, lower, stop",
            "lifts, holds, stops; no part deforms; local rules may ask for more", "hook",
            words=("holds", "stops", *OK), source=value.source, basis=str(value.basis), rests_on=(value.id,),
        )  # fmt: skip
    yield Step(
        "drop", group, "drop",
        "Let the transmitter fall from hand height on wood, three times, no load on the hook",
        "nothing moves", "transmitter", words=("no motion", "nothing moved", *OK),
    )  # fmt: skip
