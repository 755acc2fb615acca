"""Tests in motion: limits, release, loss of the link, range, two keys, returns of supply and link, stops."""

from __future__ import annotations

from collections.abc import Iterator

from wiring.files.quantity import show
from wiring.model.commissioning import Step
from wiring.simulate.expect_site import Site, bare
from wiring.simulate.expect_times import most, room

STILL = ("no motion", "nothing moved", "stops", "ok", "yes", "pass", "works", "good")


def moving_steps(site: Site) -> Iterator[Step]:
    """Everything with the hook empty."""
    yield from limit_steps(site)
    for key, motions in site.commands().items():
        yield release_step(site, key, motions)
        yield from loss_steps(site, key, motions)
        yield from travel_step(site, key)
    yield from return_steps(site)
    yield from both_steps(site)
    yield from stop_steps(site)


def limit_steps(site: Site) -> Iterator[Step]:
    """Each limit against each key of its motion, slow before fast; only where the plan says it ends it."""
    group = "4 Limits, empty hook, slow first, then full speed"
    commands = site.commands()
    for limit in site.circuit.limits:
        keys = sorted((k for k in commands if is_of(commands[k], limit.motion)), key=lambda k: ("." in k, k))
        for key in keys:
            stopped = not site.settled(site.held(key) | {limit.input}).motions
            name = limit.input.partition(":")[2]
            suffix = "-fast" if "." in key else ""
            yield Step(
                f"limit-{name}{suffix}", group, "limit",
                f"Run {' and '.join(commands[key])} ({site.said(key)}) into {limit.input}; first by hand on "
                "the switch",
                f"stops there{'' if stopped else ' BY DESIGN IT SHOULD, THE PLAN DOES NOT SHOW IT'}; "
                "the opposite key runs it out",
                limit.input, words=STILL,
            )  # fmt: skip


def is_of(motions: tuple[str, ...], motion: str) -> bool:
    """True where a key's motions are the limited one, at any speed."""
    return any(m == motion or m.startswith(motion + " ") for m in motions)


def release_step(site: Site, key: str, motions: tuple[str, ...]) -> Step:
    """From the finger off the key to the hook at rest."""
    times = site.times
    high = most(times, times.ceiling, room(site.job, key) if hoists(motions) else None)
    return Step(
        f"release-{bare(key)}", "5 Times and travel, empty hook, then with load", "release",
        f"{site.said(key)}: let go while {' and '.join(motions)} runs; time from finger to standstill",
        f"expected up to {no_less(times.release, 's')} (guide); at most {no_more(high, 's')}", key,
        kind="time", low=0.0, high=high, likely_low=0.0, likely_high=times.release + times.watch,
        source="stop-time table; clearance of the job", basis="derived", rests_on=times.rests_on,
    )  # fmt: skip


def loss_steps(site: Site, key: str, motions: tuple[str, ...]) -> Iterator[Step]:
    """Battery out, and walking away: the same time to standstill is allowed for both."""
    times = site.times
    clearance = room(site.job, key) if hoists(motions) else None
    limit = times.ceiling if clearance is not None and times.speed else times.usual + times.after
    high = most(times, limit, clearance)
    expected = "no figure: not bench-tested"
    if times.loss is not None:
        expected = f"expected up to {no_less(times.loss, 's')}"
    wanted = f"{expected}; at most {no_more(high, 's')}; stays at rest when the link is back"
    group = "5 Times and travel, empty hook, then with load"
    likely = times.loss + times.watch if times.loss is not None else None
    for id, do in (
        ("loss", f"{site.said(key)} held, pull the transmitter's battery; time to standstill"),
        (
            "range",
            f"{site.said(key)} held, walk away until it stops; note the distance; a helper films it",
        ),
    ):
        yield Step(
            f"{id}-{bare(key)}", group, id, do, wanted, key, kind="time", low=0.0, high=high,
            likely_low=0.0 if likely is not None else None, likely_high=likely,
            source="hoist-practice loss times; clearance of the job", basis="practice",
            rests_on=times.rests_on,
        )  # fmt: skip


def travel_step(site: Site, key: str) -> Iterator[Step]:
    """Way from letting go to standstill, where the hook speed is known and the key hoists."""
    times = site.times
    clearance = room(site.job, key)
    if times.speed is None or "." in key or not hoists(site.commands()[key]):
        return
    expected = times.speed * times.release + times.slide
    region = site.job.region
    limit = f"; at most the clearance {show(clearance, 'm', region)}" if clearance is not None else ""
    yield Step(
        f"travel-{bare(key)}", "5 Times and travel, empty hook, then with load", "travel",
        f"{site.said(key)}: way of the hook from letting go to standstill, mark on a tape",
        f"expected up to {no_less(expected, 'm', region)}{limit}", key, kind="length", low=0.0,
        high=clearance if clearance is not None else expected, likely_low=0.0, likely_high=expected,
        source="hook speed x time + slide by common practice", basis="practice", rests_on=times.rests_on,
    )  # fmt: skip


def no_less(si: float, unit: str, region: str = "") -> str:
    """What may be expected, its last digit up: nothing that is expected lies above it."""
    return show(si, unit, region, toward="up")


def no_more(si: float, unit: str) -> str:
    """What is admitted, its last digit down: nothing that is printed lies above the limit."""
    return show(si, unit, toward="down")


def hoists(motions: tuple[str, ...]) -> bool:
    return any(m.startswith("hoist ") for m in motions)


def return_steps(site: Site) -> Iterator[Step]:
    """Everything that can come back while a key is held: nothing may start."""
    group = "6 Supply, link and keys"
    key = next(iter(site.commands()), None)
    if key is None:
        return
    names = {i.name: i.kind for i in site.circuit.inputs}
    tried = [
        ("link", "let the battery back in / walk back"),
        ("supply", "receiver's supply off for a second"),
    ]
    tried += [(n, "press it, reset it") for n, kind in names.items() if kind == "stop"]
    tried += [
        (n, "let it trip (or open it by hand) and reset") for n, kind in names.items() if kind == "thermal"
    ]
    for name, how in tried:
        if name in names:
            yield Step(
                f"restart-{name.replace(':', '-')}", group, "restart",
                f"{site.said(key)} held: {how} ({name}); do it with every key",
                "stops; nothing starts before the key was let go and pressed again", name,
                words=("no motion", "nothing moved", "ok", "yes", "pass", "works", "good"),
            )  # fmt: skip


def both_steps(site: Site) -> Iterator[Step]:
    """Opposite keys: what the simulation says happens, or nothing."""
    commands = site.commands()
    for motor in site.circuit.motors:
        ahead = [k for k, m in commands.items() if is_of(m, motor.positive) and "." not in k]
        back = [k for k, m in commands.items() if is_of(m, motor.negative) and "." not in k]
        for one, two in [(a, b) for a in ahead for b in back][:1]:
            first = site.settled(site.held(one))
            both = site.meter.network
            from wiring.simulate.settle import settle

            then = settle(
                both, site.held(one) | site.held(two), first.energised, first.memory, mode="real"
            ).motions
            expected = f"{' and '.join(then)} goes on" if then else "nothing moves"
            yield Step(
                f"both-{bare(one)}-{bare(two)}", "6 Supply, link and keys", "both-keys",
                f"Hold {site.said(one)}, add {two}; then both at once; then {two}, add {one}",
                f"{expected}; never the other way, no bang, no hum", motor.name,
                words=(*STILL, "goes on", *then),
            )  # fmt: skip


def stop_steps(site: Site) -> Iterator[Step]:
    """Each stop that the simulation sees end a motion, at each key, both speeds."""
    group = "7 Stops, at each speed"
    times = site.times
    for stop in site.circuit.stops:
        radio = stop.input.startswith("key:")
        for key, motions in site.commands().items():
            if site.settled(site.held(key) | {stop.input}).motions:
                continue
            expected = times.release if radio else times.wired
            high = most(times, times.ceiling, room(site.job, key) if hoists(motions) else None)
            name = "radio" if radio else stop.input.partition(":")[2]
            yield Step(
                f"stop-{name}-{bare(key)}", group, "stop",
                f"{' and '.join(motions)} running: {stop.input} ({stop.kind}); time to standstill",
                f"expected up to {no_less(expected, 's')} (guide); at most {no_more(high, 's')}", stop.input,
                kind="time", low=0.0, high=high, likely_low=0.0, likely_high=expected + times.watch,
                source="stop-time table; clearance of the job", basis="derived", rests_on=times.rests_on,
            )  # fmt: skip
