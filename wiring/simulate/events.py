"""What happens next: from each settled state, something is let go, pressed, lost, reached or comes back.

Each event has a verdict: fail where something moves that nobody asks for any more
(or a source is shorted, or a motor stalls), unknown where that hangs on a fact of
the receiver that is not recorded, else pass. Full events run from every state with
at most two keys and one other input operated; release, loss and stops run from every
feasible state and are listed there where they do not pass. In a circuit with more than
`FULL` vectors events run from states with at most two inputs operated, and no others.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from wiring.model.behaviour import Event
from wiring.model.circuit import Limit
from wiring.simulate.network import Network
from wiring.simulate.receiver import opposite
from wiring.simulate.settle import futures
from wiring.simulate.states import FULL, At, Space, space_of

STANDING = ("stall", "single-phase")
#: A capacitor below this when it is shorted does no harm: the touch limit of a discharged one [V].
CHARGED = 50.0
SPEEDS = (" slow", " fast")
#: Events in which something comes back: what moves then has started, not gone on.
RETURNS = ("link back", "supply back", "stop reset", "thermal reset", "boot")


def base(motion: str) -> str:
    """A motion without its speed."""
    for speed in SPEEDS:
        motion = motion.removesuffix(speed)
    return motion


@dataclass(frozen=True, slots=True)
class Seen:
    """What an event led to. motions: of every outcome that may follow; sure: of the reported one."""

    motions: tuple[str, ...]
    sure: tuple[str, ...]
    standing: tuple[str, ...]
    shorts: tuple[str, ...]
    race: bool
    decided: bool
    doubt: str


class Happenings:
    """The events of one network."""

    def __init__(self, network: Network) -> None:
        self.network = network
        self.space: Space = space_of(network)
        bit = network.input_bit
        self.link, self.supply = bit.get("link", 0), bit.get("supply", 0)
        self.stops = {n: b for n, b in bit.items() if n.startswith("stop:") or n == "key:stop"}
        self.thermals = {n: b for n, b in bit.items() if n.startswith("thermal:")}
        self.selectors = {n: b for n, b in bit.items() if n.startswith("selector:")}
        self.limits = tuple(limit for limit in network.circuit.limits if limit.input in bit)
        self.automatic = set(network.circuit.auto_reset)
        self.commands = {b: self._command(n, b) for n, b in self.space.keys.items()}
        self.capacitors = [i for i, load in enumerate(network.loads) if load.part.kind == "capacitor"]
        checks = {output.neutral_check for output in network.outputs if not output.invert}
        self.silent = None in checks and False not in checks
        self._seen: dict[At, Seen] = {}
        self._plain: dict[
            tuple[int, int], Seen
        ] = {}  # by switch pattern and coils, where nothing is in doubt

    def _command(self, name: str, bit: int) -> frozenset[str]:
        """Motions (without speed) that a key is there for: declared, else what it does alone."""
        declared = self.network.circuit.expected.get(name)
        if declared:
            return frozenset(base(motion) for motion in declared)
        alone = self.space.at(bit | self.space.needs.get(bit, 0))
        return frozenset(base(motion) for motion in self.space.motions(alone))

    def allowed(self, state: int) -> frozenset[str]:
        """Motions that the pressed keys ask for."""
        found: frozenset[str] = frozenset()
        for bit, motions in self.commands.items():
            if state & bit:
                found |= motions
        return found

    # -- looking ------------------------------------------------------------------------------
    def look(self, at: At) -> Seen:
        """What moves, stands or shorts in a settled state, with everything that may follow."""
        found = self._seen.get(at)
        if found is None:
            plain = len(at.run.ends) == 1 and not at.run.shorts and not at.run.race
            key = (self.space.power.moment(self.space.seen(at.state), at.node)[1], at.node.coils)
            found = self._plain.get(key) if plain else None
            if found is None:
                found = self._look(at)
                if plain and not found.doubt:
                    self._plain[key] = found
            self._seen[at] = found
        return found

    def _look(self, at: At) -> Seen:
        space, power = self.space, self.space.power
        sure = space.motions(at)
        motions = set(sure)
        for node in at.run.ends[1:]:
            motions.update(space.motions(At(at.state, node, at.run)))
        _, mask, solution, _ = power.moment(space.seen(at.state), at.node)
        turn = power.turning(at.node, mask)
        holding = [
            coil.name
            for coil in self.network.coils
            if coil.forced is None
            and coil.drop_out * 1.000001 < abs(solution.across[coil.load]) < coil.pick_up * 0.999999
        ]
        if holding:
            names = tuple(c.name for k, c in enumerate(self.network.coils) if at.node.coils >> k & 1)
            state = self.network.state_names(at.state)
            for other in futures(self.network, state, names, power.memory(at.node)):
                motions.update(other.motions)
        restless = [c.name for k, c in enumerate(self.network.coils) if at.run.restless >> k & 1]
        standing = tuple(name for name, torque in turn.torque.items() if torque in STANDING)
        decided = any(at.node.coils >> k & 1 and coil.against for k, coil in enumerate(self.network.coils))
        doubt = f"{', '.join(holding)} may hold" if holding else ""
        if restless:
            doubt = f"{', '.join(restless)} goes in and out without end"
        return Seen(tuple(sorted(motions)), sure, standing, at.run.shorts, at.run.race, decided, doubt)

    def charged(self, before: At, after: At) -> str:
        """The capacitor that was charged in one state and is shorted in the next; empty if none."""
        power, space = self.space.power, self.space
        for i in self.capacitors:
            load = self.network.loads[i]
            _, _, old, _ = power.moment(space.seen(before.state), before.node)
            _, _, new, _ = power.moment(space.seen(after.state), after.node)
            group, offset = new.contraction.group, new.contraction.offset[0]
            joined = group[load.a] == group[load.b] and offset[load.a] == offset[load.b]
            if joined and abs(old.across[i]) > CHARGED:
                return load.name
        return ""

    # -- writing ------------------------------------------------------------------------------
    def event(self, name: str, start: At, end: At, verdict: str, why: str, subject: str = "") -> Event:
        """One record: the state it happened in, what it led to."""
        pressed, opened = self.space.names(start.state)
        seen = self.look(end)
        coils = self.network.coils
        return Event(
            name,
            self.network.circuit.about,
            pressed,
            opened,
            self.space.power.memory(end.node),
            seen.motions,
            tuple(coil.name for k, coil in enumerate(coils) if end.node.coils >> k & 1),
            verdict,
            why,
            self.look(start).sure,
            subject,
        )

    def still(self, name: str, start: At, end: At, subject: str = "", unknown: bool = False) -> Event:
        """An event after which nothing may move. unknown: it hangs on a fact nobody recorded."""
        seen = self.look(end)
        if seen.shorts and seen.shorts != self.look(start).shorts:
            return self.event(name, start, end, "fail", f"source shorted: {seen.shorts[0]}", subject)
        if not seen.motions:
            if seen.standing and self.look(start).sure:
                why = f"{', '.join(seen.standing)} keeps current without torque and may turn on"
                return self.event(name, start, end, "fail", why, subject)
            return self.event(name, start, end, "pass", "nothing moves", subject)
        verb = "starts by itself" if name.startswith(RETURNS) else "goes on"
        if not seen.sure:
            why = seen.doubt or "it depends on which coil is quicker"
            return self.event(
                name, start, end, "fail", f"{', '.join(seen.motions)} perhaps {verb}: {why}", subject
            )
        moves = ", ".join(seen.sure)
        if unknown:
            why = f"{moves} starts unless the receiver asks for keys at rest first, which is not recorded"
            return self.event(name, start, end, "unknown", why, subject)
        return self.event(name, start, end, "fail", f"{moves} {verb}", subject)

    def commanded(self, name: str, start: At, end: At, subject: str) -> Event:
        """An event after which only what the pressed keys ask for may move."""
        seen = self.look(end)
        extra = [motion for motion in seen.motions if base(motion) not in self.allowed(end.state)]
        shorted = self.charged(start, end)
        if seen.shorts:
            verdict, why = "fail", f"source shorted: {seen.shorts[0]}"
        elif shorted:
            verdict, why = "fail", f"charged capacitor {shorted} is shorted by the contacts"
        elif extra:
            verdict, why = "fail", f"{', '.join(extra)} without its key"
        elif seen.standing:
            verdict, why = "fail", f"{', '.join(seen.standing)} takes current and makes no torque"
        elif seen.race and not seen.decided:
            verdict, why = "fail", "a race: the order in which the coils change decides"
        elif seen.race:
            verdict, why = "pass", "the first one pressed wins, the interlock keeps the other out"
        else:
            verdict, why = "pass", "only what is commanded moves" if seen.motions else "nothing moves"
        return self.event(name, start, end, verdict, why, subject)

    # -- the events ---------------------------------------------------------------------------
    def ends(self, start: At) -> Iterator[tuple[str, At, str]]:
        """Release, losses and stops: (event, where it leads, input)."""
        space, state = self.space, start.state
        if state & space.all_keys:
            yield "release", space.go(state & ~space.all_keys, start), ""
        if self.link and not state & self.link:
            yield "link lost", space.go(state | self.link, start), "link"
        if self.supply and not state & self.supply:
            yield "supply lost", space.go(state | self.supply, start), "supply"
        if self.look(start).sure:
            for name, bit in self.stops.items():
                if not state & bit:
                    yield "stop pressed", space.go(state | bit, start), name

    def basic(self, start: At, passing: bool = True) -> Iterator[Event]:
        """Release, losses and stops as events. passing: those too after which all is still."""
        for name, end, subject in self.ends(start):
            seen = self.look(end)
            if passing or seen.motions or seen.standing or seen.shorts:
                event = self.still(name, start, end, subject)
                if passing or event.verdict != "pass":
                    yield event

    def all(self, start: At) -> Iterator[Event]:
        """Every event from one settled state."""
        yield from self.basic(start)
        yield from self._keys(start)
        if start.state & self.space.all_keys or self.look(start).sure:
            yield from self._returns(start)
            yield from self._stops(start)
            yield from self._limits(start)
            yield from self._selectors(start)

    def _keys(self, start: At) -> Iterator[Event]:
        space, state = self.space, start.state
        pressed = [(n, b) for n, b in space.keys.items() if state & b]
        for name, bit in pressed:
            left = state & ~bit & ~sum(b for b, need in space.needs.items() if need == bit)
            if left & space.all_keys:
                yield self.commanded("release one key", start, space.go(left, start), name)
            other = opposite(name)
            if other in space.keys and bit not in space.needs:
                turned = state & ~space.all_keys | space.keys[other]
                if len([b for _, b in pressed if b not in space.needs]) == 1:
                    yield self.commanded("opposite key", start, space.go(turned, start), other)
        if not pressed:
            return
        for name, bit in space.keys.items():
            more = state | bit | space.needs.get(bit, 0)
            if not state & bit and space.feasible(more) and name != "key:stop":
                yield self.commanded("second key", start, space.go(more, start), name)

    def _returns(self, start: At) -> Iterator[Event]:
        """Link, receiver supply and mains go and come back, with the keys held and let go."""
        space, state = self.space, start.state
        for name, bit in (("link", self.link), ("supply", self.supply)):
            if not bit or state & bit:
                continue
            lost = space.go(state | bit, start)
            back = space.go(state, lost)
            yield self.still(f"{name} back held", start, back, name, self.silent)
            again = space.go(state, space.go(state | bit, back))
            yield self.still(f"{name} back held twice", start, again, name, self.silent)
            let_go = space.go((state | bit) & ~space.all_keys, lost)
            yield self.still(f"{name} back", start, space.go(state & ~space.all_keys, let_go), name)
        if self.supply and not state & self.supply:
            dead = space.go(state | self.supply, start)
            dip = space.start(
                state, start.node.coils & ~self.network.supply_bits, space.power.memory(dead.node)
            )
            yield self.still("supply back held after a dip", start, dip, "supply", self.silent)
        yield from self._mains(start)

    def _mains(self, start: At) -> Iterator[Event]:
        """Everything goes dead and comes back."""
        space, state = self.space, start.state
        memory = space.power.memory(space.go(state | self.supply, start).node) if self.supply else ()
        if not self.supply:
            memory = tuple(word for word in space.power.memory(start.node) if word.startswith("blown "))
        held = space.start(state, 0, memory)
        yield self.still("supply back held", start, held, "mains", self.silent and bool(self.supply))
        yield self.still("boot", start, space.start(state & ~space.all_keys, 0, memory), "mains")

    def _stops(self, start: At) -> Iterator[Event]:
        space, state = self.space, start.state
        for name, bit in self.stops.items():
            if state & bit:
                continue
            stopped = space.go(state | bit, start)
            yield self.still("stop reset held", start, space.go(state, stopped), name)
            let_go = space.go((state | bit) & ~(space.all_keys & ~bit), stopped)
            yield self.still("stop reset", start, space.go(state & ~space.all_keys, let_go), name)
        for name, bit in self.thermals.items():
            if state & bit:
                continue
            tripped = space.go(state | bit, start)
            yield self.still("thermal trip", start, tripped, name)
            back = self.still("thermal reset held", start, space.go(state, tripped), name)
            yield back if name in self.automatic else self._by_hand(back)

    def _by_hand(self, event: Event) -> Event:
        """A device that only a hand on it resets does not start anything by itself."""
        if event.verdict != "fail":
            return event
        why = f"{', '.join(event.motions)} starts only when a person resets it at the hoist with the key held"
        return Event(
            event.event, event.about, event.pressed, event.open, event.latched, event.motions,
            event.energised, "pass", why, event.motions_before, event.subject,
        )  # fmt: skip

    def _limits(self, start: At) -> Iterator[Event]:
        space, state = self.space, start.state
        moving = {base(motion) for motion in self.look(start).sure}
        for limit in self.limits:
            bit = self.network.input_bit[limit.input]
            if state & bit or base(limit.motion) not in moving:
                continue
            reached = space.go(state | bit, start)
            yield self._reached(start, reached, limit)
            yield from self._at_limit(start, reached, limit)

    def _reached(self, start: At, reached: At, limit: Limit) -> Event:
        seen = self.look(reached)
        if any(base(motion) == base(limit.motion) for motion in seen.motions):
            why = f"{limit.motion} goes on through its limit"
            return self.event("limit reached", start, reached, "fail", why, limit.input)
        if set(seen.standing) - set(self.look(start).standing):
            why = f"{', '.join(seen.standing)} keeps current without torque and may turn on"
            return self.event("limit reached", start, reached, "fail", why, limit.input)
        return self.event("limit reached", start, reached, "pass", f"{limit.motion} ends", limit.input)

    def _at_limit(self, start: At, reached: At, limit: Limit) -> Iterator[Event]:
        """At the limit: the same key again, the opposite key, and the limit closing again."""
        space, keys = self.space, start.state & self.space.all_keys
        let_go = space.go(reached.state & ~space.all_keys, reached)
        again = space.go(reached.state, let_go)
        same = any(base(motion) == base(limit.motion) for motion in self.look(again).motions)
        why = f"{limit.motion} starts again at its limit" if same else "it stays at rest"
        yield self.event("limit same key again", start, again, "fail" if same else "pass", why, limit.input)
        names = [n for n, b in space.keys.items() if keys & b and b not in space.needs]
        other = opposite(names[0]) if len(names) == 1 else None
        free = not any(
            let_go.state & self.network.input_bit[one.input] for one in self.limits if one is not limit
        )
        if other in space.keys and free:
            turned = space.go(let_go.state | space.keys[other], let_go)
            moves = bool(self.look(turned).sure) or limit.kind == "back-up"
            why = f"{', '.join(self.look(turned).sure) or 'nothing'} moves"
            yield self.event(
                "limit opposite key", start, turned, "pass" if moves else "fail", why, limit.input
            )
        back = space.go(start.state, reached)
        moved = self.look(back).motions
        bad = bool(moved) and limit.kind in ("back-up", "capacity")
        why = f"{', '.join(moved)} goes on with the key held" if moved else "nothing starts with the key held"
        yield self.event("limit back", start, back, "fail" if bad else "pass", why, limit.input)

    def _selectors(self, start: At) -> Iterator[Event]:
        for name, bit in self.selectors.items():
            moved = start.state ^ bit
            if not start.state & bit:
                moved |= self.space.needs.get(bit, 0)
            if self.space.feasible(moved):
                yield self.commanded("selector moved", start, self.space.go(moved, start), name)


def events(network: Network) -> tuple[Event, ...]:
    """All events of a circuit: see the module's text for which states they run from."""
    happenings = Happenings(network)
    space = happenings.space
    small = space.count() <= FULL
    full = set(space.few(total=3 if small else 2))
    found: list[Event] = []
    vectors = space.vectors() if small else sorted(full, key=lambda v: (v.bit_count(), v))
    for vector in vectors:
        start = space.at(vector)
        if vector in full:
            found += happenings.all(start)
        else:
            found += happenings.basic(start, passing=False)
    return tuple(found)
