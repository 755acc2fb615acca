"""proof.loss-stops: losing the link or the receiver's supply ends every motion."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft
from wiring.check.events import judged
from wiring.check.rule import iec, rule, us


@rule(
    "proof.loss-stops",
    "Loss of link or supply ends every motion",
    danger=1,
    hazard="Out of range nobody is left who could stop the hook.",
    sources=(
        us("29 CFR 1910.179(g)(3)(ix); 1926.553(a)(3)(iii)"),
        iec("Machinery Directive annex I 1.2.1; Regulation (EU) 2023/1230 annex III 1.2.1"),
    ),
    checks="From every settled state the link is lost, and the receiver's supply: every motion ends.",
    needs="The simulation; what each output does on loss (receiver.on_signal_loss or a bench test).",
    does_not_cover="The time until the receiver notices (mode.signal-loss).",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    return judged(case, ("link lost", "supply lost"), "nothing moves once link or supply is gone",
                  "set the outputs to open on loss", "use only NO contacts in the path of a motion",
                  key="receiver.on_signal_loss")  # fmt: skip
