"""The judge on what keeps circuits apart: fuses before contacts, windings of transformers, long cables."""

from __future__ import annotations

import math
from collections.abc import Iterator

from tests.campaign._judge_hand import behind, sights, without
from tests.campaign._judge_look import Harm, play
from tests.campaign._judge_net import outputs
from tests.campaign._judge_read import Data, entry, number
from tests.campaign._judge_run import Machine

#: Capacitance between two cores of a cord [F/m], the usual size.
CORD = 0.2e-9


def apart_harms(job: Data, machine: Machine) -> list[Harm]:
    """All of it."""
    return [*backed(job, machine), *joined_windings(machine), *charging(job, machine)]


def backed(job: Data, machine: Machine) -> Iterator[Harm]:
    """The smallest fuse before each receiver contact against the largest that its data sheet allows."""
    kind = entry("receivers", job["receiver"]["type"])
    states = sights(machine)
    pieces = machine.net.pieces

    def cut(name: str) -> set[str]:
        return {x for _, dead in behind(machine, name, states) for x in dead}

    fuses = [
        (p.figures["rating"], cut(p.name))
        for p in pieces.values()
        if "rating" in p.figures and p.kind == "fuse"
    ]
    fed = {p.name: cut(p.name) for p in pieces.values() if p.kind == "transformer"}
    for name in fed:
        f = pieces[name].figures
        legs = [least for least in line_fuses(machine, name) if least < 1e9] or [1e9]
        times = f["primary"] / f["power"]
        own = [p.figures["rating"] for p in pieces.values() if p.kind == "fuse" and "rating" in p.figures
               and set(p.pins) & set(pieces[name].pins[2:4])]  # fmt: skip
        if own and min(own) * f["secondary"] / f["power"] > 4.0:
            yield Harm(f"{name}: its secondary is fused at {min(own):g} A", (name, "transformer"), False)
        if max(legs) * times > 4.0:
            told = f"{name}: fused at {max(legs) * times:.3g} times its current"
            yield Harm(told, (name, "transformer"), min(legs) * times > 12.0)
    panel = number(job["supply"].get("protective_device", {}).get("rating", 1e9))
    for row in outputs(machine.net):
        most = number((row.get("rating") or kind.get("rating", {})).get("fuse_max", 1e9))
        for piece in pieces.values():
            if piece.by != f"output:{row['id']}" or not row.get("key") or most > 1e8:
                continue
            loads = {x for x in cut(piece.name) if pieces[x].kind != "transformer"}
            if not loads:
                continue
            inner = any(loads & behind_it for behind_it in fed.values())
            before = [
                amps for amps, gone in fuses
                if loads & gone and not any(t in gone and loads & fed[t] for t in fed)
            ]  # fmt: skip
            amps = min(before, default=0.0 if inner else panel)
            if amps > 0.8 * most:
                name = f"receiver:{row['id']}"
                yield Harm(f"{name}: a fuse of {amps:g} A before it", (name,), amps > 1.25 * most)


def line_fuses(machine: Machine, name: str) -> list[float]:
    """The smallest fuse in each line to a transformer's primary [A], 1e9 in a line without one."""
    play(machine, ((),))
    closed = machine.closed(frozenset())
    pieces = machine.net.pieces.values()
    feeds = [pin for p in pieces if p.kind == "source" for pin in p.pins]
    feeds += [pin for p in pieces if p.kind == "transformer" and p.name != name for pin in p.pins[2:4]]
    least = [1e9, 1e9]
    for fuse in (p for p in pieces if p.kind == "fuse" and "rating" in p.figures):
        cut = without(machine, fuse.name).solver
        apart = cut.nodes(closed - {fuse.name})
        fed = {apart[cut.index[pin]] for pin in feeds if pin in cut.index}
        for n, pin in enumerate(machine.net.pieces[name].pins[:2]):
            if pin in cut.index and apart[cut.index[pin]] not in fed:
                least[n] = min(least[n], fuse.figures["rating"])
    return least


def joined_windings(machine: Machine) -> Iterator[Harm]:
    """Secondaries of transformers that a wire joins with the line itself, not over the earth."""
    solver = machine.solver
    play(machine, ((),))
    node = solver.nodes(machine.closed(frozenset()))
    home = f"hoist:{machine.net.hoist.get('earth')}"
    earth = node[solver.index[home]] if home in solver.index else -1
    lines = {node[solver.index[pin]] for p in solver.sources for pin in p.pins if p.figures["frequency"]}
    mains = lines | {
        node[solver.index[pin]] for p in solver.transformers if p.kind == "transformer" for pin in p.pins[:2]
    }
    for piece in solver.transformers:
        if piece.kind != "transformer" or len(piece.pins) < 4:
            continue
        ends = {node[solver.index[pin]] for pin in piece.pins[2:4]}
        if ends & (mains - {earth}):
            yield Harm(f"{piece.name}: its secondary is joined with the line", (piece.name, "and the supply"))


def charging(job: Data, machine: Machine) -> Iterator[Harm]:
    """Charging current of the cables against what holds a coil."""
    metres = sum(number(c["length"]) for c in job.get("cable", []) if "length" in c)
    if not machine.solver.hertz:
        return
    for piece in machine.net.pieces.values():
        f = piece.figures
        if piece.kind != "coil" or "sealed" not in f or f.get("frequency") == 0.0:
            continue
        leak = f["voltage"] * 2 * math.pi * machine.solver.hertz * CORD * metres
        share = leak * f["voltage"] / f["sealed"]
        if share > 0.01:
            yield Harm(
                f"{piece.name}: {share:.0%} of its holding current over the cable", (piece.name,), share > 0.8
            )


def idle_poles(machine: Machine) -> set[tuple[str, str]]:
    """Fuses and contacts of stops, limits and thermal devices that do nothing: bridged, or with an end in
    the air."""
    solver, pieces = machine.solver, machine.net.pieces.values()
    node = solver.nodes(())
    found = set()
    for piece in pieces:
        fuse = piece.kind == "fuse"
        if not fuse and not (
            piece.kind == "contact" and piece.by.startswith(("stop:", "limit:", "thermal:"))
        ):
            continue
        one, other = (node[solver.index[pin]] for pin in piece.pins)
        if fuse:  # wires beside it, for it is one node with itself
            others = [set(p.pins) for p in pieces if p is not piece and p.kind == "wire"]
            one, other = (0, 0) if set(piece.pins) in others else (0, 1)
        hangs = any(all(pin not in p.pins for p in pieces if p is not piece) for pin in piece.pins)
        if one == other or hangs:
            found.add((piece.by, piece.name))
    return found


def idle_harms(good: Machine, machine: Machine) -> list[Harm]:
    """A pole that worked and does nothing now, while others still do its work: arguable."""
    new = idle_poles(machine) - idle_poles(good)
    return [Harm(f"{name} does nothing at {by}", (name, by), False) for by, name in sorted(new)]
