"""proof.no-uncommanded: nothing moves in any state without its key."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed
from wiring.check.feeds import fed_over
from wiring.check.rule import iec, rule, us
from wiring.check.states import base, commands, moving, settled_at, words
from wiring.model.behaviour import Row, Truth


@rule(
    "proof.no-uncommanded",
    "Nothing moves without its key",
    danger=1,
    hazard="A motion nobody commanded has nobody watching it.",
    sources=(
        us("29 CFR 1910.179(g)(3)(viii),(ix)"),
        iec("Machinery Directive annex I 1.2.1, 1.2.3; IEC 60204-1 9.4.1"),
    ),
    checks="Every feasible state of both circuits: each motion that is seen has its key (or button) pressed.",
    needs="The truth tables of both circuits.",
    does_not_cover="Faults (proof.single-fault) and outputs that stayed closed from before "
    "(proof.release-stops).",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    for about, truth in (("after", case.behaviour.after), ("before", case.behaviour.before)):
        allowed = {f"{k}:{c}": {base(m) for m in motions} for c,
        motions in commands(case.circuit(about)).items()
                   for k in ("key", "button")}  # fmt: skip
        motions = sorted({base(m) for ms in commands(case.circuit(about)).values() for m in ms})
        bad = [(m, row) for row in truth.rows for m in row.motions if base(m) not in _commanded(row, allowed)]
        for motion in motions:
            rows = [row for m, row in bad if base(m) == motion]
            if rows:
                row = min(rows, key=lambda r: len(r.pressed) + len(r.open))
                state = words((*row.pressed, *row.open))
                settled = settled_at(case, about, (*row.pressed, *row.open))
                yield failed(motion, f"{state}: {moving(row.motions)}", "no motion without its key",
                             "follow the path that feeds it in this state", about=about,
                             key="connection", path=fed_over(case.circuit(about), settled))  # fmt: skip
            elif about == "after":
                yield passed(motion, f"only with its key, in {_counted(truth)}", "no motion without its key")


def _commanded(row: Row, allowed: dict[str, set[str]]) -> set[str]:
    return {m for name in row.pressed for m in allowed.get(name, ())}


def _counted(truth: Truth) -> str:
    return f"all {truth.vectors} states" if truth.complete else f"{len(truth.rows)} sampled states"
