"""The judge's hand formulas: copper, drop, current against ratings, voltages against ranges.

Each answer has a wide grey band: sure only where it is far off, nothing where it is well inside,
and arguable between, because the books draw their lines there and differ.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from tests.campaign._judge_look import Harm, keys_of, play
from tests.campaign._judge_net import Piece, outputs
from tests.campaign._judge_read import Data, entry, number
from tests.campaign._judge_run import Machine

#: Resistivity of copper at 75 degC [ohm m].
COPPER = 0.0175e-6 * 1.22
EATERS = ("coil", "winding", "motor3", "supply-input", "load", "brake", "drive-input", "transformer")


@dataclass
class Sight:
    """One state in which something works: each load's voltage and current [V, A]."""

    key: str
    volts: dict[str, float]
    amps: dict[str, float]


def thermal(area: float) -> float:
    """Current [A] that a copper conductor in a cord carries for good: the usual power law of its
    area [m2], 15 A at 1 mm2."""
    return float(15.0 * (area * 1e6) ** 0.625)


def hand_harms(job: Data, machine: Machine) -> list[Harm]:
    """What the figures of a job make of its own circuit."""
    states = sights(machine)
    runs = conductors(job)
    carried = {name: behind(machine, name, states) for name in runs if name in machine.net.pieces}
    return [
        *copper(job, machine, runs, carried, states),
        *supplies(job, machine, runs, carried),
        *contacts(job, machine, states),
        *devices(job, machine, states),
        *settings(job, machine),
    ]


def sights(machine: Machine) -> list[Sight]:
    """Every key alone, and rest: what each load gets and takes."""
    found = []
    for key in ("", *keys_of(machine.net)):
        play(machine, ((key,) if key else (),))
        found.append(Sight(key, *levels(machine)))
    return found


def levels(machine: Machine) -> tuple[dict[str, float], dict[str, float]]:
    """Voltage across and current of every load that eats."""
    state = frozenset(machine.now)
    solved = machine.solver.solve(machine.closed(state), machine.memory.coils)
    volts, amps = {}, {}
    for piece in machine.net.pieces.values():
        if piece.kind not in EATERS:
            continue
        name = f"{piece.name}.UV" if piece.kind == "motor3" else piece.name
        volts[piece.name] = solved.across(name)
        amps[piece.name] = appetite(machine, piece, volts[piece.name])
    return volts, amps


def appetite(machine: Machine, piece: Piece, volts: float) -> float:
    """Current of one load at its voltage [A]; of a motor that of its plate."""
    if piece.kind in ("winding", "motor3"):
        for motor in machine.net.hoist.get("motor", []):
            if f"hoist:{motor['parts'][0]}" == piece.name or piece.name[6:] in motor["parts"]:
                full = machine.net.stated.get(f"hoist:{motor['id']}.full_load_current")
                plate = full if full is not None else number(motor.get("full_load_current", "0 A"))
                return plate * volts / number(motor["voltage"]) if volts else 0.0
    f = piece.figures
    if piece.kind == "coil" and "sealed" in f and machine.solver.hertz and f.get("frequency") != 0.0:
        return f["sealed"] / f["voltage"] * volts / f["voltage"]
    if piece.kind == "supply-input":
        return f["power"] / volts if volts > 1 else 0.0
    return volts / f["resistance"] if f.get("resistance") and piece.kind != "transformer" else 0.0


def conductors(job: Data) -> dict[str, tuple[float, float]]:
    """Every cable conductor: its area [m2] and length [m]; only where both are stated."""
    found = {}
    for cable in job.get("cable", []):
        if "size" in cable and "length" in cable:
            area, length = number(cable["size"]), number(cable["length"])
            found |= {f"{cable['id']}:{c}": (area, length) for c in cable.get("order", [])}
    return found


def behind(machine: Machine, name: str, states: list[Sight]) -> list[tuple[Sight, list[str]]]:
    """For each state the loads that go dead when a conductor is taken away."""
    cut = without(machine, name)
    found = []
    for sight in states:
        play(machine, ((sight.key,) if sight.key else (),))
        closed = machine.closed(frozenset(machine.now)) - {name}
        solved = cut.solver.solve(closed, machine.memory.coils)
        dead = []
        for load, volts in sight.volts.items():
            across = solved.across(f"{load}.UV" if f"{load}.UV" in solved.volts else load)
            if volts > 1.0 and abs(across - volts) > 0.3 * volts:
                dead.append(load)
        found.append((sight, dead))
    return found


def greatest(machine: Machine, seen: list[tuple[Sight, list[str]]]) -> float:
    """The most that a piece carries in any state [A]: what a transformer behind it feeds counts on its
    primary side."""
    found = 0.0
    for sight, dead in seen:
        through = [machine.net.pieces[x].figures for x in dead if machine.net.pieces[x].kind == "transformer"]
        total = 0.0
        for load in dead:
            amps = sight.amps.get(load, 0.0)
            for f in through:
                if sight.volts[load] < 0.6 * f["primary"] and f["secondary"] < f["primary"]:
                    amps *= f["secondary"] / f["primary"]
                    break
            total += amps
        found = max(found, total)
    return found


def without(machine: Machine, name: str) -> Machine:
    """The machine of the same net with one piece taken out."""
    return Machine(replace(machine.net, pieces={k: p for k, p in machine.net.pieces.items() if k != name}))


def copper(
    job: Data, machine: Machine, runs: dict[str, tuple[float, float]],
    carried: dict[str, list[tuple[Sight, list[str]]]], states: list[Sight],
) -> Iterator[Harm]:  # fmt: skip
    """Conductors against what they carry, what protects them, and what they lose."""
    for name, (area, _) in runs.items():
        if name not in carried:
            continue
        amps = greatest(machine, carried[name])
        limit = thermal(area)
        if amps > 0.65 * limit:
            yield Harm(f"{name} carries {amps:.3g} A", (name,), amps > 1.3 * limit)
        if area < 0.85e-6:  # books differ between 0.2 mm2 and 18 AWG
            yield Harm(f"{name} is thinner than any cord for this use", (name,), area < 0.19e-6)
    low = 1 - number(job["supply"].get("tolerance", "0 %"))
    loss: dict[str, float] = {}
    pull: dict[str, float] = {}
    for name, seen in carried.items():
        area, length = runs[name]
        ohms = COPPER * length / area
        for sight, dead in seen:
            for load in dead:
                piece = machine.net.pieces[load]
                if piece.kind in ("winding", "motor3"):
                    share = ohms * sight.amps[load] / max(sight.volts[load], 1.0)
                    loss[load] = loss.get(load, 0.0) + share / len(states) * (len(states) - 1) / 1.0
                f = piece.figures
                if piece.kind == "coil" and "inrush" in f and machine.solver.hertz:
                    pull[load] = max(pull.get(load, 0.0), ohms * f["inrush"] / f["voltage"] ** 2)
                elif piece.kind == "coil" and "resistance" in f:
                    pull[load] = max(pull.get(load, 0.0), ohms / (f["resistance"] + ohms))
    for load, share in loss.items():
        if share > 0.03:
            motors = (f"hoist:{m['id']}" for m in machine.net.hoist["motor"] if load[6:] in m["parts"])
            yield Harm(f"{load} loses {share:.0%} in its cable", (load, *motors), share > 0.30)
    for piece in machine.net.pieces.values():
        if piece.kind != "coil" or piece.name == "hoist:PS":
            continue
        best = max((s.volts.get(piece.name, 0.0) for s in states), default=0.0) / piece.figures["voltage"]
        if best < 0.5:
            continue
        at = best * low * (1 - 2 * pull.get(piece.name, 0.0) - regulation(machine, piece))
        if at < 0.93:
            yield Harm(f"{piece.name} has {at:.0%} to pull in with", (piece.name,), at < 0.78)


def regulation(machine: Machine, coil: Piece) -> float:
    """Drop of the transformer that feeds a coil while it pulls in, as a share."""
    size = min(
        (p.figures["power"] for p in machine.net.pieces.values()
         if p.kind == "transformer" and abs(p.figures["secondary"] / coil.figures["voltage"] - 1) < 0.2),
        default=0.0,
    )  # fmt: skip
    return 0.06 * coil.figures.get("inrush", 0.0) / size if size else 0.0


def supplies(
    job: Data, machine: Machine, runs: dict[str, tuple[float, float]],
    carried: dict[str, list[tuple[Sight, list[str]]]],
) -> Iterator[Harm]:  # fmt: skip
    """The receiver's supply against its range; fuses against conductors and contacts."""
    spread = number(job["supply"].get("tolerance", "0 %"))
    play(machine, ((),))
    volts = levels(machine)[0]
    for piece in machine.net.pieces.values():
        if piece.kind == "supply-input" and volts.get(piece.name):
            low, high = volts[piece.name] * (1 - spread), volts[piece.name] * (1 + spread)
            least, most = piece.figures["minimum"], piece.figures["maximum"]
            if low < 1.05 * least:
                yield Harm(f"{piece.name} gets {low:.4g} V at least", (piece.name,), low < 0.93 * least)
            if high > 0.98 * most:
                yield Harm(f"{piece.name} gets {high:.4g} V at most", (piece.name,), high > 1.05 * most)
    for piece in machine.net.pieces.values():
        if piece.kind != "fuse" or "rating" not in piece.figures:
            continue
        rating = piece.figures["rating"]
        fed = fused(machine, piece)
        for name in runs:
            if name in fed and rating > 0.8 * thermal(runs[name][0]):
                yield Harm(
                    f"{piece.name} {rating:g} A before {name}", (piece.name, name),
                    rating > 2.5 * thermal(runs[name][0]),
                )  # fmt: skip
        seen = behind(machine, piece.name, sights(machine))
        amps = greatest(machine, seen)
        for name in {x for _, dead in seen for x in dead}:
            f = machine.net.pieces[name].figures
            if machine.net.pieces[name].kind == "transformer" and rating < 2 * f["power"] / f["primary"]:
                yield Harm(f"{piece.name} {rating:g} A before {name} may not bear its surge", (name,), False)
        if amps > 0.8 * rating:
            fed = sorted({x for _, dead in seen for x in dead})
            yield Harm(
                f"{piece.name} {rating:g} A carries {amps:.3g} A", (piece.name, *fed), amps > 1.3 * rating
            )


def fused(machine: Machine, fuse: Piece) -> set[str]:
    """Wires on the load side of a fuse: those that go dead with everything behind it."""
    cut = without(machine, fuse.name)
    index, apart = cut.solver.index, cut.solver.nodes(())
    ends = [apart[index[pin]] for pin in fuse.pins if pin in index]
    if len(ends) < 2 or ends[0] == ends[1]:
        return set()
    return {
        p.name for p in machine.net.pieces.values() if p.kind == "wire" and apart[index[p.pins[0]]] == ends[1]
    }


def contacts(job: Data, machine: Machine, states: list[Sight]) -> Iterator[Harm]:
    """Receiver contacts against what they make, carry and break, and the fuse before them."""
    kind = entry("receivers", job["receiver"]["type"])
    for row in outputs(machine.net):
        rating = row.get("rating") or kind.get("rating", {})
        for piece in machine.net.pieces.values():
            if piece.by != f"output:{row['id']}" or not row.get("key"):
                continue
            dead = [x for s, loads in behind(machine, piece.name, states) for x in loads]
            yield from rated_contact(machine, f"receiver:{row['id']}", rating, set(dead), states)


def rated_contact(
    machine: Machine, name: str, rating: Data, loads: set[str], states: list[Sight]
) -> Iterator[Harm]:
    """One contact against its loads."""
    for load in sorted(loads):
        piece = machine.net.pieces[load]
        f = piece.figures
        volts = max((s.volts.get(load, 0.0) for s in states), default=0.0)
        amps = max((s.amps.get(load, 0.0) for s in states), default=0.0)
        limit = number(rating.get("voltage_ac" if machine.solver.hertz else "voltage_dc", 1e9))
        if volts > 0.97 * limit:
            yield Harm(f"{name}: {volts:.4g} V on a contact for {limit:g} V", (name,), volts > 1.1 * limit)
        word = coil_word(machine, piece, volts)
        if piece.kind == "coil" and word in rating and amps > 0.8 * number(rating[word]):
            yield Harm(
                f"{name}: {amps:.3g} A of {load} on {rating[word]}",
                (name, load),
                amps > 1.25 * number(rating[word]),
            )
        if "resistive" in rating and amps > 0.8 * number(rating["resistive"]):
            yield Harm(
                f"{name}: {amps:.3g} A on {rating['resistive']}",
                (name, load),
                amps > 1.25 * number(rating["resistive"]),
            )
        if piece.kind == "coil" and "make" in rating and amps:
            make = f["inrush"] / f["voltage"] if "inrush" in f else amps
            if make > 0.8 * number(rating["make"]):
                yield Harm(
                    f"{name} makes {make:.3g} A on {rating['make']}",
                    (name, load),
                    make > 1.25 * number(rating["make"]),
                )


def coil_word(machine: Machine, piece: Piece, volts: float) -> str:
    """The line of a data sheet that a coil is looked up in."""
    if not machine.solver.hertz or piece.figures.get("frequency") == 0.0:
        return "dc13_24"
    return "ac15_240" if volts > 150 else "ac15_120"


def devices(job: Data, machine: Machine, states: list[Sight]) -> Iterator[Harm]:
    """Contactors and stops of the job against the motor that runs through them."""
    rows = {row["id"]: row for row in job.get("device", [])}
    for piece in machine.net.pieces.values():
        owner = piece.name.partition(":")[0].partition(".")[0]
        if (
            piece.kind != "contact"
            or owner not in rows
            or "rating" not in rows[owner]
            or piece.role != "power"
        ):
            continue
        rating = rows[owner]["rating"]
        for sight, dead in behind(machine, piece.name, states):
            motors = [x for x in dead if machine.net.pieces[x].kind in ("winding", "motor3")]
            amps = max((sight.amps[x] for x in motors), default=0.0)
            volts = max((sight.volts[x] for x in motors), default=0.0)
            if "ac3" in rating and amps > 0.8 * number(rating["ac3"]):
                yield Harm(
                    f"{owner}: motor of {amps:.3g} A on {rating['ac3']}",
                    (owner,),
                    amps > 1.25 * number(rating["ac3"]),
                )
            limit = number(rating.get("voltage_ac" if machine.solver.hertz else "voltage_dc", 1e9))
            if volts > 0.97 * limit:
                yield Harm(f"{owner}: {volts:.3g} V on {limit:g} V", (owner,), volts > 1.1 * limit)


def settings(job: Data, machine: Machine) -> Iterator[Harm]:
    """How long the receiver takes to let go when the link is lost."""
    loss = job["receiver"].get("on_signal_loss")
    if loss not in (None, "stays", "closes") and number(loss) > 0.5:
        yield Harm(
            f"the link is lost for {loss} before anything opens", ("link", "receiver"), number(loss) > 2.0
        )
    pieces = machine.net.pieces.values()
    wired = {
        p.by.removeprefix("output:")
        for p in pieces
        if p.by.startswith("output:")
        and all(any(pin in o.pins for o in pieces if o is not p) for pin in p.pins)
    }
    keys = {row["id"]: row.get("key") for row in outputs(machine.net)}
    for row in job.get("bench", []):
        if row["output"] not in wired:
            continue
        if row["test"] == "battery-out" and row["result"] != "opens":
            yield Harm(
                f"on the bench {row['output']} {row['result']} when the link is lost", (row["output"],)
            )
        moves = keys.get(row["output"]) not in ("stop", "start", None)
        if row["test"] == "release" and row["result"] != "opens" and moves:
            yield Harm(f"on the bench {row['output']} {row['result']} at release", (row["output"],))
