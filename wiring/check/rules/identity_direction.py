"""identity.direction: which core lifts and which lowers."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.asked import record
from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.readings import seen
from wiring.check.rule import both, rule
from wiring.check.states import OPPOSITE


@rule(
    "identity.direction",
    "Up and down told apart",
    danger=1,
    hazard="With the directions swapped the upper limit watches the lowering motion.",
    sources=(both("accident reports on swapped phases; trade practice of the no-load bump", "read"),),
    checks="Each pair of opposing cores told apart by a limit held open (the core goes open), by a trace, "
    "or by the bump "
    "without load at commissioning.",
    needs="A reading with state `open limit:up`, core.by = traced, or a record `direction-up`.",
    does_not_cover="A supply whose phases are swapped later.",
    stage="commissioned",
    wants="job",
)
def check(case: Case) -> Iterable[Draft]:
    roles = {c.role: c for c in case.job.cores if c.role}
    pairs = [(f"{a} and {b}", (a, b)) for a, b in OPPOSITE.items() if a in roles and b in roles and a > b]
    return case.each(pairs, lambda s, pair: judge(case, s, pair))


def judge(case: Case, subject: str, pair: tuple[str, str]) -> Draft:
    """One pair of directions."""
    wanted = "told apart by an opened limit, a trace or the no-load bump"
    cores = {c.role: (i, c) for i, c in enumerate(case.job.cores) if c.role in pair}
    for role in pair:
        last, current = record(case, f"direction-{role}")
        if last is not None and current:
            if last.measured.strip().lower() in (role, "ok", "right", "as wanted", f"moves {role}"):
                return passed(subject, f"bump: {role} moves {role}", wanted, key="record")
            return failed(subject, f"bump of {role}: {last.measured}", wanted,
                          "a qualified person swaps the two command cores (single-phase) or two lines of "
                          "the supply "
                          "(three-phase)", key="record")  # fmt: skip
    for role in pair:
        index, core = cores[role]
        if core.by == "traced":
            return passed(subject, f"core {core.id} was traced", wanted, key=f"core.{index}.by")
        rows = [r for r in seen(case.job) if f"limit:{role}" in r.state and f"core:{core.id}" in (r.a, r.b)]
        if any(r.value == "OL" or (not isinstance(r.value, str) and r.value > 1e6) for r in rows):
            return passed(subject, f"core {core.id} opens with the {role} limit", wanted, key="reading")
        if rows:
            return failed(subject, f"core {core.id} does not open with the {role} limit", wanted,
                          "the roles are the other way round: measure again", key="reading")  # fmt: skip
    return unknown(subject, "nothing tells them apart yet", wanted,
                   f"hold the {pair[0]} limit open by hand and read its core, or bump at commissioning",
                   key="reading")  # fmt: skip
