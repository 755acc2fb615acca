"""supply.tap: where the receiver's supply is taken."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.rule import iec, rule, us
from wiring.check.states import command, commands, settled_at
from wiring.model.circuit import Part

_OFF = 0.05


@rule(
    "supply.tap",
    "Receiver supply taken at a good place",
    danger=1,
    hazard="Taken before the isolator the receiver stays live behind the lock; across a load it changes "
    "with every key.",
    sources=(
        us("trade practice; NEC 430.75(A)", "practice"),
        iec("trade practice; IEC 60204-1 5.3", "practice"),
    ),
    checks="Whether the supply is dead with the isolator open, steady under every key, and what a stop does "
    "to it: the "
    "normal place is behind the isolator and before the main contactor. Behind a stop it must power up off; "
    "behind the "
    "main contactor no key can close it again.",
    needs="The converted circuit; receiver.on_supply_return where the supply goes with a stop.",
    does_not_cover="Whether that circuit has capacity (supply.transformer).",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    return case.each(
        [(p.name, p) for p in case.after.parts if p.kind == "supply-input"], lambda s, p: judge(case, s, p)
    )


def judge(case: Case, subject: str, part: Part) -> Draft:
    """One supply input."""
    wanted = "behind the isolator, before the main contactor, steady under every key"
    full = level(case, part, ())
    if full == 0.0:
        return unknown(
            subject, "it has no supply at rest", wanted, "land both ends of the supply", key="connection"
        )
    isolators = [s for s in case.after.stops if s.kind in ("isolator", "plug")]
    still = [s.input for s in isolators if level(case, part, (s.input,)) > _OFF * full]
    if isolators and len(still) == len(isolators):
        return failed(subject, f"still live with {', '.join(still)} open: it is taken before the isolator "
                               "or elsewhere",
                      wanted, "take it behind the isolator", key="connection")  # fmt: skip
    changing = [
        c
        for c in commands(case.after)
        if abs(level(case, part, command(case, "after", c)) - full) > 0.1 * full
    ]
    if changing:
        return failed(subject, f"changes when {', '.join(changing)} is held: it lies across a load", wanted,
                      "take it from feed and terminal strip", key="connection")  # fmt: skip
    stops = [s.input for s in case.after.stops
             if s.kind not in ("isolator", "plug", "radio stop") and level(case, part, (s.input,
                 )) <= _OFF * full]  # fmt: skip
    radio = [s for s in case.after.stops if s.kind == "radio stop"]
    if any(level(case, part, (s.input,)) <= _OFF * full for s in radio):
        return failed(subject, "the radio stop takes the receiver's own supply: no key can start again",
            wanted,
                      "take it before the main contactor", "add a START button at the hoist",
                      key="connection")  # fmt: skip
    if not stops:
        return passed(
            subject, "behind the isolator, before stops and main contactor; label: live after a stop", wanted
        )
    state = case.job.receiver.on_supply_return or (
        case.receiver_type.on_return if case.receiver_type else None
    )
    if state == "off":
        return passed(
            subject,
            f"goes with {', '.join(stops)}; it powers up off",
            wanted,
            key="receiver.on_supply_return",
        )
    if state == "restores":
        return failed(subject, f"goes with {', '.join(stops)} and takes its last state back", wanted,
                      "take it before the stop", key="receiver.on_supply_return")  # fmt: skip
    return unknown(subject, f"goes with {', '.join(stops)}; how it powers up is not known", wanted,
                   "bench-test it: supply-return", key="receiver.on_supply_return")  # fmt: skip


def level(case: Case, part: Part, state: Iterable[str]) -> float:
    """Voltage on a part in a state. [V]"""
    return abs(settled_at(case, "after", state).volts.get(part.name, 0j))
