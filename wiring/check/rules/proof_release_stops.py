"""proof.release-stops: letting go of the key ends the motion, from every state."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft
from wiring.check.events import judged
from wiring.check.rule import iec, rule, us


@rule(
    "proof.release-stops",
    "Release ends the motion",
    danger=1,
    hazard="An operator who lets go believes that the hook stands.",
    sources=(
        us("29 CFR 1910.179(g)(3)(vii); ASME B30.16 16-1.2.11"),
        iec("Machinery Directive annex I 4.2.1; IEC 60204-1 9.2.3.7 (clause id recalled)"),
    ),
    checks="From every settled state the keys are let go: every motion ends.",
    needs="The simulation of both circuits with the modes as set.",
    does_not_cover="How long it takes (mode.stop-travel), keys that stick.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    return judged(case, ("release",), "nothing moves once the keys are let go",
                  "set the outputs to momentary", "look for a contact that seals itself in",
                  key="receiver.output")  # fmt: skip
