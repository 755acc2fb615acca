"""proof.both-pressed: opposing keys together do no harm."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed
from wiring.check.rule import iec, rule, us
from wiring.check.states import command, moving, opposed, settled_at
from wiring.model.behaviour import Settled


@rule(
    "proof.both-pressed",
    "Opposing keys together do no harm",
    danger=1,
    hazard="Both directions at once short the supply, discharge the capacitor through the contacts or stall "
    "the motor.",
    sources=(
        us("ASME B30.2 2-1.13; UL 508 interlocking of reversing contactors (recalled)", "memory"),
        iec("IEC 60204-1 9.3.4; IEC 60204-32 9.3.4 (recalled)", "memory"),
    ),
    checks="The settled state with both opposing keys held: no source short, no motor with current and no "
    "torque, no "
    "race between coils that a mechanical interlock does not decide.",
    needs="Both circuits; the interlocks of added contactors.",
    does_not_cover="Overlap shorter than a coil's own time (mode.dead-time) and a jammed interlock "
    "(proof.single-fault).",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    def judge(subject: str, pair: tuple[str, str]) -> Draft:
        state = command(case, "after", pair[0]) | command(case, "after", pair[1])
        settled = settled_at(case, "after", state)
        wanted = "no short, no stall, no race"
        interlock = "use a contactor pair with a mechanical interlock, cross-wire its NC contacts"
        if settled.shorts:
            return failed(subject, f"short: {'; '.join(settled.shorts)}", wanted, interlock, key="device")
        stalled = [m for m, torque in settled.torque.items() if torque in ("stall", "single-phase")]
        if stalled:
            return failed(subject, f"{', '.join(stalled)} carries current and makes no torque", wanted,
                interlock,
                          key="device")  # fmt: skip
        race = raced(case, settled)
        if race and not decided(case, settled):
            return failed(subject, f"a race: {race}", wanted, interlock, key="device")
        note = "; the first one pressed wins" if race else ""
        return passed(subject, f"{moving(settled.motions)}{note}", wanted)

    return case.each(opposed(case.after), judge)


def raced(case: Case, settled: Settled) -> str:
    """What the order of coil changes decides, empty where it decides nothing."""
    for race in case.behaviour.races:
        if race.about == "after" and frozenset((*race.pressed, *race.open)) == settled.state:
            return " or ".join(moving(o) for o in race.outcomes)
    return "the order of the coils decides" if settled.race else ""


def decided(case: Case, settled: Settled) -> bool:
    """True where a mechanical interlock keeps the racing coils apart, whoever comes first."""
    held = set(settled.energised)
    return any(a in held or b in held for a, b in case.after.interlocks)
