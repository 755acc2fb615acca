"""The electrician's page: what changes, what is recalled, what to confirm, what to sign."""

from __future__ import annotations

from wiring.circuit.compare import changes
from wiring.model.finding import Verdict
from wiring.model.plan import Plan
from wiring.sheets.handover import shortened
from wiring.sheets.sheet import Material, Sheet, Table, Text, head_of
from wiring.sheets.weak import deciding, used

MOST = 7  # lines of a list on this page; the sheets behind it have them all


def review(material: Material) -> Sheet:
    """One page to decide from. Everything on it stands in full on a later sheet."""
    plan = material.plan
    head = head_of(plan)
    return Sheet(
        id="review",
        title="For the electrician: review",
        head=head,
        blocks=(
            Text(f"Digest {plan.digest}. {head.verdict}", "strong"),
            Text(head.condition or "The hoist type is shown by readings, trace or diagram."),
            Table(("What changes", ""), change_rows(plan)),
            Table(
                ("Objections, worst first", "Found", "Next step"), objection_rows(plan), empty="no objection"
            ),
            Table(
                ("To confirm", "Figure here", "Decides"),
                confirm_rows(plan),
                empty="nothing decides a verdict",
            ),
            Text(recalled_line(plan)),
            Table(
                ("Signed for this digest", ""),
                (
                    ("Reviewed by, licence", ""),
                    ("Changes asked for", ""),
                    ("Date, signature", ""),
                ),
                form=True,
            ),
            Text(
                f"Enter the review with: holdrun approve FILE. It holds for digest {plan.digest} and is void "
                "as soon as wires, ratings, settings or catalog entries change.",
                "quiet",
            ),
        ),
    )


def change_rows(plan: Plan) -> tuple[tuple[str, str], ...]:
    """Counts and names of what comes out, goes in, and is newly joined."""
    if plan.before is None or plan.after is None:
        return (("circuit", "not known yet: hoist or receiver type is missing"),)
    job, change = plan.job, changes(plan.before, plan.after)
    added = [d.id for d in job.devices] + [c.id for c in job.cables]
    taken = [r.name for r in job.removes]
    differing = len(plan.behaviour.differences) if plan.behaviour else 0
    joined = [" = ".join(group) for group in change.joined]
    return (
        ("goes in", f"receiver; {shortened(added, 12) or 'no device'}; {len(job.connections)} connections"),
        ("comes out", f"cord {job.cord.fate or 'not stated'}, pendant {job.pendant.fate or 'not stated'}"
         + (f"; {shortened(taken, 12)}" if taken else "")),
        ("joined for good, were apart", shortened(joined, 4) or "nothing"),
        ("moves differently", f"{differing} states: sheet Truth table" if differing else "in no state"),
        ("stops", shortened([s.input for s in plan.after.stops], 8) or "none"),
    )  # fmt: skip


def objection_rows(plan: Plan) -> tuple[tuple[str, str, str], ...]:
    """The worst objections, each with its next step."""
    bad = [f for f in plan.report.findings if f.verdict in (Verdict.FAIL, Verdict.UNKNOWN)]
    rows = [
        (
            f"{str(f.verdict).upper() if f.verdict is Verdict.FAIL else f.verdict} {f.rule}, {f.subject}",
            f.found,
            f.remedy,
        )
        for f in bad[:MOST]
    ]
    if len(bad) > MOST:
        rows.append((f"and {len(bad) - MOST} more", "sheet Findings", ""))
    return tuple(rows)


def confirm_rows(plan: Plan) -> tuple[tuple[str, str, str], ...]:
    """Figures that decide a verdict and are not confirmed."""
    rows = list(deciding(plan))
    more = len(rows) - MOST
    if more > 0:
        rows = [*rows[:MOST], (f"and {more} more", "sheet Findings", "")]
    return tuple(rows)


def recalled_line(plan: Plan) -> str:
    """How many recalled figures were used without deciding anything."""
    weak = used(plan, ("memory", "placeholder"))
    if not weak:
        return "No recalled figure and no placeholder was used."
    return (
        f"{len(weak)} recalled figures and placeholders were used: {shortened([u.id for u in weak], 4)}. "
        "They stand with their sources on the sheet Findings."
    )
