"""proof.sneak: no load stands at a partial voltage that may hold it."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Comparison, Draft, compared, passed
from wiring.check.loads import alternating
from wiring.check.rule import iec, rule, us
from wiring.check.states import words
from wiring.files.quantity import show
from wiring.model.behaviour import Sneak


@rule(
    "proof.sneak",
    "No load at a partial voltage",
    danger=1,
    hazard="A coil at half its voltage may hold a contactor in after release.",
    sources=(
        us("IEC 60947-4-1 limits of operation as makers declare them; NEMA ICS 5"),
        iec("IEC 60947-4-1 limits of operation"),
    ),
    checks="Every load with a voltage that is neither nothing nor full, in any settled state: below the "
    "must-drop limit "
    "no objection, up to pick-up it may hold, above it picks up. The path is printed.",
    needs="The simulation; coil data.",
    does_not_cover="Ghost voltages on points that float.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    found: dict[tuple[str, str], Sneak] = {}
    for sneak in case.behaviour.sneaks:
        key = (sneak.subject, sneak.about)
        if sneak.kind == "partial-voltage" and (key not in found or sneak.fraction > found[key].fraction):
            found[key] = sneak
    for (subject, about), sneak in found.items():
        yield from case.each([(subject, sneak)], lambda s, x: judge(case, s, x), about)
    if not any(about == "after" for _, about in found):
        yield passed(
            "loads", "no load stands at a partial voltage in any settled state", "full voltage or none"
        )


def judge(case: Case, subject: str, sneak: Sneak) -> Draft:
    """One load at its worst partial voltage."""
    column = "ac" if alternating(case.circuit(sneak.about)) else "dc"
    drop = case.cell("coil-limits", "must-drop", column)
    pick = case.cell("coil-limits", "pick-up", column)
    word = "picks up" if sneak.fraction >= pick else "may hold"
    share = f"{words(sneak.state)}: {show(sneak.volts, 'V', toward='up')}, {sneak.fraction:.2f} of rated"
    found = share if sneak.fraction < drop else f"{share}: {word}"
    return compared(subject, Comparison(sneak.fraction, drop, "at-most", "1"), found,
                    f"below {drop:g} of rated, where it must have let go",
                    "break the path: give the cores contacts of their own", "put a bleeder across the coil",
                    about=sneak.about, path=" -> ".join(sneak.path), key="connection")  # fmt: skip
