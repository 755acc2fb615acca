"""Whether the hoist may be handed over by its records: one sentence, and what is in the way."""

from __future__ import annotations

from wiring.model.finding import Verdict
from wiring.model.plan import Plan
from wiring.sheets.sheet import Material, Text

BEFORE = "as-found"  # records of the hoist before the work: no commissioning test
WORDS = {"reject": "rejected", "repeat": "to repeat", "missing": "missing"}


def in_the_way(material: Material) -> tuple[str, ...]:
    """What keeps the hoist from being handed over, worst first; empty where nothing does."""
    plan = material.plan
    found = []
    for answer in ("reject", "repeat", "missing"):
        ids = [o.step.id for o in material.outcomes if o.answer == answer]
        if ids:
            found.append(f"{len(ids)} commissioning records {WORDS[answer]}: {shortened(ids)}")
    tests = {o.step.id for o in material.outcomes}
    stray = [r.test for r in plan.job.records if r.test not in tests and not r.test.startswith(BEFORE)]
    if stray and tests:
        found.append(f"{len(stray)} records of tests that this plan does not have: {shortened(stray)}")
    if not material.outcomes:
        found.append("no commissioning tests can be named before the circuit is known")
    if plan.report.verdict is not Verdict.PASS:
        counts = plan.report.counts
        fail = f"{counts.failed} fail, " if counts.failed else ""
        found.append(f"the checks: {fail}{counts.unknown} unknown")
    if plan.report.to_show:
        found.append(f"{len(plan.report.to_show)} points are to be shown at a later stage")
    if not any(a.digest == plan.digest for a in plan.job.approvals):
        void = " (an older approval is void: the plan changed)" if plan.job.approvals else ""
        found.append(f"no electrician's approval of digest {plan.digest}{void}")
    if plan.report.stage != "hand-over":
        found.append(f"the job stands at stage {plan.report.stage}")
    return tuple(found)


def objections(plan: Plan) -> tuple[Text, ...]:
    """The warning on sheets that somebody works from, where the plan has objections; else nothing."""
    counts = plan.report.counts
    if plan.report.verdict is Verdict.FAIL:
        said = f"DO NOT BUILD OR USE THIS: the plan has {counts.failed} failures. Printed for discussion."
        return (Text(said, "strong"),)
    if plan.report.verdict is Verdict.UNKNOWN:
        return (Text(f"For review only: {counts.unknown} points of the plan are not known yet.", "strong"),)
    return ()


def handover_line(material: Material) -> str:
    """The sentence of the cover."""
    way = in_the_way(material)
    if way:
        return "NOT HANDED OVER. Do not lift with it."
    return "Records complete for this digest; no objection to use by this file. The electrician decides."


def shortened(names: list[str], most: int = 8) -> str:
    """The first few names, and how many more there are."""
    rest = f" and {len(names) - most} more" if len(names) > most else ""
    return ", ".join(names[:most]) + rest
