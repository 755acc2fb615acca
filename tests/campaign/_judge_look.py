"""The judge's own comparison: what a changed conversion does that the good one did not."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass

from tests.campaign._judge_net import Net, Piece, build, reach
from tests.campaign._judge_read import Data, entry
from tests.campaign._judge_run import Machine, Memory, Seen

#: As many inputs as are tried in every combination; beyond, three at a time.
WHOLE = 9


@dataclass(frozen=True)
class Harm:
    """One thing that is worse. places: names of what is concerned; sure: False where it is arguable."""

    what: str
    places: tuple[str, ...] = ()
    sure: bool = True


def keys_of(net: Net) -> list[str]:
    """The motion keys of the hoist."""
    return [f"key:{b['id']}" for b in net.hoist["button"] if b["id"] != "start"]


def opens_of(net: Net) -> list[str]:
    """Limits, stops and thermal devices of a circuit, and what a receiver can lose."""
    kinds = ("limit:", "stop:", "thermal:")
    found = sorted({p.by for p in net.pieces.values() if p.by.startswith(kinds)})
    return [*found, "link", "supply", "key:stop"]


def scenarios(net: Net) -> Iterator[tuple[tuple[str, ...], ...]]:
    """Every way the circuit is worked, as the states it goes through after START."""
    keys, opens = keys_of(net), opens_of(net)
    yield ((),)
    for key in keys:
        yield ((key,),)
        yield (key,), ()
        for open_ in opens:
            yield (key,), (key, open_)
            yield (open_,), (key, open_)
            yield (key,), (key, open_), (key,)
            yield (key,), (key, open_), ()
        yield (key,), (key, "supply"), (), ("key:start",), ()
    for one, other in itertools.permutations(keys, 2):
        yield (one,), (one, other)
        yield (one,), (one, other), (other,)
        yield (one,), (one, other), ()
    inputs = [*keys, *opens]
    most = len(inputs) if len(inputs) <= WHOLE else 3
    for count in range(2, most + 1):
        for state in itertools.combinations(inputs, count):
            yield (state,)


def play(machine: Machine, story: tuple[tuple[str, ...], ...], backward: bool = False) -> Seen:
    """One story, from a receiver that was started."""
    if machine.started is None:
        machine.reset()
        machine.go((), ("key:start",), ())
        machine.started = machine.memory
    start = machine.started
    machine.memory = Memory(start.coils, start.armed, start.up, start.ignored, start.held)
    return machine.go(*story, backward=backward)


class Good:
    """A good plan as the judge sees it, asked once."""

    def __init__(self, job: Data) -> None:
        self.job = job
        self.machine = Machine(build(job, True))
        self.seen = {story: play(self.machine, story) for story in scenarios(self.machine.net)}
        self.races = {
            story for story, seen in self.seen.items()
            if len(story[-1]) > 1 and play(self.machine, story, backward=True).moves != seen.moves
        }  # fmt: skip
        self.earthed, self.earth = earthing(self.machine)
        self._faults: dict[str, dict[tuple[str, ...], int]] | None = None

    @property
    def faults(self) -> dict[str, dict[tuple[str, ...], int]]:
        """What each single fault of the good plan leads to."""
        if self._faults is None:
            self._faults = fault_table(self.machine.net)
        return self._faults


def behaviour_harms(good: Good, machine: Machine) -> list[Harm]:
    """What the changed circuit does in some state that the good one does not."""
    found: dict[str, Harm] = {}
    for story in dict.fromkeys([*good.seen, *scenarios(machine.net)]):
        was = good.seen.get(story)
        if was is None:
            continue
        now = play(machine, story)
        asked = {t for s in story[-1] if ((s,),) in good.seen for t in good.seen[((s,),)].moves}
        for harm in differences(story, was, now, asked):
            found.setdefault(harm.what, harm)
        if len(story[-1]) > 1 and not now.shorts:
            other = play(machine, story, backward=True)
            if other.moves != now.moves and was.moves == now.moves and story not in good.races:
                found.setdefault("race", Harm("a race decides what moves", story[-1]))
        if sum(h.sure for h in found.values()) >= 6:
            break
    return list(found.values())


def differences(
    story: tuple[tuple[str, ...], ...], was: Seen, now: Seen, asked: set[tuple[str, str]]
) -> list[Harm]:
    """Harms of one state. asked: what its keys command one by one."""
    if now == was:
        return []
    state = story[-1]
    told = "press " + ", then ".join("+".join(s) or "nothing" for s in story)
    keys = [s for s in state if s.startswith("key:") and s != "key:stop"]
    found = []
    if now.shorts and not was.shorts:
        found.append(Harm(f"a source is shorted: {told}", (*state, *now.shorts)))
    if now.moves - was.moves:
        found.append(
            Harm(
                f"moves {sorted(now.moves - was.moves)}: {told}",
                state,
                len(keys) < 2 or not now.moves <= asked,
            )
        )
    if was.moves - now.moves and not now.shorts:
        less = len(keys) > 1
        found.append(Harm(f"does not move {sorted(was.moves - now.moves)}: {told}", state, not less))
    for motor, sign in now.turns - was.turns:
        if sign not in "+-" and not (now.moves - was.moves):
            found.append(Harm(f"{motor} {sign}: {told}", (*state, motor), len(keys) < 2))
    for name in sorted(now.half - was.half - was.on):
        found.append(Harm(f"{name} has part of its voltage: {told}", (name, *state)))
    for name in sorted(now.blocked - was.blocked):
        found.append(Harm(f"{name} is held out by the interlock alone: {told}", (name, *state), False))
    for name in sorted(now.over - was.over):
        found.append(Harm(f"{name} has too much voltage: {told}", (name, *state)))
    loads = {n for n in was.on ^ now.on if n in ("hoist:BR", "hoist:YP") or ".DI" in n or ":DI" in n}
    if loads and not found:
        found.append(Harm(f"{sorted(loads)} works otherwise: {told}", (*sorted(loads), *state)))
    if now.powered and not was.powered:
        found.append(Harm(f"the receiver has supply: {told}", ("receiver", *state), "stop:Q1" in state))
    if was.powered and not now.powered and not any(s.startswith(("stop:", "link", "supply")) for s in state):
        found.append(Harm(f"the receiver has no supply: {told}", ("receiver", *state)))
    if not found and was.on != now.on:
        names = tuple(sorted(was.on ^ now.on))
        found.append(Harm(f"{names} works otherwise, nothing moves: {told}", names, False))
    return found


def earthing(machine: Machine) -> tuple[frozenset[str], frozenset[str]]:
    """Terminals marked PE that are joined with the hoist's earth, and everything on it."""
    solver, net = machine.solver, machine.net
    node = solver.nodes(())
    home = f"hoist:{net.hoist['earth']}" if net.hoist.get("earth") else ""
    if home not in solver.index:
        return frozenset(), frozenset()
    joined = {p for p, n in solver.index.items() if node[n] == node[solver.index[home]]}
    return frozenset(p for p in joined if p.endswith("PE")), frozenset(joined)


def earth_harms(good: Good, machine: Machine) -> list[Harm]:
    """Boxes that lost their earth, and live parts that got one."""
    earthed, joined = earthing(machine)
    lost = sorted(p for p in good.earthed - earthed if p.partition(":")[0] != "pendant")
    found = [Harm(f"{p} is not earthed", (p,)) for p in lost]
    known = {p.partition(":")[0] for p in good.machine.solver.index}
    gained = [p for p in joined - good.earth if not p.endswith("PE") and p.partition(":")[0] in known]
    apart = floating(good)
    for point in sorted(gained):
        sitting = [p for p in machine.net.pieces.values() if point in p.pins and p.kind != "wire"]
        if any(all(pin in joined for pin in p.pins) for p in sitting) or not any(
            turned(p, good.earth) for p in sitting
        ):
            found.append(Harm(f"{point} sits on the earth conductor", (point, "PE"), point not in apart))
    return found


def rest_harms(good: Good, machine: Machine) -> list[Harm]:
    """Motor terminals that a pole away from earth reaches with nothing pressed, and did not before."""
    fresh = _live_motors(machine) - _live_motors(good.machine)
    return [Harm(f"{pin} is live with nothing pressed", (pin,)) for pin in sorted(fresh)]


def _live_motors(machine: Machine) -> set[str]:
    """Pins of windings that wires and closed contacts join to such a pole at rest."""
    play(machine, ((),))
    solver = machine.solver
    node = solver.nodes(machine.closed(frozenset(machine.now)))
    earthed = {node[solver.index[point]] for point in earthing(machine)[1]}
    poles = {node[solver.index[pin]] for piece in solver.sources for pin in piece.pins} - earthed
    windings = (p for p in machine.net.pieces.values() if p.kind in ("winding", "motor3"))
    return {pin for piece in windings for pin in piece.pins if node[solver.index[pin]] in poles}


def turned(piece: Piece, earth: frozenset[str]) -> bool:
    """True for a two-ended piece that sat on the earthed pole before too: turned round, it is the same."""
    return len(piece.pins) == 2 and piece.kind != "source" and any(pin in earth for pin in piece.pins)


def floating(good: Good) -> set[str]:
    """Points on a secondary that no earth touches in the good plan: whether one end of it may be earthed,
    the books decide by what it feeds."""
    solver = good.machine.solver
    node = solver.nodes(())
    apart = {
        node[solver.index[pin]]
        for p in solver.transformers
        if p.kind == "transformer" and not any(end in good.earth for end in p.pins[2:4])
        for pin in p.pins[2:4]
    }
    return {point for point, n in solver.index.items() if node[n] in apart}


def fault_table(net: Net) -> dict[str, dict[tuple[str, ...], int]]:
    """For every single fault: what moves without its key or past its limit, and the best stop left."""
    ranks = reach(net)
    sound = hazards(Machine(net), ranks)
    table = {}
    for name, bridges, stuck in single_faults(net):
        found = {h: r for h, r in hazards(Machine(net, bridges, stuck), ranks).items() if h not in sound}
        if found:
            table[name] = found
    return table


def single_faults(net: Net) -> Iterator[tuple[str, tuple[tuple[str, str], ...], frozenset[str]]]:
    """Contacts that stay closed, contactors that stay in, neighbours in a cable that touch."""
    for piece in net.pieces.values():
        if piece.kind in ("contact", "semiconductor"):
            yield f"{piece.name} stuck-closed", (), frozenset((piece.name,))
        elif piece.kind == "coil" and any(p.by == f"coil:{piece.name}" for p in net.pieces.values()):
            yield f"{piece.name} stuck-in", (), frozenset((piece.name,))
    for cable in net.job.get("cable", []):
        order = [f"{cable['id']}:{c}" for c in cable.get("order", [])]
        for one, other in itertools.pairwise(order):
            if one in net.pieces and other in net.pieces:
                pins = (net.pieces[one].pins[0], net.pieces[other].pins[0])
                yield f"short {one} {other}", (pins,), frozenset()


def hazards(machine: Machine, ranks: dict[str, int]) -> dict[tuple[str, ...], int]:
    """Hazards of one broken circuit: (hazard, motion) to the best rank of a stop that ends it."""
    found: dict[tuple[str, ...], int] = {}
    rest = play(machine, ((),))
    if rest.shorts:
        return {("short",): 3}
    for key in keys_of(machine.net):
        held = play(machine, ((key,),))
        if held.shorts:
            found["short", key] = 3
            continue
        keep(found, "goes on", play(machine, ((key,), ())), machine, ((key,), ()), ranks)
        for limit in (o for o in opens_of(machine.net) if o.startswith("limit:")):
            story = ((key,), (key, limit))
            keep(found, f"past {limit}", play(machine, story), machine, story, ranks)
        for stop in ranks:
            story = ((key,), (key, stop))
            keep(found, f"defeats {stop}", play(machine, story), machine, story, ranks)
    return found


def keep(
    found: dict[tuple[str, ...], int],
    hazard: str,
    seen: Seen,
    machine: Machine,
    story: tuple[tuple[str, ...], ...],
    ranks: dict[str, int],
) -> None:
    """Note what moves here and the best stop that ends it, worst of all keys."""
    for turn in seen.moves:
        ended = (r for s, r in ranks.items() if turn not in play(machine, (*story, (*story[-1], s))).moves)
        where = (hazard, *turn)
        found[where] = min(found.get(where, 3), max(ended, default=0))


def fault_harms(good: Good, net: Net) -> list[Harm]:
    """Single faults that do more than in the good plan, or leave a lesser stop."""
    found = []
    table = fault_table(net)
    duty = {motor["id"]: motor.get("duty", "hoist") for motor in net.hoist["motor"]}
    for name, now in table.items():
        was = good.faults.get(name, {})
        for hazard, rank in now.items():
            places = (*name.split()[:1], *hazard)
            floor = 2 if duty.get(hazard[-2] if len(hazard) > 2 else "") == "hoist" else 1
            if hazard not in was or rank < was[hazard]:
                found.append(Harm(f"{name}: {' '.join(hazard)}, best stop {rank}", places, rank < floor))
    return found


def hanging(machine: Machine) -> list[Harm]:
    """Suppressors that hang on one leg: wear of a contact, which no formula here can weigh."""
    found = []
    for piece in machine.net.pieces.values():
        if piece.kind == "suppressor":
            others = [set(p.pins) for p in machine.net.pieces.values() if p is not piece]
            if any(all(pin not in pins for pins in others) for pin in piece.pins):
                found.append(Harm(f"{piece.name} suppresses nothing", (piece.name,), False))
    return found


def receiver_kind(job: Data) -> Data:
    """The receiver's catalog entry."""
    return entry("receivers", job["receiver"]["type"])
