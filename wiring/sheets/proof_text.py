"""The proof as plain text: differences, events that fail, the stop matrix, fault stories."""

from __future__ import annotations

from wiring.model.behaviour import Behaviour, FaultResult, Faults, StopRow, Truth
from wiring.model.finding import Finding
from wiring.model.plan import Plan
from wiring.sheets.findings_text import OBJECTIONS, short
from wiring.sheets.proof_json import proof_verdict
from wiring.sheets.words import CAUTION, clean, opening, proof_end, sign, wrap

ROWS = 24  # truth table rows printed; the rest is in --json and --all
STORIES = 5


def names(items: tuple[str, ...], empty: str) -> str:
    """Names in one line, or a word where there is none."""
    return ", ".join(items) or empty


def state_of(pressed: tuple[str, ...], opened: tuple[str, ...], none: str) -> str:
    """What is pressed and what is open, in one line."""
    return names(pressed, none) + (f", open {names(opened, '')}" if opened else "")


def truth_lines(truth: Truth, title: str, rows: int = ROWS) -> list[str]:
    """A truth table, moving rows first written out, resting rows counted."""
    whole = "every feasible state" if truth.complete else "A SAMPLE of the states"
    lines = [f"{title}: {truth.vectors} states, {whole}"]
    moving = [row for row in truth.rows if row.motions]
    for row in moving[:rows]:
        spare = f" ({names(row.any, '')} either way)" if row.any else ""
        state = state_of(row.pressed, row.open, "nothing pressed")
        lines.append(wrap(f"{state}{spare} -> {names(row.motions, '')}", 2, 6))
    if len(moving) > rows:
        lines.append(f"  ... {len(moving) - rows} more rows that move: --json or --all")
    lines.append("  every other state: no motion")
    return lines


def difference_lines(shown: Behaviour) -> list[str]:
    """States in which the conversion moves differently from the pendant."""
    if not shown.differences:
        return ["Same motions in every state that both circuits have."]
    lines = [f"{len(shown.differences)} states in which the conversion moves differently:"]
    for d in shown.differences[:ROWS]:
        lines.append(
            wrap(
                f"{state_of(d.pressed, d.open, 'nothing pressed')}: pendant {names(d.before, 'still')}, "
                f"receiver {names(d.after, 'still')} - {d.judgement}",
                2,
                6,
            )
        )
    return lines


def event_lines(shown: Behaviour) -> list[str]:
    """How many events were played on each circuit, and each one that did not end well."""
    lines = []
    for about, title in (("before", "as found"), ("after", "as converted")):
        played = [e for e in shown.events if e.about == about]
        bad = [e for e in played if e.verdict != "pass"]
        lines.append(f"Events {title}: {len(played)} played, {len(bad)} objections")
        for e in bad[:ROWS]:
            what = f"{e.event} ({e.subject})" if e.subject else e.event
            held = state_of(e.pressed, e.open, "nothing held")
            lines.append(wrap(f"{e.verdict}: {what}, {held}: {e.why or names(e.motions, 'no motion')}", 2, 6))
        if len(bad) > ROWS:
            lines.append(f"  ... {len(bad) - ROWS} more: --json")
    return lines


def mark(cell: bool | None) -> str:
    """Whether it ends the motion; n/a where there is no such thing."""
    return "n/a" if cell is None else "yes" if cell else "NO"


def matrix_lines(rows: tuple[StopRow, ...]) -> list[str]:
    """The stop matrix, one block a motion: fault, what still stops it before and after, judged."""
    lines: list[str] = []
    for motion in dict.fromkeys(row.motion for row in rows):
        lines += ["", f'What still stops "{motion}" after one fault']
        for row in (r for r in rows if r.motion == motion):
            before = " ".join(f"{k} {mark(v)}" for k, v in row.before.items()) or "n/a"
            after = " ".join(f"{k} {mark(v)}" for k, v in row.after.items()) or "n/a"
            lines.append(wrap(f"{names(row.fault, 'no fault')}: {judged(row)}", 2, 4))
            lines.append(wrap(f"pendant:  {before}", 6, 16))
            lines.append(wrap(f"receiver: {after}", 6, 16))
    return lines


def story_lines(result: FaultResult) -> list[str]:
    """One fault as a numbered story."""
    floor = ", below the floor" if result.below_floor else ""
    head = f"{' + '.join(result.fault)} ({result.kind}): {result.judgement}{floor}"
    told = "  ".join(f"{n} {step}" for n, step in enumerate(result.story, 1))
    return [wrap(head, 2, 4), wrap(told, 4, 4)]


def fault_lines(faults: Faults | None) -> list[str]:
    """Counts and the worst stories, or the plain word that faults were not run."""
    if faults is None:
        return ["Faults: NOT RUN. Ask for them with --faults single."]
    sampled = " (A SAMPLE)" if faults.sampled else ""
    lines = [
        f"{faults.kind.capitalize()} faults: {faults.count}{sampled}: {faults.worse} worse than the pendant, "
        f"{faults.same} the same, {faults.better} better, {faults.none} without hazard; "
        f"{faults.below_floor} below the floor"
    ]
    bad = [r for r in faults.results if r.judgement == "worse" or r.below_floor]
    for result in bad[:STORIES]:
        lines += story_lines(result)
    if len(bad) > STORIES:
        lines.append(f"  ... {len(bad) - STORIES} more stories: --json")
    return [wrap(lines[0]), *lines[1:]]


def race_lines(shown: Behaviour) -> list[str]:
    """States in which the order of the coils decides what moves, each once."""
    title = {"before": "as found", "after": "as converted"}
    lines = [
        f"Race {title[r.about]}: {state_of(r.pressed, r.open, 'rest')}: the order of the coils decides: "
        + " or ".join(dict.fromkeys(names(motions, "still") for motions in r.outcomes))
        for r in shown.races
    ]
    return [wrap(line, 0, 2) for line in list(dict.fromkeys(lines))[:ROWS]]


def proof_findings(plan: Plan) -> list[Finding]:
    """Objections of the proof rules."""
    return [f for f in plan.report.findings if f.rule.startswith("proof.") and f.verdict in OBJECTIONS]


def proof_text(plan: Plan, faults: str, ascii_only: bool = False) -> str:
    """What `prove` prints. faults: the kind that was run."""
    lines = [*opening(plan), "", f"Proof: {sign(proof_verdict(plan), ascii_only)}", ""]
    shown = plan.behaviour
    if shown is None:
        missing = "hoist type" if plan.before is None else "receiver type"
        lines.append(f"Nothing can be shown: the {missing} is not known.")
    else:
        lines += truth_lines(shown.before, "As found") + truth_lines(shown.after, "As converted")
        lines += ["", *difference_lines(shown), "", *event_lines(shown), ""]
        lines += race_lines(shown)
        lines += fault_lines(shown.faults) + matrix_lines(shown.stops)
    objections = proof_findings(plan)
    if objections:
        lines += ["", "Objections of the proof rules"]
        lines += [short(f, ascii_only) for f in objections]
    if shown is not None and shown.not_shown:
        lines += ["", wrap("Not shown here: " + "; ".join(clean(n) for n in shown.not_shown) + ".")]
    lines += ["", wrap(proof_end(faults)), "", wrap(CAUTION)]
    return "\n".join(lines) + "\n"


def judged(row: StopRow) -> str:
    """How the two compare. Without a fault a motion that is not in the table as converted was not shown."""
    if not row.fault and row.before and not row.after:
        return "not shown as converted: no such motion, or no rest in it"
    return row.judged
