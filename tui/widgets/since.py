"""What the last edit did: objections that are new, objections that are gone, motions that changed."""

from __future__ import annotations

from textual.content import Content

from tui.sight import Sight
from tui.steps.order import OBJECTIONS
from tui.theme import INK
from wiring.model.finding import Finding
from wiring.model.plan import Plan
from wiring.sheets.words import clean, sign

LISTED = 3


def objections(plan: Plan) -> dict[tuple[str, str, str, str], Finding]:
    found = [f for f in plan.report.findings if f.verdict in OBJECTIONS]
    return {(f.rule, f.subject, f.about, str(f.verdict)): f for f in found}


def since(sight: Sight) -> Content:
    """Two plans compared, in at most a few lines; empty where there is nothing to compare."""
    old, new = sight.earlier, sight.plan
    if old is None or new is None or old is new:
        return Content("")
    before, after = objections(old), objections(new)
    fresh = [f for key, f in after.items() if key not in before]
    gone = [f for key, f in before.items() if key not in after]
    parts: list[tuple[str, str] | str] = []
    for finding in fresh[:LISTED]:
        parts += [
            (f"new {sign(finding.verdict)} {finding.rule}", INK[finding.verdict]),
            f" {clean(finding.subject)}: {clean(finding.found)}\n",
        ]
    more = f"{len(fresh) - LISTED} more are new. " if len(fresh) > LISTED else ""
    moved = changed_motions(old, new)
    if more or gone or moved:
        parts.append(f"{more}{len(gone)} gone. {moved}")
    return Content.assemble(*parts)


def changed_motions(old: Plan, new: Plan) -> str:
    """The first state whose motions in the converted circuit the edit changed, as the plans say."""
    if old.behaviour is None or new.behaviour is None:
        return ""
    before = {(r.pressed, r.open): r.motions for r in old.behaviour.after.rows}
    for row in new.behaviour.after.rows:
        was = before.get((row.pressed, row.open))
        if was is not None and was != row.motions:
            held = ", ".join((*row.pressed, *(f"{one} open" for one in row.open))) or "nothing pressed"
            return clean(
                f"{held}: {', '.join(was) or 'still'} before, {', '.join(row.motions) or 'still'} now."
            )
    return ""
