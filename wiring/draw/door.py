"""The door of the room: a drawing of a plan, or of a circuit by itself."""

from __future__ import annotations

from dataclasses import replace

from wiring.draw.connections_sheet import connection_blocks, connection_sheets, notes_of
from wiring.draw.facts import facts_of, title_of
from wiring.draw.frame import CAUTION, EXAMPLE, Title, field_of, framed
from wiring.draw.ladder import ladder
from wiring.draw.legend import legend_blocks, legend_layer
from wiring.draw.parts import Block, Drawing, Layer, Sheet
from wiring.draw.placed import Facts, place
from wiring.draw.resolve import resolved
from wiring.draw.sheets import circuit_sheets, fit, paper_of, room_of
from wiring.draw.shift import extent, moved
from wiring.draw.state import state_title
from wiring.draw.symbols import PRACTICE
from wiring.draw.wire_list import wire_block
from wiring.model.behaviour import Settled
from wiring.model.circuit import Circuit, Part
from wiring.model.plan import Plan

LEAST_SCALE = 0.72  # a body is set smaller down to this, then the sheet grows
MOST_SCALE = 1.2  # and larger up to this, where there is room
WORDS = {"circuit": "circuit diagram", "connections": "connection diagram", "legend": "legend of symbols"}


def drawing(
    plan: Plan,
    sheet: str = "circuit",
    symbols: str = "iec",
    show: str = "both",
    state: Settled | None = None,
    paper: str = "",
) -> Drawing:
    """One kind of sheet of a plan.

    sheet: circuit | connections | legend; symbols: iec | us; show: before (as
    found), after (as converted), both (as converted, what goes in grey); state:
    a settled state of the circuit shown, to mark what is live; paper: a4 | a3 |
    letter | tabloid, "" the one that goes with the symbols. Raises ValueError
    for unknown words, or where the plan has no such circuit.
    """
    if sheet not in WORDS or symbols not in PRACTICE or show not in ("before", "after", "both"):
        raise ValueError(f"cannot draw sheet {sheet!r}, symbols {symbols!r}, show {show!r}")
    about = show if plan.after is not None else "before"
    circuit = plan.before if about == "before" else plan.after
    if circuit is None:
        raise ValueError("the plan has no circuit: the hoist type or the receiver type is unknown")
    facts = replace(facts_of(plan, circuit), state=state)
    title = title_of(plan, WORDS[sheet], about, symbols, state_title(state))
    bodies, blocks, spare = _bodies(plan, circuit, facts, sheet, symbols, paper)
    if sheet == "circuit":
        placed = place(circuit, facts, plan.before if about == "both" else None)
        bodies, blocks = circuit_sheets(placed, symbols, paper), (*ladder(placed), *wire_block(placed))
        spare = placed.wiring.spare
    return Drawing(
        title=title.title,
        description=f"{WORDS[sheet].capitalize()}, {title.subtitle}. {title.verdict[0]}. {CAUTION}",
        symbols=symbols,
        kind=sheet,
        sheets=on_sheets(bodies, title, symbols, paper),
        about=about,
        spare=tuple(part.name for part in spare),
        blocks=_blocks(title, blocks, spare),
        date=plan.job.date,
    )


def _bodies(
    plan: Plan, circuit: Circuit, facts: Facts, sheet: str, symbols: str, paper: str
) -> tuple[tuple[tuple[str, Layer], ...], tuple[Block, ...], tuple[Part, ...]]:
    """Layers and text blocks of the sheets that are no circuit diagram."""
    if sheet == "connections":
        found = connection_sheets(plan, circuit, facts, room_of(paper_of(symbols, paper)))
        return found, (*connection_blocks(circuit, facts), *notes_of(plan, circuit)), ()
    if sheet == "legend":
        return (("legend", legend_layer(symbols)),), legend_blocks(symbols), ()
    return (), (), ()


def circuit_drawing(
    circuit: Circuit, symbols: str = "iec", title: str = "", facts: Facts | None = None
) -> Drawing:
    """A circuit without a plan, as for the page of a catalog type."""
    placed = place(circuit, facts or Facts())
    head = Title(
        title or "Circuit",
        subtitle="circuit of a type, not of a hoist that stands somewhere",
        kind="circuit diagram",
        symbols=PRACTICE[symbols],
        verdict=("Nothing is checked on this sheet.", "It shows a type of the catalog, not a job."),
    )
    return Drawing(
        title=head.title,
        description=f"Circuit diagram, symbols {PRACTICE[symbols]}. {CAUTION}",
        symbols=symbols,
        kind="circuit",
        sheets=on_sheets(circuit_sheets(placed, symbols), head, symbols),
        about=circuit.about,
        spare=tuple(part.name for part in placed.wiring.spare),
        blocks=_blocks(head, (*ladder(placed), *wire_block(placed)), placed.wiring.spare),
    )


def _blocks(title: Title, body: tuple[Block, ...], unused: tuple[Part, ...]) -> tuple[Block, ...]:
    """The boxes and the body for the text writer."""
    first = [EXAMPLE] if title.example else []
    fields = (
        ("stage", title.stage),
        ("revision", title.revision),
        ("date", title.date),
        ("digest", title.identification),
    )
    lines = [*first, *title.verdict, *(f"{name}: {value}" for name, value in fields if value)]
    if title.condition:
        lines.insert(len(first), title.condition)
    spare = [f"{part.name} ({part.form})" for part in unused]
    rest = (Block("Contacts not used", lines=(", ".join(spare),)),) if spare else ()
    head = (Block("Verdict", lines=tuple(lines)),) if lines else ()
    return (*head, *body, *rest, Block("Caution", lines=(CAUTION,)))


def on_sheets(
    bodies: tuple[tuple[str, Layer], ...], title: Title, symbols: str, paper: str = ""
) -> tuple[Sheet, ...]:
    """Each body on a sheet of its own: set at its size, smaller down to a limit, else on larger paper."""
    size_of = paper_of(symbols, paper)
    sheets = []
    for number, (name, body) in enumerate(bodies, 1):
        x0, y0, x1, y1 = extent(body)
        left, top, right, bottom = field_of(*size_of)
        scale = max(min(MOST_SCALE, fit(body, room_of(size_of))), LEAST_SCALE)
        grow_x = max(0.0, (x1 - x0) * scale - (right - left))
        grow_y = max(0.0, (y1 - y0) * scale - (bottom - top))
        size = (round(size_of[0] + grow_x, 2), round(size_of[1] + grow_y, 2))
        placed = moved(body, left - x0 * scale, top - y0 * scale, scale)
        sheets.append(Sheet(number, name, *size, placed, Layer()))
    done = tuple(replace(s, frame=framed(title, s.number, len(sheets), (s.width, s.height))) for s in sheets)
    return resolved(done)
