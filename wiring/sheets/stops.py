"""Stops: where they are, what each still ends after one fault, and how the worst faults go."""

from __future__ import annotations

from wiring.model.behaviour import Behaviour, Faults, StopRow
from wiring.model.circuit import Stop
from wiring.sheets.proof_text import judged, mark
from wiring.sheets.sheet import Block, Heading, Material, Sheet, Table, Text, head_of
from wiring.sheets.words import proof_end

REACH = {3: "at the operator's hand", 2: "near", 1: "elsewhere", 0: "does not count"}
STORIES, MATRIX = 30, 60  # lines printed; the rest is named and stands in `prove --json`


def stops(material: Material) -> Sheet:
    """Stop list, stop matrix, single-fault stories."""
    plan = material.plan
    listed = tuple(stop_row(s) for s in plan.after.stops) if plan.after else ()
    blocks: list[Block] = [
        Text(
            "A stop counts only where the simulation sees it end the motion. A stop that opens a coil "
            "circuit does not end a welded contactor."
        ),
        Table(("Stop", "Kind", "Reach", "Where", "Lockable"), listed, "Stops in the circuit", "none"),
    ]
    shown = plan.behaviour
    if shown is None:
        blocks.append(Text("No proof: the hoist type or the receiver type is not known.", "strong"))
    else:
        blocks += [*matrix(shown), *stories(shown)]
    return Sheet("stops", "Stops and single faults", tuple(blocks), head_of(plan), landscape=True)


def stop_row(stop: Stop) -> tuple[str, ...]:
    """One stop: kind, place, reach, whether it can be locked."""
    lock = {True: "yes", False: "no", None: "not stated"}[stop.lockable]
    return (stop.input, stop.kind, REACH.get(stop.rank, "not known"), stop.where or "not stated", lock)


def matrix(shown: Behaviour) -> list[Block]:
    """What still ends each motion after each fault, as found and as converted."""
    found: list[Block] = []
    for motion in dict.fromkeys(row.motion for row in shown.stops):
        rows = [row for row in shown.stops if row.motion == motion]
        old = list(dict.fromkeys(name for row in rows for name in row.before))
        new = list(dict.fromkeys(name for row in rows for name in row.after))
        columns = ("Fault", *(f"found: {n}" for n in old), *(f"new: {n}" for n in new), "Judged")
        listed = tuple(matrix_row(row, old, new) for row in rows[:MATRIX])
        found.append(Table(columns, listed, f"What still ends: {motion}"))
        if len(rows) > MATRIX:
            found.append(Text(f"{len(rows) - MATRIX} more faults: holdrun prove FILE --faults single --json"))
    return found


def matrix_row(row: StopRow, old: list[str], new: list[str]) -> tuple[str, ...]:
    """One fault: what still ends the motion, before and after."""
    before = (mark(row.before.get(name)) for name in old)
    after = (mark(row.after.get(name)) for name in new)
    return (" + ".join(row.fault) or "none", *before, *after, judged(row))


def stories(shown: Behaviour) -> list[Block]:
    """Counts of the fault run, and the worst faults told step by step."""
    faults = shown.faults
    if faults is None:
        return [Text("Single faults were not run. " + proof_end("none"), "strong")]
    worst = [r for r in faults.results if r.judgement == "worse" or r.below_floor]
    rows = tuple(
        (
            " + ".join(r.fault),
            r.kind,
            f"{r.judgement}{', below the floor' if r.below_floor else ''}",
            ". ".join(f"{n} {step}" for n, step in enumerate(r.story, 1)),
        )
        for r in worst[:STORIES]
    )
    found: list[Block] = [
        Heading("Faults"),
        Text(count_line(faults)),
        *([Text("Limits of this run: " + "; ".join(faults.notes) + ".")] if faults.notes else []),
        Table(
            ("Fault", "Class", "Judged", "Story"), rows, "Worse than the pendant, or below the floor", "none"
        ),
    ]
    if len(worst) > STORIES:
        found.append(Text(f"{len(worst) - STORIES} more: holdrun prove FILE --faults single --json"))
    return [*found, Text(proof_end(faults.kind))]


def count_line(faults: Faults) -> str:
    """How many faults were run, and how they compare."""
    sampled = " (a sample)" if faults.sampled else ""
    return (
        f"{faults.count} {faults.kind} faults{sampled}: {faults.worse} worse than the pendant, "
        f"{faults.same} the "
        f"same, {faults.better} better, {faults.none} without hazard; {faults.below_floor} below the floor."
    )
