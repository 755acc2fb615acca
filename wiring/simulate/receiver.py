"""Receiver outputs as small state machines: what is closed, and what it remembers.

Memory is a tuple of words that travels in `Settled.memory`:
`up` supply and link are there; `armed` START was given; `held K` key K was down
(edges of toggles); `ignored K` key K was down when the link came back and is
ignored until released; `on X` output X is held; `lost X` output X was closed
when the receiver went down (restored where it restores).
A receiver of plain momentary outputs remembers nothing.

Modes: momentary (and None, not recorded) follow the key. latching stays until
stop or the opposite key; interlocked-latching until another key of its channel
too; toggle flips at each press; timed stays on after release (its time is not
simulated: what is shown is the moment after release); run-to-limit stays until
the limit of its key is reached. A stop key clears every held output. Where step two
replaces step one, the key of the second step takes the output of the first as if its key
were let go.
"""

from __future__ import annotations

from wiring.model.circuit import Output
from wiring.simulate.network import Network

Memory = tuple[str, ...]

OPPOSITE = {
    "up": "down", "down": "up", "left": "right", "right": "left",
    "forward": "back", "back": "forward", "in": "out", "out": "in",
}  # fmt: skip

HOLDING = frozenset(("latching", "interlocked-latching", "toggle", "timed", "run-to-limit"))


def opposite(name: str) -> str | None:
    """`key:down` for `key:up` (and for `key:up.2`), None where there is no opposite."""
    kind, _, rest = name.partition(":")
    other = OPPOSITE.get(rest.partition(".")[0])
    return f"{kind}:{other}" if other else None


class Receiver:
    """The receiver of one network. remembers: False where no memory is ever needed."""

    def __init__(self, network: Network) -> None:
        self.network = network
        self.outputs: tuple[Output, ...] = network.outputs
        self.keys = tuple(sorted({output.key for output in self.outputs if output.key}))
        self.has_link = "link" in network.input_bit
        self.edges = any(output.mode == "toggle" for output in self.outputs)
        self.checks = any(output.neutral_check for output in self.outputs)
        self.arms = any(output.needs_start for output in self.outputs)
        self.restores = any(output.on_return == "restores" for output in self.outputs)
        self.frozen = network.forced.frozen
        holding = any(output.mode in HOLDING or output.on_loss == "stays" for output in self.outputs)
        holding = holding or bool(self.frozen)
        self.remembers = self.edges or self.checks or self.arms or self.restores or holding
        self.mine = 0
        for name in (*self.keys, "key:stop", "key:start", "link"):
            self.mine |= network.input_bit.get(name, 0)
        for output in self.outputs:
            for name in (_limit(output), *output.yields_to):
                self.mine |= network.input_bit.get(name, 0)
        self._memo: dict[tuple[int, bool, Memory], tuple[int, Memory]] = {}

    def step(self, state: int, powered: bool, memory: Memory) -> tuple[int, Memory]:
        """Flips of the switches that the outputs close, and the memory after it.

        Doing it again with the new memory changes nothing. Words of others in `memory`
        (`blown ...`) pass through.
        """
        key = (state & self.mine, powered, memory)
        found = self._memo.get(key)
        if found is None:
            found = self._memo[key] = self._step(self.network.state_names(state & self.mine), powered, memory)
        return found

    def _step(self, state: frozenset[str], powered: bool, memory: Memory) -> tuple[int, Memory]:
        words = set(memory)
        closed = self._closed(state, powered, words)
        flips = 0
        for output, mask in zip(self.outputs, self.network.output_flips, strict=True):
            on = powered and output.name in self.network.forced.outputs  # logic closes nothing unfed
            if on or output.name in closed:
                flips |= mask
        if not self.remembers:
            return flips, memory
        return flips, tuple(sorted(words))

    def _closed(self, state: frozenset[str], powered: bool, words: set[str]) -> set[str]:
        """Names of the closed outputs; changes `words`, the memory, on the way."""
        link = "link" not in state
        was_up, up = "up" in words, powered and link
        held = {word[5:] for word in words if word.startswith("held ")}
        pressed = {name for name in state if name.startswith("key:")} if up else set()
        ignored = {word[8:] for word in words if word.startswith("ignored ")} & pressed
        if up and not was_up and self.checks:
            ignored |= pressed - {"key:stop"}
        keys = pressed - ignored
        if not powered or not link or "key:stop" in pressed:
            words.discard("armed")
        elif "key:start" in keys and not keys - {"key:start"}:
            words.add("armed")
        closed: set[str] = set()
        for output in self.outputs:
            if self._output(output, state, keys, held, words, powered, link):
                closed.add(output.name)
        self._remember(words, up, pressed, ignored)
        return closed

    def _remember(self, words: set[str], up: bool, pressed: set[str], ignored: set[str]) -> None:
        for word in [w for w in words if w.startswith(("held ", "ignored ")) or w == "up"]:
            words.discard(word)
        if up:
            words.add("up")
        if self.edges:
            words.update(f"held {name}" for name in pressed)
        words.update(f"ignored {name}" for name in ignored)

    def _output(
        self, output: Output, state: frozenset[str], keys: set[str], held: set[str],
        words: set[str], powered: bool, link: bool,
    ) -> bool:  # fmt: skip
        on, lost = f"on {output.name}", f"lost {output.name}"
        if not powered:
            if on in words and output.on_return == "restores":
                words.add(lost)
            words.discard(on)
            return False
        if output.name in self.frozen:
            return on in words
        if not link:
            return self._without_link(output, words)
        if output.on_return == "restores" and lost in words:
            words.discard(lost)
            if "key:stop" not in keys:
                words.add(on)
                words.add(f"restored {output.name}")
        follows = output.mode not in HOLDING
        if keys.intersection(output.yields_to):
            keys = keys - {output.key}
        wanted = output.key in keys
        if output.invert:
            wanted = output.key not in keys
        if follows:
            closed = wanted or self._restored(output, keys, words)
        else:
            closed = self._held(output, state, keys, held, words)
        if output.needs_start and "armed" not in words:
            closed = False
        (
            words.add
            if closed and (self.restores or output.on_loss == "stays" or not follows)
            else words.discard
        )(on)
        return closed

    def _restored(self, output: Output, keys: set[str], words: set[str]) -> bool:
        """A momentary output that came back by itself stays until the next key of any kind."""
        word = f"restored {output.name}"
        if word in words and keys:
            words.discard(word)
        return word in words

    def _without_link(self, output: Output, words: set[str]) -> bool:
        on = f"on {output.name}"
        if output.on_loss == "closes":
            return True
        holds = output.on_loss == "stays" or (output.on_loss is None and output.mode in HOLDING)
        if holds:
            return on in words
        words.discard(on)
        return False

    def _held(
        self, output: Output, state: frozenset[str], keys: set[str], held: set[str], words: set[str]
    ) -> bool:
        closed = f"on {output.name}" in words
        if output.mode == "toggle":
            if output.key in keys and output.key not in held:
                closed = not closed
        elif output.key in keys:
            closed = True
        others = {opposite(output.key)}
        if output.mode == "interlocked-latching":
            others |= {o.key for o in self.outputs if o.channel == output.channel and o is not output}
        if "key:stop" in keys or (keys & others and output.key not in keys):
            closed = False
        if output.mode == "run-to-limit" and _limit(output) in state:
            closed = False
        return closed


def _limit(output: Output) -> str:
    return "limit:" + output.key.partition(":")[2].partition(".")[0]
