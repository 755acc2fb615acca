"""What a fault name does to a circuit, as plain sets that an engine can apply.

The words are the ones of `faults`: `<part> stuck-closed | stuck-open | stuck-in
| open | short`, `short A B`, `live A B`, `earth A`, `swap A B`, `A jammed B`,
`stop:ES detached`, `button:up stuck`, `key:stop dead`, `receiver:<channel>
frozen`, `<output> on | latching`, `receiver:loss-timer stuck`,
`receiver:memory restores`.
"""

from __future__ import annotations

from dataclasses import dataclass, field, fields

from wiring.model.circuit import Circuit, Part


@dataclass(frozen=True, slots=True)
class Effect:
    """The sum of a fault set. All sets hold part, input, output or channel names.

    closed: conduct always; opened: conduct never; coils_in, coils_out: held
    regardless of voltage; dead: loads that carry no current; joins: points tied
    together; swaps: sources that trade places; jammed: interlocks that no longer
    block; detached: stops without effect; stuck, dead_keys: inputs held operated,
    inputs without effect; frozen: channels that hold what they had; on: outputs
    closed whatever is commanded; latching: outputs in the wrong mode.
    """

    closed: frozenset[str] = frozenset()
    opened: frozenset[str] = frozenset()
    coils_in: frozenset[str] = frozenset()
    coils_out: frozenset[str] = frozenset()
    dead: frozenset[str] = frozenset()
    joins: frozenset[tuple[str, str]] = frozenset()
    swaps: frozenset[tuple[str, str]] = frozenset()
    jammed: frozenset[tuple[str, str]] = frozenset()
    detached: frozenset[str] = frozenset()
    stuck: frozenset[str] = frozenset()
    dead_keys: frozenset[str] = frozenset()
    frozen: frozenset[str] = frozenset()
    on: frozenset[str] = frozenset()
    latching: frozenset[str] = frozenset()
    loss_stuck: bool = False
    restores: bool = False


@dataclass(slots=True)
class _Sum:
    """An Effect under construction."""

    found: dict[str, set[object]] = field(default_factory=dict)

    def add(self, where: str, *what: object) -> None:
        self.found.setdefault(where, set()).update(what)


#: the last word of a name to the set it fills, where the subject goes in as it is
_PLAIN = {
    "stuck-closed": "closed",
    "stuck-open": "opened",
    "stuck-in": "coils_in",
    "detached": "detached",
    "stuck": "stuck",
    "dead": "dead_keys",
    "on": "on",
    "latching": "latching",
}


def effect(circuit: Circuit, names: tuple[str, ...]) -> Effect:
    """What these faults do together. Raises KeyError for a name the circuit does not know."""
    parts = {part.name: part for part in circuit.parts}
    total = _Sum()
    for name in names:
        _one(circuit, parts, name, total)
    flags = {"loss_stuck", "restores"}
    made = {f.name: frozenset(total.found.get(f.name, ())) for f in fields(Effect) if f.name not in flags}
    return Effect(
        **made,  # type: ignore[arg-type]
        loss_stuck="loss_stuck" in total.found,
        restores="restores" in total.found,
    )


def _one(circuit: Circuit, parts: dict[str, Part], name: str, total: _Sum) -> None:
    words = name.split(" ")
    if words[0] in ("short", "live"):
        total.add("joins", (point(circuit, parts, words[1]), point(circuit, parts, words[2])))
    elif words[0] == "earth":
        total.add("joins", (point(circuit, parts, " ".join(words[1:])), circuit.earth))
    elif words[0] == "swap":
        total.add("swaps", (parts[words[1]].name, parts[words[2]].name))
    elif len(words) == 3 and words[1] == "jammed":
        total.add("jammed", (words[0], words[2]))
    else:
        _suffixed(circuit, parts, name, total)


def _suffixed(circuit: Circuit, parts: dict[str, Part], name: str, total: _Sum) -> None:
    subject, _, how = name.rpartition(" ")
    if name == "receiver:loss-timer stuck":
        total.add("loss_stuck", True)
    elif name == "receiver:memory restores":
        total.add("restores", True)
    elif how == "frozen":
        channel = subject.removeprefix("receiver:")
        if channel not in {out.channel for out in circuit.outputs}:
            raise KeyError(name)
        total.add("frozen", channel)
    elif how in ("open", "short"):
        _part(parts[subject], how, total)
    elif how in _PLAIN:
        _known(circuit, parts, subject, name)
        total.add(_PLAIN[how], subject)
    else:
        raise KeyError(name)


def _part(part: Part, how: str, total: _Sum) -> None:
    """Open or short of a part, by its kind."""
    if how == "short":
        total.add("joins", (part.pins[0], part.pins[1]))
        total.add("dead", part.name)
        if part.kind == "coil":
            total.add("coils_out", part.name)
    elif part.kind == "coil":
        total.add("coils_out", part.name)
        total.add("dead", part.name)
    elif part.kind in ("wire", "fuse"):
        total.add("opened", part.name)
    else:
        total.add("dead", part.name)


def _known(circuit: Circuit, parts: dict[str, Part], subject: str, name: str) -> None:
    known = parts.keys() | {i.name for i in circuit.inputs} | {o.name for o in circuit.outputs}
    if subject not in known:
        raise KeyError(name)


def point(circuit: Circuit, parts: dict[str, Part], name: str) -> str:
    """The point meant by a core, conductor, alias or point name. Raises KeyError for another name."""
    if name in parts:
        return parts[name].pins[0]
    if name in circuit.aliases:
        return circuit.aliases[name]
    if name == circuit.earth or any(p.name == name for p in circuit.points):
        return name
    raise KeyError(name)
