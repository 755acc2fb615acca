"""proof.backup-limit: back-up and capacity limiters still do their own work."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.events import events
from wiring.check.rule import iec, rule, us
from wiring.check.states import base, command, commands, moving, settled_at, words
from wiring.model.circuit import Limit


@rule(
    "proof.backup-limit",
    "Back-up and capacity limiters keep their function",
    danger=1,
    hazard="A back-up limit that the transmitter can reset is no second limit.",
    sources=(
        us("MIL-HDBK-1038 hoist limits; ASME B30.16 limit devices"),
        iec("EN 12077-2 4.6.1.4, 4.4.2; DGUV Vorschrift 52 section 15 (2)"),
    ),
    checks="A back-up limiter open: both directions blocked, its reset not among the transmitter's keys. A "
    "capacity "
    "limiter open: up blocked, down allowed, and up stays blocked after it closes until the key was let go.",
    needs="Limiters of the type with their kind and reset.",
    does_not_cover="The setting of a limiter.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    special = [x for x in case.after.limits if x.kind in ("back-up", "capacity")]
    return case.each([(x.input, x) for x in special], lambda s, x: judge(case, s, x))


def judge(case: Case, subject: str, limit: Limit) -> Draft:
    """One back-up or capacity limiter."""
    runs = [
        (c, settled_at(case, "after", command(case, "after", c) | {limit.input}))
        for c in commands(case.after)
    ]
    axis = base(limit.motion).partition(" ")[0]
    same = [(c, s) for c, s in runs if any(base(m).startswith(axis) for m in s.motions)]
    if limit.kind == "back-up":
        wanted = "both directions blocked until a reset that the transmitter cannot do"
        if same:
            return failed(subject, f"{words(same[0][1].state)}: {moving(same[0][1].motions)}", wanted,
                          "put it into the main contactor's coil circuit", key="connection")  # fmt: skip
        if limit.reset.startswith("key:"):
            return failed(
                subject,
                f"reset by {limit.reset}",
                wanted,
                "put the reset on the hoist",
                key="receiver.output",
            )
        if not limit.reset:
            return unknown(
                subject, "how it is reset is not known", wanted, "find the reset and state it in the type"
            )
        return passed(subject, f"both directions blocked; reset: {limit.reset}", wanted)
    wanted = "up blocked, down allowed, up blocked until the key was let go"
    rising = [s for _, s in same if any(base(m) == base(limit.motion) for m in s.motions)]
    if rising:
        return failed(subject, f"{words(rising[0].state)}: {moving(rising[0].motions)}", wanted,
                      "land the output before the limiter", key="connection")  # fmt: skip
    if not same:
        return failed(subject, "overload: the load cannot be lowered either", wanted,
                      "let the limiter open the up path alone", key="connection")  # fmt: skip
    back = [e for e in events(case, ("limit back",)) if e.subject == limit.input]
    if any(e.motions for e in back):
        return failed(subject, "limiter closes with the up key held: the hoist lifts on", wanted,
                      "use a limiter relay that holds until up is let go", key="device")  # fmt: skip
    if not back:
        return unknown(
            subject, "its closing with the key held was not run", wanted, "try it at commissioning"
        )
    return passed(subject, "up blocked, down allowed, up stays blocked with the key held", wanted)
