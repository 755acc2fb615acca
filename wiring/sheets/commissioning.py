"""Commissioning record: every test in working order, expected, measured, accepted or not."""

from __future__ import annotations

from wiring.model.commissioning import Outcome
from wiring.sheets.handover import handover_line, objections
from wiring.sheets.sheet import Block, Material, Sheet, Table, Text, head_of

TICK = "☐\u00a0accept ☐\u00a0reject"
COLUMNS = ("Test", "Do", "Expected", "Measured, by", "Result")


def commissioning(material: Material) -> Sheet:
    """To print and fill in by hand, or as filled in by `holdrun record`."""
    plan = material.plan
    blocks: list[Block] = [
        *objections(plan),
        Text(
            "In this order, by a qualified person. Stop at the first rejected test, find the cause, "
            "start again "
            "at the test it voids. Nobody under the hook.",
            "strong",
        ),
        Text(handover_line(material)),
        Table(
            ("Instruments", "Number", "Calibrated until"),
            (("meter", "", ""), ("insulation tester", "", ""), ("stop watch or recorder", "", "")),
            form=True,
        ),
    ]
    for group in dict.fromkeys(o.step.group for o in material.outcomes):
        rows = tuple(row_of(o) for o in material.outcomes if o.step.group == group)
        blocks.append(Table(COLUMNS, rows, group, written=("Measured, by",)))
    if not material.outcomes:
        blocks.append(Text("No tests can be named: the hoist type or the receiver type is not known."))
    if any(o.step.rests_on for o in material.outcomes):
        blocks.append(
            Text(
                "A figure marked (guide) rests on recalled or placeholder values: it shows the order "
                "of size; "
                "only the limits beside it reject.",
                "quiet",
            )
        )
    return Sheet("commissioning", "Commissioning record", tuple(blocks), head_of(plan), landscape=True)


def row_of(outcome: Outcome) -> tuple[str, ...]:
    """One test as cells; what was recorded, or room for it."""
    step, record = outcome.step, outcome.record
    measured = f"{record.measured}, {record.by or 'nobody named'}" if record else ""
    result = TICK if outcome.answer == "missing" else f"{outcome.answer.upper()}: {outcome.why}"
    if outcome.causes:
        result += f" Likely: {'; '.join(outcome.causes)}."
    return (step.id, step.do, step.wanted, measured, result)
