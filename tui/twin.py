"""Both circuits on one bench: what is done to one is done to the other where it has the thing too."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from wiring.model.behaviour import Settled
from wiring.model.circuit import Circuit, Input
from wiring.model.plan import Plan

if TYPE_CHECKING:
    from wiring import Bench

HELD = ("button", "key")
SIDES = ("before", "after")
WORDS = {"button": "", "key": "", "limit": "limit", "stop": "stop", "thermal": "thermal", "link": "",
         "supply": "", "selector": "selector"}  # fmt: skip
ORDER = ("button", "key", "selector", "link", "supply", "stop", "limit", "thermal")


@dataclass(frozen=True, slots=True)
class Control:
    """Something to hold or to turn. before, after: the input's name in each circuit, "" where it has
    none; kind: of the input."""

    id: str
    label: str
    kind: str
    before: str = ""
    after: str = ""

    @property
    def held(self) -> bool:
        """Whether a hand holds it, so that it springs back."""
        return self.kind in HELD

    def name(self, side: str) -> str:
        return self.before if side == "before" else self.after


def controls_of(before: Circuit | None, after: Circuit | None) -> tuple[Control, ...]:
    """Every input of both circuits; a button and the key that replaces it are one control."""
    found: dict[str, dict[str, Input]] = {}
    for side, circuit in (("before", before), ("after", after)):
        for item in circuit.inputs if circuit else ():
            bare = item.name.partition(":")[2] or item.name
            hand = item.kind in HELD
            found.setdefault(f"hold {bare}" if hand else item.name, {})[side] = item
    out = []
    for id, items in found.items():
        one = items.get("after") or items["before"]
        names = {side: item.name for side, item in items.items()}
        out.append(Control(id, label(one), one.kind, names.get("before", ""), names.get("after", "")))
    return tuple(sorted(out, key=lambda control: ORDER.index(control.kind)))


def label(item: Input) -> str:
    """A short name: UP, UP.2, stop S1, link."""
    bare = item.name.partition(":")[2] or item.name
    if item.kind in HELD:
        return bare.upper()
    return f"{WORDS[item.kind]} {bare}".strip()


@dataclass
class Twin:
    """Two benches, moved together, with the way back through what was done."""

    plan: Plan
    benches: dict[str, Bench] = field(default_factory=dict)
    controls: tuple[Control, ...] = ()
    hands: frozenset[str] = frozenset()  # ids of what a hand is on; a second step holds its first
    past: list[tuple[dict[str, int], frozenset[str]]] = field(default_factory=list)
    story: list[str] = field(default_factory=list)
    mode: str = "ideal"

    def __post_init__(self) -> None:
        import wiring

        for side, circuit in (("before", self.plan.before), ("after", self.plan.after)):
            if circuit is not None:
                self.benches[side] = wiring.Bench(circuit)
        self.controls = controls_of(self.plan.before, self.plan.after)
        self.arm()
        self.past.clear()
        self.story = ["at rest, START given" if self.starts else "at rest"]

    @property
    def starts(self) -> bool:
        """True where one of the circuits has a START to give."""
        return any(bench.starts for bench in self.benches.values())

    # ---- doing --------------------------------------------------------------

    def _do(self, told: str, act: Callable[[str, Bench], Any], hands: frozenset[str] | None = None) -> None:
        """Do something on each bench and remember how to take it back."""
        lengths = {side: len(bench.steps) for side, bench in self.benches.items()}
        self.past.append((lengths, self.hands))
        self.hands = self.hands if hands is None else hands
        for side, bench in self.benches.items():
            act(side, bench)
        self.story.append(told)

    def arm(self) -> None:
        """Give START where a circuit asks for it; what hands hold comes up first."""
        self._do("START given, hands off", lambda _, bench: bench.arm(), frozenset())

    def hold(self, control: Control) -> None:
        """Press and keep pressing."""
        hands = self.hands | {control.id}
        self._do(f"press {control.label}", lambda side, bench: self._if(control, side, bench.press), hands)

    def let_go(self, *controls: Control) -> None:
        """Let go of these: whatever no hand is on any more comes up, a first step with its second."""
        hands = self.hands - {c.id for c in controls}

        def act(side: str, bench: Bench) -> None:
            kept = {c.name(side) for c in self.controls if c.id in hands}
            kept |= {bench.inputs[name].implies for name in kept if name in bench.inputs}
            gone = [n for n in bench.state if bench.inputs[n].kind in HELD and n not in kept]
            if gone:
                bench.release(*sorted(gone))

        self._do(f"release {', '.join(c.label for c in controls)}", act, hands)

    def hands_off(self) -> None:
        """Let go of everything a hand holds, where something is held."""
        held = [c for c in self.controls if c.held and (c.id in self.hands or self.on(c))]
        if held:
            self.let_go(*held)

    def turn(self, control: Control) -> None:
        """Operate a stop, a limit, a thermal device, the link or the supply; or undo that."""
        if self.on(control):
            self._do(f"{control.label} back", lambda side, bench: self._if(control, side, bench.reset))
        else:
            self._do(
                f"{control.label} {VERB[control.kind]}",
                lambda side, bench: self._if(control, side, bench.operate),
            )

    @staticmethod
    def _if(control: Control, side: str, act: Callable[[str], Any]) -> None:
        if control.name(side):
            act(control.name(side))

    def dip(self) -> None:
        """The mains go and come back."""
        self._do("mains dip", lambda _, bench: bench.dip())

    def fault(self, name: str) -> str:
        """Break something in each circuit that has it. Returns why not, "" if done."""
        able, why = [], ""
        for side, bench in self.benches.items():
            try:
                bench.fault(name)
            except (KeyError, ValueError) as error:
                why = str(error.args[0])
            else:
                bench.undo()
                able.append(side)
        if not able:
            return why or "no circuit"
        self._do(f"fault {name}", lambda side, bench: bench.fault(name) if side in able else None)
        return ""

    def repair(self) -> None:
        """Take every fault away again."""
        if self.faults:
            self._do("everything repaired", lambda _, bench: bench.repair() if bench.faults else None)

    def jump(self, state: Iterable[str], faults: Iterable[str]) -> str:
        """Begin anew in a state with faults, in each circuit that has them. Returns what was left out."""
        missing: list[str] = []
        for side, bench in self.benches.items():
            names = [c.name(side) for c in self.controls if c.name(side) and {c.before, c.after} & set(state)]
            able = [one for one in faults if self._can(bench, one)]
            missing += [one for one in faults if one not in able]
            bench.jump(names, able)
        self.past.clear()
        self.hands = frozenset(c.id for c in self.controls if c.held and self.on(c))
        lost = [one for one in dict.fromkeys(missing) if missing.count(one) == len(self.benches)]
        self.story = [
            f"set to {', '.join(state) or 'rest'}",
            *(f"fault {one}" for one in faults if one not in lost),
        ]
        return ", ".join(lost)

    @staticmethod
    def _can(bench: Bench, fault: str) -> bool:
        try:
            bench.fault(fault)
        except (KeyError, ValueError):
            return False
        bench.undo()
        return True

    def back(self) -> str:
        """Take the last step back. Returns what it was, "" at the beginning."""
        if not self.past:
            return ""
        lengths, self.hands = self.past.pop()
        for side, bench in self.benches.items():
            while len(bench.steps) > lengths[side]:
                bench.undo()
        return self.story.pop()

    # ---- looking ------------------------------------------------------------

    def on(self, control: Control) -> bool:
        """Whether it is held or operated in either circuit."""
        return any(control.name(side) in bench.state for side, bench in self.benches.items())

    @property
    def faults(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(one for bench in self.benches.values() for one in bench.faults))

    def now(self, side: str) -> Settled | None:
        bench = self.benches.get(side)
        return bench.now if bench else None


VERB = {"stop": "pressed", "limit": "reached", "thermal": "trips", "link": "lost", "supply": "lost",
        "selector": "turned"}  # fmt: skip


def words(now: Settled) -> list[tuple[str, str, bool]]:
    """A settled circuit in words: (what, which, whether it is something to be afraid of)."""
    stalls = [
        f"{name} {torque}" for name, torque in now.torque.items() if torque in ("stall", "single-phase")
    ]
    out = [("moves", ", ".join(now.motions).upper() or "nothing", False)]
    if stalls:
        out.append(("turns not", ", ".join(stalls), True))
    out.append(("energised", ", ".join(now.energised) or "nothing", False))
    if now.brakes_open:
        out.append(("brake open", ", ".join(now.brakes_open), False))
    for title, items in (("SHORT", now.shorts), ("fuse blows", now.blown)):
        if items:
            out.append((title, ", ".join(items), True))
    if now.may_hold:
        out.append(("may hold", ", ".join(now.may_hold), True))
    if now.marginal:
        out.append(("marginal", ", ".join(now.marginal), True))
    if now.race:
        out.append(("race", "the order of the coils decides", True))
    return out
