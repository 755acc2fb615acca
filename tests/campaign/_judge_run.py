"""The judge's own receiver and coils: from pressed keys and opened contacts to what turns."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field

from tests.campaign._judge_net import Net, outputs
from tests.campaign._judge_read import entry
from tests.campaign._judge_solve import Solved, Solver

IN, HOLD_AC, HOLD_DC = 0.85, 0.2, 0.1
TIED = {"up": "down", "down": "up", "left": "right", "right": "left", "forward": "back", "back": "forward",
        "in": "out", "out": "in"}  # fmt: skip


@dataclass(frozen=True)
class Seen:
    """What a settled circuit does. turns: (motor, "+" | "-" | "stall"); on: loads and brakes that work."""

    turns: frozenset[tuple[str, str]]
    on: frozenset[str]
    shorts: tuple[str, ...]
    half: frozenset[str]  # loads with part of their voltage: may hold, may not
    over: frozenset[str]  # loads with more than they stand
    powered: bool
    blocked: frozenset[str] = frozenset()  # coils with full voltage that another contactor holds out

    @property
    def moves(self) -> frozenset[tuple[str, str]]:
        """What really turns."""
        return frozenset(t for t in self.turns if t[1] in "+-")


@dataclass
class Memory:
    """What stays from one state to the next."""

    coils: frozenset[str] = frozenset()
    armed: bool = False
    up: bool = False
    ignored: frozenset[str] = frozenset()
    held: frozenset[str] = frozenset()
    restored: frozenset[str] = frozenset()


@dataclass
class Machine:
    """One net that can be worked. stuck: coils in for good, contacts closed for good."""

    net: Net
    bridges: tuple[tuple[str, str], ...] = ()
    stuck: frozenset[str] = frozenset()
    solver: Solver = field(init=False)
    now: tuple[str, ...] = ()
    started: Memory | None = None

    def __post_init__(self) -> None:
        self.solver = Solver(self.net, self.bridges)
        self.reset()
        pieces = self.net.pieces.values()
        self.contacts = [p for p in pieces if p.kind in ("contact", "semiconductor")]
        self.coils = [p for p in pieces if p.kind in ("coil", "drive-input", "supply-input")]
        self.outputs = outputs(self.net) if self.net.after else []
        self.nominal = {m["id"]: m for m in self.net.hoist.get("motor", [])}
        self.seen: dict[tuple[frozenset[str], frozenset[str]], Seen] = {}

    def reset(self) -> None:
        """As after a night without supply."""
        self.memory = Memory(coils=frozenset(n for n in self.stuck if n in self.net.pieces
                                             and self.net.pieces[n].kind == "coil"))  # fmt: skip

    def go(self, *states: Iterable[str], backward: bool = False) -> Seen:
        """Through these states one after another; what is seen in the last."""
        for state in states:
            found = self.settle(frozenset(state), backward)
        self.now = tuple(states[-1])
        return found

    def settle(self, state: frozenset[str], backward: bool = False) -> Seen:
        """Let one state settle: outputs, then one coil at a time."""
        state = state | {s[:-2] for s in state if s.endswith(".2")}
        order = list(reversed(self.coils)) if backward else self.coils
        for _ in range(60):
            closed = self.closed(state)
            solved = self.solver.solve(closed, self.memory.coils)
            change = self.change(order, solved, state)
            if change is None:
                self.remember(state)
                if self.closed(state) == closed:
                    return self.look(closed, solved)
                continue
            self.memory.coils = self.memory.coils ^ {change}
        return Seen(frozenset((("all", "hunting"),)), frozenset(), (), frozenset(), frozenset(), False)

    def closed(self, state: frozenset[str]) -> frozenset[str]:
        """Every contact that is closed now."""
        driven = {f"coil:{name}" for name in self.memory.coils}
        driven |= {f"output:{name}" for name in self.driven(state)}
        found = set()
        for p in self.contacts:
            operated = p.by in driven or p.by in state
            closes = operated == (p.form == "NO") or (p.kind == "semiconductor" and operated)
            if closes or p.name in self.stuck or p.by in self.stuck:
                found.add(p.name)
        return frozenset(found)

    def change(self, order: list[object], solved: Solved, state: frozenset[str]) -> str | None:
        """The next coil that goes in or out; None where all rest. Those that drop out go first."""
        pick = None
        for piece in order:
            name, level = piece.name, solved.across(piece.name)
            if name in self.stuck:
                continue
            if piece.kind == "drive-input":
                least, hold = piece.figures["on"], piece.figures["off"]
            elif piece.kind == "supply-input":
                least, hold = 0.99 * piece.figures["minimum"], 0.7 * piece.figures["minimum"]
                if "supply" in state:
                    level = 0.0
            else:
                rated = piece.figures["voltage"]
                alternating = bool(self.solver.hertz) and piece.figures.get("frequency") != 0.0
                least = piece.figures.get("pick_up", IN) * rated
                hold = piece.figures.get("drop_out", HOLD_AC if alternating else HOLD_DC) * rated
            if name in self.memory.coils:
                if level < hold:
                    return name
            elif level >= least and pick is None and not self.locked(name):
                pick = name
        return pick

    def locked(self, name: str) -> bool:
        """True where the other contactor of a mechanical interlock is in."""
        return any(
            (a == name and b in self.memory.coils) or (b == name and a in self.memory.coils)
            for a, b in self.net.locks
        )

    def powered(self) -> bool:
        """True while the receiver has its supply."""
        return "receiver:supply" in self.memory.coils

    def driven(self, state: frozenset[str]) -> set[str]:
        """Receiver outputs that are operated now."""
        m = self.memory
        if not self.net.after:
            return set()
        facts, found = self.net.job["receiver"], set()
        keys = {s[4:] for s in state if s.startswith("key:")}
        keys |= {k[:-2] for k in keys if k.endswith(".2")}
        alive, link = self.powered(), "link" not in state
        replaced = facts.get("step_two") == "replaces"
        for row in self.outputs:
            key = row.get("key") or ""
            if not alive or not key:
                continue
            if not link:
                loss, held = facts.get("on_signal_loss"), row["id"] in m.held
                kept = row.get("mode", "momentary") != "momentary" and latches(self.net, row)
                if loss == "closes" or (held and (loss == "stays" or kept)):
                    found.add(row["id"])
                continue
            if key == "stop":
                if "stop" not in keys and (m.armed or not row.get("needs_start")):
                    found.add(row["id"])
                continue
            pressed = key in keys and key not in m.ignored
            if replaced and f"{key}.2" in keys and any(o.get("key") == f"{key}.2" for o in self.outputs):
                pressed = False
            held = row["id"] in m.held and row.get("mode", "momentary") != "momentary"
            ended = "stop" in keys or TIED.get(key.partition(".")[0]) in keys
            if row.get("needs_start") and not m.armed:
                continue
            if pressed or (held and not ended) or row["id"] in m.restored:
                found.add(row["id"])
        return found

    def remember(self, state: frozenset[str]) -> None:
        """What the receiver carries on: armed, ignored keys, what it held."""
        if not self.net.after:
            return
        m, facts = self.memory, self.net.job["receiver"]
        keys = {s[4:] for s in state if s.startswith("key:")}
        keys |= {k[:-2] for k in keys if k.endswith(".2")}
        up = self.powered() and "link" not in state
        now = self.driven(state)
        restores = facts.get("on_supply_return") == "restores"
        if not up:
            m.armed, m.ignored, m.restored = False, frozenset(), frozenset()
            if not restores:
                m.held = now if self.powered() else frozenset()
        else:
            if not m.up:
                m.ignored = frozenset(keys - {"start", "stop"}) if facts.get("neutral_check") else frozenset()
                m.restored = m.held if restores else frozenset()
            m.ignored = m.ignored & keys
            m.restored = frozenset() if keys - {"start"} else m.restored
            m.armed = (m.armed or keys == {"start"}) and "stop" not in keys
            m.held = frozenset(self.driven(state)) | (m.restored if restores else frozenset())
        m.up = up

    def look(self, closed: frozenset[str], solved: Solved) -> Seen:
        """What turns and works, what has part of its voltage, what has too much."""
        key = (closed, self.memory.coils)
        if key in self.seen:
            return self.seen[key]
        on, half, over, blocked = set(), set(), set(), set()
        for p in self.net.pieces.values():
            if p.kind not in ("coil", "drive-input", "supply-input", "brake", "load"):
                continue
            share = solved.across(p.name) / rated(p, self.net)
            if p.kind == "brake":
                share *= {"half": 0.45, "full": 0.9}.get(p.rect, 1.0)
            if p.name in self.memory.coils or (p.kind in ("brake", "load") and share >= IN):
                on.add(p.name)
            elif share > 0.21:
                (blocked if share >= IN and p.kind == "coil" else half).add(p.name)
            if share > 1.16 and p.kind != "drive-input":
                over.add(p.name)
        turns = set()
        for id, motor in self.nominal.items():
            sign = turning(self, f"hoist:{id}", motor, solved)
            if sign:
                turns.add((id, sign))
        found = Seen(frozenset(turns), frozenset(on - {"receiver:supply"}), solved.shorts,
                     frozenset(half), frozenset(over), self.powered(), frozenset(blocked))  # fmt: skip
        self.seen[key] = found
        return found


def latches(net: Net, row: dict[str, object]) -> bool:
    """True where the type's output stays when the link is lost in this mode."""
    return entry("receivers", net.job["receiver"]["type"]).get("on_loss", {}).get(row.get("mode")) == "stays"


def rated(piece: object, net: Net) -> float:
    """The voltage that a load works with."""
    f = piece.figures
    if piece.kind == "drive-input":
        return f["on"]
    if piece.kind == "supply-input":
        return f["maximum"] / 1.1
    return f["voltage"]


def turning(machine: Machine, name: str, motor: dict[str, object], solved: Solved) -> str:
    """ "+" or "-" where a motor turns, "stall" where it has current and no torque, "" where it rests."""
    kind, parts = motor["kind"], [f"hoist:{p}" for p in motor["parts"]]
    pieces = [machine.net.pieces.get(p) for p in parts]
    if any(p is None for p in pieces):
        return ""
    if kind == "drive":
        ins = [p in machine.memory.coils for p in parts]
        return "" if not all(ins[2:]) or ins[0] == ins[1] else "+" if ins[0] else "-"
    volts = number_of(motor)
    if kind == "three-phase":
        uv, vw, wu = (solved.volts.get(f"{parts[0]}.{x}", (0j, 0.0))[0] for x in ("UV", "VW", "WU"))
        if max(abs(uv), abs(vw), abs(wu)) < 0.1 * volts:
            return ""
        turn = complex(-0.5, math.sqrt(3) / 2)
        one, two = abs(uv + turn * vw + turn**2 * wu), abs(uv + turn**2 * vw + turn * wu)
        gain = (one**2 - two**2) / (3 * volts) ** 2
        return (
            "stall"
            if abs(gain) < 0.05 or abs(one**2 - two**2) < 0.25 * (one**2 + two**2)
            else "+"
            if gain > 0
            else "-"
        )
    flows = [current(p, solved, machine.solver.hertz) for p in pieces]
    full = [
        volts / abs(complex(p.figures["run_r"], p.figures["run_x"] if machine.solver.hertz else 0))
        for p in pieces
    ]
    if kind == "series":
        whole = volts / abs(
            sum(
                complex(p.figures["run_r"], p.figures["run_x"] if machine.solver.hertz else 0) for p in pieces
            )
        )
        full = [whole, whole]
    if all(abs(i) < 0.1 * n for i, n in zip(flows, full, strict=True)):
        return ""
    if kind == "dc-permanent-magnet":
        return "stall" if abs(flows[0]) < 0.22 * full[0] else "+" if flows[0].real > 0 else "-"
    product = flows[1] * flows[0].conjugate()
    gain = product.real if kind == "series" else product.imag
    if abs(gain) < 0.05 * full[0] * full[1] or abs(gain) < 0.25 * abs(product):
        return "stall"
    return "+" if gain > 0 else "-"


def number_of(motor: dict[str, object]) -> float:
    """A motor's rated voltage."""
    from tests.campaign._judge_read import number

    return number(motor["voltage"])


def current(piece: object, solved: Solved, hertz: float) -> complex:
    """Current through a winding [A], of whichever kind its circuit has."""
    ac, dc = solved.volts.get(piece.name, (0j, 0.0))
    f = piece.figures
    if hertz and abs(ac) > abs(dc):
        return ac / complex(f["run_r"], f["run_x"])
    return complex(dc / (f["resistance"] if hertz else f["run_r"]))
