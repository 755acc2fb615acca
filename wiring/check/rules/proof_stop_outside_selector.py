"""proof.stop-outside-selector: a kept wired stop acts whatever the selector says."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed
from wiring.check.rule import iec, rule, us
from wiring.check.states import moving, settled_at, with_implied, words
from wiring.model.circuit import Stop


@rule(
    "proof.stop-outside-selector",
    "Wired stops act in every selector position",
    danger=1,
    hazard="A stop that works only while its own station is selected is pressed in vain.",
    sources=(
        us("ASME B30.2, B30.17 on two stations (read in part)"),
        iec("ISO 13850 4.1.1; Machinery Directive annex I 1.2.4.3; IEC 60204-1 9.2.4.7 (recalled)"),
    ),
    checks="Every wired stop in every position of every selector with every command held: it ends the "
    "motion.",
    needs="A selector and a wired stop in the converted circuit.",
    does_not_cover="Stops whose contact sits in the receiver (mode.radio-stop).",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    selectors = [i.name for i in case.after.inputs if i.kind == "selector"]
    if not selectors:
        return ()
    wired = [
        s for s in case.after.stops if s.input.startswith("stop:") and s.kind not in ("isolator", "plug")
    ]
    return case.each([(s.input, s) for s in wired], lambda subject, s: judge(case, subject, s, selectors))


def judge(case: Case, subject: str, stop: Stop, selectors: list[str]) -> Draft:
    """One wired stop over all selector positions and commands."""
    wanted = "it ends every motion in every selector position"
    tried = 0
    held = [i.name for i in case.after.inputs if i.kind in ("key", "button")]
    for position in [frozenset[str](), *(with_implied(case.after, s) for s in selectors)]:
        for name in held:
            state = with_implied(case.after, name) | position
            if not settled_at(case, "after", state).motions:
                continue
            tried += 1
            left = settled_at(case, "after", state | {stop.input}).motions
            if left:
                return failed(subject, f"{words(state | {stop.input})}: {moving(left)}", wanted,
                              "take the stop out of the selector's path, into the common feed",
                              key="connection")  # fmt: skip
    return passed(subject, f"ends the motion in all {tried} positions and commands that run", wanted)
