"""mode.radio-stop: what the transmitter's stop is and what it is not."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.rule import iec, rule, us
from wiring.check.states import command, commands, settled_at


@rule(
    "mode.radio-stop",
    "Stop function on the transmitter",
    danger=1,
    hazard="A radio stop on one relay fails with that relay; called an emergency stop it is trusted too far.",
    sources=(
        us("29 CFR 1910.179(g)(5)(iii); ASME B30.2 on remote stations (read in part)"),
        iec("ISO 13850 4.1.5, 4.6; EN 13135 (recalled); IEC 62745 (recalled)"),
    ),
    checks="Whether the transmitter has a stop, on how many outputs, redundant or not, with which claimed "
    "level and by "
    "whom. Hoisting without a redundant stop output fails (iec); in the us it is unknown unless a wired "
    "stop ends every "
    "motion. A radio stop alone is never an emergency stop device and never an isolation.",
    needs="receiver.stop_function with exists, outputs, redundant, level, claimed_by.",
    does_not_cover="Whether the claim is true: ask for the certificate.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    return case.each([("stop function", None)], lambda s, _: judge(case, s))


def judge(case: Case, subject: str) -> Draft:
    """The stop function against the duty."""
    facts, key = case.job.receiver.stop_function, "receiver.stop_function"
    wanted = "a redundant stop output for hoisting, or a wired stop that ends every motion"
    wired = wired_stops(case)
    also = f"; wired: {', '.join(wired)} ends every motion" if wired else "; no wired stop ends every motion"
    if facts is None or facts.exists is None:
        return unknown(subject, f"whether the transmitter has a stop is not stated{also}", wanted,
                       "state receiver.stop_function", key=key)  # fmt: skip
    hoisting = any(m.duty == "hoist" for m in case.after.motors)
    if facts.exists and facts.redundant:
        if not facts.level or not facts.claimed_by:
            return unknown(subject, f"redundant, {facts.outputs or '?'} outputs; level and who claims it "
                                    "are not stated",
                           "a claimed level with a name behind it", "ask for the certificate of the stop "
                                                                    "function", key=key)  # fmt: skip
        return passed(
            subject, f"redundant, {facts.level} claimed by {facts.claimed_by}{also}", wanted, key=key
        )
    has = "one stop output, not redundant" if facts.exists else "no stop on the transmitter"
    if not hoisting:
        return passed(subject, f"{has}; nothing is hoisted{also}", wanted, key=key)
    remedies = ("use a receiver with two stop outputs in series", "add a wired emergency stop within reach")
    if case.region == "iec":
        return failed(subject, f"{has}{also}", wanted, *remedies, key=key)
    if wired:
        return passed(subject, f"{has}{also}", wanted, key=key)
    return unknown(
        subject, f"{has}{also}; federal rules ask for a stop that opens the line", wanted, *remedies, key=key
    )


def wired_stops(case: Case) -> list[str]:
    """Wired stops of rank 2 or more, isolators left out, that end every motion of the converted hoist."""
    found = []
    for stop in case.after.stops:
        if stop.kind in ("isolator", "plug", "radio stop") or stop.rank < 2:
            continue
        states = [command(case, "after", bare) for bare in commands(case.after)]
        running = [s for s in states if settled_at(case, "after", s).motions]
        if running and not any(settled_at(case, "after", s | {stop.input}).motions for s in running):
            found.append(stop.input)
    return found
