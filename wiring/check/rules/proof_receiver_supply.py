"""proof.receiver-supply: the receiver's supply holds in every state."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown, with_number
from wiring.check.rule import iec, rule, us
from wiring.check.states import words
from wiring.files.quantity import show
from wiring.model.behaviour import Settled
from wiring.model.circuit import Part

#: Below this share of its minimum a receiver is plainly off, which is a state of its own.
_OFF = 0.05


@rule(
    "proof.receiver-supply",
    "Receiver supply holds in every state",
    danger=1,
    hazard="A receiver fed across a core that it switches goes out, comes back and starts again by itself.",
    sources=(us("receiver's data sheet"), iec("receiver's data sheet; IEC 60204-1 4.3")),
    checks="The voltage across the receiver's supply in every settled state: in range, or plainly off where "
    "a stop, an "
    "isolator or a tripped device takes the supply away.",
    needs="The receiver's supply range; both ends of its supply landed.",
    does_not_cover="Dips while a motor starts (supply.range).",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    inputs = [p for p in case.after.parts if p.kind == "supply-input"]
    return case.each([(p.name, p) for p in inputs], lambda s, p: judge(case, s, p))


def judge(case: Case, subject: str, part: Part) -> Draft:
    """One supply input over all settled states."""
    low = case.of(part, "minimum", "read the receiver's supply range on its data sheet")
    high = case.of(part, "maximum", "read the receiver's supply range on its data sheet")
    wanted = f"{show(low, 'V')} to {show(high, 'V')} in every state"
    seen: list[float] = []
    for settled in case.settled("after"):
        if "supply" in settled.state:
            continue
        volts = abs(settled.volts.get(part.name, 0j))
        off = volts < _OFF * low
        if off and _cut(settled):
            continue
        if off and not settled.state:
            return failed(subject, f"nothing pressed: {show(volts, 'V')}, its supply is not landed", wanted,
                          "land both ends of the receiver's supply", key="connection")  # fmt: skip
        # the last digit of an ideal circuit is arithmetic, not a dip
        if not low * 0.999 <= volts <= high * 1.001:
            draft = failed(subject, f"{words(settled.state)}: {show(volts, 'V', toward='down')}", wanted,
                           "take the return from the terminal that is neutral in every state",
                           "take the supply before everything the receiver switches",
                           key="connection")  # fmt: skip
            sense, limit = ("at-least", low) if volts < low else ("at-most", high)
            return with_number(draft, volts, "V", sense, limit)
        seen.append(volts)
    if not seen:
        return unknown(
            subject, "no state with the supply on was settled", wanted, "state the supply", key="supply"
        )
    return passed(subject, f"{show(min(seen), 'V', toward='down')} to {show(max(seen), 'V', toward='up')} in "
                  f"{len(seen)} states", wanted)  # fmt: skip


def _cut(settled: Settled) -> bool:
    """True where something that is meant to take the supply away is operated, or a fuse is open."""
    return bool(settled.blown) or any(s.startswith(("stop:", "thermal:", "selector:")) for s in settled.state)
