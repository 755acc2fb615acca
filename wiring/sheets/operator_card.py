"""Operator card: one page in large type, to hang beside the hoist. How to stop comes first."""

from __future__ import annotations

from wiring.model.circuit import Stop
from wiring.model.plan import Plan
from wiring.sheets.handover import objections
from wiring.sheets.sheet import Block, Heading, Material, Sheet, Table, Text, head_of

ALWAYS = (
    "Before each shift, without load: every key moves the way it says, letting go stops it, the upper limit "
    "stops it, the stops stop it.",
    "Never lift people. Never stand or reach under the load.",
    "See the load all the time. Keep the transmitter on you; battery out when you put it away.",
    "Something wrong: stop, lower nothing, lock it, tell the owner. Do not try again.",
)
BY_NAME = (
    ("start", "makes ready, every other key let go; nothing may move"),
    ("stop", "ends every motion"),
)


def operator_card(material: Material) -> Sheet:
    """Stops in the order to try them, with their places."""
    plan = material.plan
    blocks: tuple[Block, ...] = (
        *objections(plan),
        Heading("It does not stop when you let go"),
        Table(("", "Do", "Where"), stop_rows(plan), empty="NO STOP IS IN THE CIRCUIT: do not use this hoist"),
        Heading("Always"),
        *(Text(f"{n}. {line}") for n, line in enumerate(ALWAYS, 1)),
        Heading("Keys"),
        Table(("Key", "Moves"), key_rows(plan), empty="not known yet"),
        Text(f"Transmitters for this hoist: {transmitters(plan)}. No other one may be paired."),
        Text("Card valid only for the digest below, and only after hand-over.", "quiet"),
    )
    return Sheet("operator-card", "Operator card", blocks, head_of(plan), card=True)


def stop_rows(plan: Plan) -> tuple[tuple[str, str, str], ...]:
    """Stops at hand first; those that only open a coil circuit are tried too, isolation ends the list."""
    found = sorted(plan.after.stops, key=lambda s: (-s.rank, quickness(s), s.input)) if plan.after else []
    return tuple(
        (
            str(n),
            action(s),
            s.where or ("on the transmitter" if s.input.startswith("key:") else "PLACE NOT STATED"),
        )
        for n, s in enumerate((s for s in found if s.rank > 0), 1)
    )


def quickness(stop: Stop) -> int:
    """Among stops of one reach: what a hand hits first."""
    order = ("radio stop", "wired emergency stop", "local stop", "isolator", "plug")
    return order.index(stop.kind) if stop.kind in order else len(order)


def action(stop: Stop) -> str:
    """What the operator does to work a stop."""
    name = stop.input.partition(":")[2]
    if stop.kind == "plug":
        return "pull the plug"
    if stop.kind == "radio stop":
        return "press the STOP key"
    return f"{'switch off' if stop.kind == 'isolator' else 'press'} {stop.kind} {name}"


def key_rows(plan: Plan) -> tuple[tuple[str, str], ...]:
    """What each key alone moves, read from the truth table, in the order of the outputs;
    START and STOP last."""
    if plan.behaviour is None:
        return ()
    order = [o.key for o in plan.job.receiver.outputs]
    rows = []
    for row in plan.behaviour.after.rows:
        keys = [k for k in row.pressed if k.startswith("key:")]
        if row.motions and not row.open and keys and len({k.partition(".")[0] for k in keys}) == 1:
            rows.append((max(keys, key=len).removeprefix("key:"), ", ".join(row.motions)))
    rows.sort(key=lambda r: order.index(r[0]) if r[0] in order else len(order))
    named = [(key.replace(".2", ", second step"), moves) for key, moves in rows]
    keys_there = {key for sender in plan.job.transmitters for key in sender.keys}
    named += [(key, does) for key, does in BY_NAME if key in keys_there]
    return tuple(dict.fromkeys(named))


def transmitters(plan: Plan) -> str:
    """Transmitters by id."""
    return ", ".join(t.id for t in plan.job.transmitters) or "none listed"
