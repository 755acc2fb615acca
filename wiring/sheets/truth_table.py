"""Truth table: what moves for what is pressed and open, as found and as converted, and where they differ."""

from __future__ import annotations

from wiring.model.behaviour import Truth
from wiring.sheets.sheet import Block, Material, Sheet, Table, Text, head_of

ROWS = 150  # rows printed of one table; every row is in `prove --all`


def truth_table(material: Material) -> Sheet:
    """Differences first, then both tables."""
    plan = material.plan
    shown = plan.behaviour
    blocks: list[Block] = []
    if shown is None:
        blocks.append(Text("No table: the hoist type or the receiver type is not known.", "strong"))
    else:
        rows = tuple(
            (
                words(d.pressed),
                words(d.open, "-"),
                words(d.before, "still"),
                words(d.after, "still"),
                d.judgement,
            )
            for d in shown.differences[:ROWS]
        )
        blocks += [
            Table(
                ("Pressed", "Open", "Pendant", "Receiver", "Judged"),
                rows,
                "States in which the conversion moves differently",
                "none: the same motions in every state that both circuits have",
            ),
            *table(shown.after, "As converted"),
            *table(shown.before, "As found"),
        ]
    return Sheet("truth-table", "Truth table", tuple(blocks), head_of(plan), landscape=True)


def table(truth: Truth, title: str) -> list[Block]:
    """Rows that move; resting rows are counted."""
    whole = "every feasible state" if truth.complete else "A SAMPLE of the states"
    moving = [row for row in truth.rows if row.motions]
    rows = tuple(
        (words(r.pressed), words(r.open, "-"), words(r.any, "-"), words(r.motions), words(r.energised, "-"))
        for r in moving[:ROWS]
    )
    found: list[Block] = [
        Table(
            ("Pressed", "Open", "Either way", "Moves", "Energised"),
            rows,
            f"{title}: {truth.vectors} states, {whole}",
            "nothing moves in any state",
        )
    ]
    rest = (
        f"{len(moving) - ROWS} more rows that move: holdrun prove FILE --all FILE.csv. "
        if len(moving) > ROWS
        else ""
    )
    return [*found, Text(rest + "In every other state: no motion.", "quiet")]


def words(names: tuple[str, ...], empty: str = "nothing") -> str:
    """Names in one cell."""
    return ", ".join(names) or empty
