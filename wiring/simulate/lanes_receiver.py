"""The receiver's outputs in lanes: the state machines of `receiver`, bit by bit, with its faults.

`words` is the memory: the same words as in `receiver`, each with the lanes in
which it stands. `before` are the outputs that were closed a moment ago; a frozen
channel and a loss timer that never expires hold on to them.
"""

from __future__ import annotations

from collections.abc import Mapping

from wiring.model.circuit import Output
from wiring.simulate.lanes_batch import Batch
from wiring.simulate.receiver import HOLDING, opposite

Words = Mapping[str, int]


class LaneReceiver:
    """The outputs of one batch."""

    def __init__(self, batch: Batch) -> None:
        self.batch = batch
        self.full = batch.full
        circuit = batch.board.plain
        self.outputs: tuple[Output, ...] = circuit.outputs
        self.keys = [i.name for i in circuit.inputs if i.kind == "key"]
        self.checks = any(out.neutral_check for out in self.outputs)
        self.loss_stuck = batch.holding("loss_stuck")
        self.restores = batch.holding("restores")
        self.dead = {key: batch.holding("dead_keys", key) for key in self.keys}
        names = [out.name for out in self.outputs]
        self.on = {name: batch.holding("on", name) for name in names}
        self.latching = {name: batch.holding("latching", name) for name in names}
        self.frozen = {out.name: batch.holding("frozen", out.channel) for out in self.outputs}
        self.tracks = bool(self.restores) or any(out.on_return == "restores" for out in self.outputs)

    def step(
        self, operated: Mapping[str, int], powered: int, words: Words, before: Mapping[str, int]
    ) -> tuple[dict[str, int], dict[str, int]]:
        """Outputs closed, and the memory after it. operated: lanes of each input."""
        self.words = dict(words)
        self.operated, self.powered = operated, powered
        self.link = self.full ^ operated.get("link", 0)
        self.up = powered & self.link
        self._read_keys()
        closed = {out.name: self._one(out, before.get(out.name, 0)) for out in self.outputs}
        self.words["up"] = self.up
        return closed, self.words

    def _read_keys(self) -> None:
        fresh = self.up & ~self.words.get("up", 0) if self.checks else 0
        self.pressed: dict[str, int] = {}
        self.down: dict[str, int] = {}
        for key in self.keys:
            pressed = self.operated.get(key, 0) & self.up & ~self.dead[key]
            ignored = self.words.get(f"ignored {key}", 0) & pressed
            if key != "key:stop":
                ignored |= pressed & fresh
            self.words[f"ignored {key}"] = ignored
            self.pressed[key], self.down[key] = pressed, pressed & ~ignored
        self.held = {key: self.words.get(f"held {key}", 0) for key in self.keys}
        for key in self.keys:
            self.words[f"held {key}"] = self.pressed[key]
        stop = self.pressed.get("key:stop", 0)
        others = 0
        for key in self.keys:
            if key != "key:start":
                others |= self.down[key]
        armed = self.words.get("armed", 0) | (self.down.get("key:start", 0) & ~others)
        self.words["armed"] = armed & self.up & ~stop
        self.any = others | self.down.get("key:start", 0)

    def _one(self, out: Output, before: int) -> int:
        on, lost = self.words.get(f"on {out.name}", 0), self.words.get(f"lost {out.name}", 0)
        powered, up = self.powered, self.up
        returns = self.full if out.on_return == "restores" else self.restores
        lost |= on & returns & ~powered
        back = lost & up & returns
        lost &= ~back
        back &= ~self.down.get("key:stop", 0)
        restored = (self.words.get(f"restored {out.name}", 0) | back) & ~(self.any & up)
        on = (on & powered) | back
        held_lanes = self.full if out.mode in HOLDING else self.latching[out.name]
        closed = self._follows(out, restored) & ~held_lanes
        if held_lanes:
            closed |= self._holds(out, on) & held_lanes
        if out.needs_start:
            closed &= self.words["armed"]
        closed &= up
        remembered = self.full if self.tracks or out.on_loss == "stays" else held_lanes
        without = powered & ~self.link
        kept = on & without
        if out.on_loss == "closes":
            silent = without
        else:
            stays = self.full if out.on_loss == "stays" else held_lanes if out.on_loss is None else 0
            silent = kept = kept & (stays | self.loss_stuck)
        silent = (silent & ~self.loss_stuck) | (before & without & self.loss_stuck)
        self.words[f"lost {out.name}"], self.words[f"restored {out.name}"] = lost, restored
        self.words[f"on {out.name}"] = (closed & remembered & up) | kept
        total = closed | silent | (self.on[out.name] & powered)
        frozen = self.frozen[out.name]
        return (total & ~frozen) | (before & frozen & powered)

    def _key(self, out: Output) -> int:
        """Lanes in which the key of an output asks for it: not where it yields to another."""
        down = self.down.get(out.key, 0)
        for other in out.yields_to:
            down &= ~self.down.get(other, 0)
        return down

    def _follows(self, out: Output, restored: int) -> int:
        wanted = self._key(out)
        if out.invert:
            wanted = self.full ^ wanted
        return wanted | restored

    def _holds(self, out: Output, on: int) -> int:
        key = self._key(out)
        if out.mode == "toggle":
            closed = on ^ (key & ~self.held.get(out.key, 0))
        else:
            closed = on | key
        others = {opposite(out.key)}
        if out.mode == "interlocked-latching":
            others |= {o.key for o in self.outputs if o.channel == out.channel and o is not out}
        ends = self.down.get("key:stop", 0)
        for other in others:
            ends |= self.down.get(other or "", 0) & ~key
        if out.mode == "run-to-limit":
            limit = "limit:" + out.key.partition(":")[2].partition(".")[0]
            ends |= self.operated.get(limit, 0)
        return closed & ~ends
