"""conductor.spares: cut-back cores are capped, no stub of the old cord is left connected."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.answers import answered
from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.rule import iec, rule, us


@rule(
    "conductor.spares",
    "Cut cores capped, no stub left",
    danger=1,
    hazard="A stub of the old cord that hangs in the hoist is a button that nobody guards: pinched, it "
    "moves the hook.",
    sources=(
        us("NEC 590.7, 110.12(A)"),
        iec("IEC 60204-1 13.1; DGUV practice on radio retrofits", "memory"),
    ),
    checks="Every core that stays is either landed or capped; nothing of the old cord stays connected "
    "without use.",
    needs='cord.fate; [[connection]] rows; [[answer]] requirement = "conductor.spares" that loose ends are '
    "capped.",
    does_not_cover="How well they are capped.",
    stage="installed",
)
def check(case: Case) -> Iterable[Draft]:
    job, wanted = case.job, "landed, or capped at both ends and tagged"
    if job.cord.fate is None:
        yield unknown("cord", "what happens to the old cord is not stated", "removed, tail-kept or kept",
                      "state cord.fate", key="cord.fate")  # fmt: skip
        return
    capped = answered(case, "conductor.spares")
    if job.cord.fate == "removed":
        used = {c.id for c in job.cores if any(f"core:{c.id}" in (x.from_, x.to) for x in job.connections)}
        gone = [c.id for c in job.cores if c.id not in used]
        note = f"; terminals left empty: cores {', '.join(gone)}" if gone else ""
        yield passed("cord", f"the cord is removed{note}", wanted, key="cord.fate")
        return
    kept = job.pendant.fate in ("stop-kept", "kept-with-selector")
    for core in job.cores:
        landed = any(f"core:{core.id}" in (x.from_, x.to) for x in job.connections)
        if landed or kept:
            yield passed(f"core:{core.id}", "landed", wanted)
        elif job.cord.fate == "kept":
            yield failed(f"core:{core.id}", "the whole old cord stays connected and carries nothing", wanted,
                         "remove the cord", "cut it back and cap it", key="cord.fate")  # fmt: skip
        elif capped:
            yield passed(f"core:{core.id}", capped, wanted, key="answer")
        else:
            yield unknown(f"core:{core.id}", "cut back, not landed; capping is not stated", wanted,
                          'cap it and say so: [[answer]] requirement = "conductor.spares"',
                          key="answer")  # fmt: skip
