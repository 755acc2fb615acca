"""people.approval: a licensed electrician's review of exactly this plan is on record."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.digest import changed
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.rule import both, rule
from wiring.model.job import Approval


@rule(
    "people.approval",
    "A licensed electrician reviewed this plan",
    danger=4,
    hazard="A plan nobody qualified has read is a private opinion.",
    sources=(both("local licensing law; the authority having jurisdiction decides", "practice"),),
    checks="An approval with name, licence and the digest of this very plan. One given for another plan is "
    "unknown at every stage, and what changed since is named.",
    needs="[[approval]] as `holdrun approve` writes it.",
    does_not_cover="Whether the licence is valid for the work and the place.",
    stage="installed",
    wants="job",
)
def check(case: Case) -> Iterable[Draft]:
    wanted = f"a licensed electrician's review of plan {case.facts.digest}"
    how = "send the pack; holdrun approve writes the entry"
    if not case.job.approvals:
        return [unknown("approval", "no review is recorded", wanted, how, key="approval")]
    current = [a for a in case.job.approvals if a.digest == case.facts.digest]
    if current:
        return case.each([("approval", current[-1])], lambda s, a: complete(s, a, wanted))
    last = case.job.approvals[-1]
    if last.digest is None:
        found = "the review names no plan: its digest is missing"
    else:
        names = changed(last.parts, case.facts.parts)
        since = f"changed since: {', '.join(names)}" if names else "what changed cannot be told"
        found = f"the review is of plan {last.digest}; {since}"
    return [unknown("approval", found, wanted, "have the change reviewed; holdrun approve", key="approval",
                    due="design")]  # fmt: skip


def complete(subject: str, approval: Approval, wanted: str) -> Draft:
    """The approval has a name and a licence."""
    if not approval.licence:
        return unknown(
            subject, f"reviewed by {approval.by}, no licence given", wanted, "add the licence", key="approval"
        )
    if approval.licence.strip().lower() in ("none", "no", "-"):
        return failed(subject, f"reviewed by {approval.by}, who has no licence", wanted,
                      "have a licensed electrician review it", key="approval")  # fmt: skip
    return passed(subject, f"reviewed by {approval.by}, licence {approval.licence}", wanted, key="approval")
