"""mode.dead-time: a reversal leaves the time its motor needs."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Comparison, Draft, Missing, compared, passed
from wiring.check.rule import both, rule
from wiring.check.rules.mode_opposing import mechanical
from wiring.check.states import command, opposed, settled_at
from wiring.files.quantity import show
from wiring.model.circuit import Motor

#: Motors that keep their old direction until they have nearly stopped.
_STARTING_SWITCH = ("main-auxiliary",)


@rule(
    "mode.dead-time",
    "Pause before the opposite direction",
    danger=1,
    hazard="Relays let go slower than they pick up: for a moment both directions are on.",
    sources=(both("trade practice; relay data pages on release times", "practice"),),
    checks="The pause between opposing outputs: with relays alone the usual shortest pause, with a "
    "mechanical interlock "
    "none, for a motor with a starting switch the time of a full stop.",
    needs="receiver.dead_time from the data sheet.",
    does_not_cover="Plugging of a loaded motor, which the gear and brake must bear.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    return case.each(opposed(case.after), lambda s, pair: judge(case, s, pair))


def judge(case: Case, subject: str, pair: tuple[str, str]) -> Draft:
    """One pair of opposing directions."""
    one = settled_at(case, "after", command(case, "after", pair[0]))
    two = settled_at(case, "after", command(case, "after", pair[1]))
    motors = {m.name: m for m in case.after.motors if m.positive in one.motions or m.negative in one.motions}
    slow = [m for m in motors.values() if m.kind in _STARTING_SWITCH]
    locked = mechanical(case.after, set(one.energised), set(two.energised))
    if locked and not slow:
        return passed(
            subject,
            "a mechanical interlock keeps the contactors apart",
            "no overlap",
            key="receiver.dead_time",
        )
    if all(m.kind == "drive" for m in motors.values()) and motors:
        return passed(
            subject, "the drive ramps down before it reverses", "no overlap", key="receiver.dead_time"
        )
    stated = case.job.receiver.dead_time
    if stated is None:
        raise Missing("receiver.dead_time", "read it on the data sheet, or time it on the bench")
    pause = case.amount(stated, "receiver.dead_time", unit="s")
    row = "full-stop" if slow else "dead-time"
    limit = case.cell("hoist-practice", row, "time")
    why = (
        f"{_names(slow)} keeps its direction until it stops"
        if slow
        else "relays alone keep the outputs apart"
    )
    return compared(subject, Comparison(pause, limit, "at-least", "s"), f"{show(pause, 's')} pause; {why}",
                    f"at least {show(limit, 's')} (common practice)", "set a dead time in the receiver",
                    "use a contactor pair with a mechanical interlock", key="receiver.dead_time")  # fmt: skip


def _names(motors: list[Motor]) -> str:
    return ", ".join(m.name for m in motors)
