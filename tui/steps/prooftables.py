"""What the simulation showed, as tables that filter; from any row the bench can be set to it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import DataTable, Input

from tui.messages import Hint, OnBench, RunFaults
from tui.sight import Sight
from tui.theme import hex_of
from tui.widgets.filter import FilterLine
from tui.widgets.page import TextPage
from tui.widgets.table import Table, cell
from wiring.model.behaviour import Behaviour, FaultResult, StopRow
from wiring.model.finding import Verdict
from wiring.sheets.words import clean, proof_end, sign

MOST = 2000  # rows shown at a time; the filter reaches all of them
JUDGED = {
    "worse": Verdict.FAIL, "fail": Verdict.FAIL, "unknown": Verdict.UNKNOWN, "other": Verdict.UNKNOWN,
    "pass": Verdict.PASS, "better": Verdict.PASS, "same": Verdict.PASS,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Line:
    """A row: its cells, the word that judges it, the state it is about, and more text below."""

    cells: tuple[str, ...]
    judged: str = ""
    state: tuple[str, ...] = ()
    faults: tuple[str, ...] = ()
    story: tuple[str, ...] = ()
    more: str = ""


def named(items: Iterable[str], none: str = "-") -> str:
    return ", ".join(items) or none


def truth_rows(shown: Behaviour) -> list[Line]:
    """Both truth tables, rows that move first."""
    out = []
    for about, truth in (("as found", shown.before), ("converted", shown.after)):
        for row in truth.rows:
            spare = f" ({', '.join(row.any)} either way)" if row.any else ""
            cells = (about, named(row.pressed) + spare, named(row.open), named(row.motions, "still"),
                     named(row.energised))  # fmt: skip
            out.append(Line(cells, "", (*row.pressed, *row.open)))
    return sorted(out, key=lambda line: line.cells[3] == "still")


def difference_rows(shown: Behaviour) -> list[Line]:
    """States in which the conversion moves differently."""
    return [
        Line(
            (d.judgement, named(d.pressed), named(d.open), named(d.before, "still"), named(d.after, "still")),
            d.judgement,
            (*d.pressed, *d.open),
        )
        for d in shown.differences
    ]


def event_rows(shown: Behaviour) -> list[Line]:
    """Every event that was played, those with an objection first."""
    out = []
    for e in shown.events:
        about = "as found" if e.about == "before" else "converted"
        held = named((*e.pressed, *(f"{one} open" for one in e.open)))
        what = f"{e.event} {e.subject}".strip()
        cells = (e.verdict, about, what, held, named(e.motions_before, "still"), named(e.motions, "still"))
        out.append(Line(cells, e.verdict, (*e.pressed, *e.open), more=e.why))
    order = ("fail", "unknown", "pass")
    return sorted(out, key=lambda line: order.index(line.judged) if line.judged in order else 3)


def fault_rows(shown: Behaviour) -> list[Line]:
    """Every fault with what it leads to, as the engine sorted them."""
    return [fault_line(result) for result in (shown.faults.results if shown.faults else ())]


def fault_line(result: FaultResult) -> Line:
    hazards = named(dict.fromkeys(f"{h.hazard} {h.motion}".strip() for h in result.hazards), "no hazard")
    stops = named(dict.fromkeys(s for h in result.hazards for s in h.stops_left))
    floor = " below floor" if result.below_floor else ""
    told = "\n".join(f"{n} {step}" for n, step in enumerate(result.story, 1))
    against = f"compared with {result.compared_with}\n" if result.compared_with else ""
    cells = (f"{result.judgement}{floor}", " + ".join(result.fault), result.kind, hazards, stops)
    return Line(
        cells, "worse" if floor else result.judgement, (), result.fault, result.story, f"{against}{told}"
    )


def mark(value: bool | None) -> str:
    return "n/a" if value is None else "yes" if value else "NO"


def stop_rows(shown: Behaviour) -> list[Line]:
    """What still ends a motion after a fault, pendant and receiver."""
    return [stop_line(row) for row in shown.stops]


def stop_line(row: StopRow) -> Line:
    before = "  ".join(f"{name} {mark(value)}" for name, value in row.before.items())
    after = "  ".join(f"{name} {mark(value)}" for name, value in row.after.items())
    cells = (row.judged, row.motion, named(row.fault, "no fault"), before or "n/a", after or "n/a")
    worse = next((word for word in ("worse", "below") if word in row.judged.casefold()), row.judged)
    return Line(cells, "worse" if worse in ("worse", "below") else worse, (), row.fault)


class Rows(Table):
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("slash", "find", "filter", key_display="/"),
        Binding("f", "run('single')", "run single faults", show=False),
        Binding("x", "run('')", "give up the run", show=False),
    ]

    def action_find(self) -> None:
        self.screen.set_focus(self.query_ancestor(ProofTable).query_one(Input))

    def action_run(self, kind: str) -> None:
        self.screen.post_message(RunFaults(kind))


@dataclass
class Kind:
    """One table: its columns, how to make its rows, what to say where there are none."""

    head: tuple[str, ...]
    make: Callable[[Behaviour], list[Line]]
    none: str
    found: list[Line] = field(default_factory=list)


KINDS = {
    "truth": Kind(("circuit", "pressed", "open", "moves", "energised"), truth_rows, "no state"),
    "difference": Kind(("judged", "pressed", "open", "pendant", "receiver"), difference_rows,
                       "Same motions in every state that both circuits have."),
    "events": Kind(("verdict", "circuit", "event", "held", "before", "after"), event_rows,
                   "No event was played."),
    "faults": Kind(("judged", "fault", "class", "leads to", "stops left"), fault_rows,
                   "Faults were not run: f runs every single fault, the palette every pair."),
    "stops": Kind(("judged", "motion", "fault", "pendant", "receiver"), stop_rows,
                  "No stop matrix yet: f runs every single fault."),
}  # fmt: skip


class ProofTable(Vertical):
    """A table with a filter, and the row under the cursor in full below it. Enter: on the bench."""

    def __init__(self, kind: str) -> None:
        super().__init__(classes="halves")
        self.kind = KINDS[kind]
        self.lines: list[Line] = []
        self.shown: list[Line] = []
        self.faults = "none"

    def compose(self) -> ComposeResult:
        yield FilterLine()
        yield Rows(cursor_type="row", classes="upper")
        yield TextPage(wrap=True)

    def show_sight(self, sight: Sight) -> None:
        """Make the rows of the plan's behaviour."""
        plan = sight.plan
        shown = plan.behaviour if plan else None
        if shown is None:
            missing = "hoist type" if plan and plan.before is None else "receiver type"
            self.lines = []
            self.query_one(FilterLine).say("planning" if plan is None else f"the {missing} is not known")
        else:
            self.lines = self.kind.make(shown)
            self.faults = shown.faults.kind if shown.faults else "none"
        self.fill()

    @on(FilterLine.Changed)
    def fill(self) -> None:
        """Fill the table with the rows that the filter lets through."""
        line = self.query_one(FilterLine)
        fitting = [one for one in self.lines if line.fits(" ".join(one.cells))]
        self.shown = fitting[:MOST]
        if self.lines:
            more = f", the first {MOST} shown" if len(fitting) > MOST else ""
            line.say(f"{len(fitting)} of {len(self.lines)}{more} · / filter · Enter: on the bench")
        self.query_one(Rows).show(self.kind.head, [self._row(one) for one in self.shown])
        self._detail(self.query_one(Rows).cursor_row)

    def _row(self, line: Line) -> list[Text]:
        verdict = JUDGED.get(line.judged)
        style = hex_of(self.app.current_theme, verdict) if verdict in (Verdict.FAIL, Verdict.UNKNOWN) else ""
        lead = f"{sign(verdict).split()[1]} " if verdict in (Verdict.FAIL, Verdict.UNKNOWN) else ""
        return [cell(f"{lead}{line.cells[0]}", style), *(cell(one) for one in line.cells[1:])]

    @on(DataTable.RowHighlighted)
    def _moved(self, event: DataTable.RowHighlighted) -> None:
        event.stop()
        self._detail(event.cursor_row)
        self.screen.post_message(Hint("Enter puts this on the bench · / filters"))

    def _detail(self, row: int) -> None:
        if not 0 <= row < len(self.shown):
            self.query_one(TextPage).put(f"{self.kind.none if not self.lines else 'nothing fits the filter'}")
            return
        line = self.shown[row]
        parts: list[tuple[str, str] | str] = []
        for title, text in zip(self.kind.head, line.cells, strict=True):
            parts += [(f"{title}: ", "$secondary"), f"{clean(text)}\n"]
        if line.more:
            parts.append("\n".join(clean(one) for one in line.more.split("\n")) + "\n")
        parts.append((f"\n{proof_end(self.faults)}", "$secondary"))
        self.query_one(TextPage).put(Content.assemble(*parts))

    @on(DataTable.RowSelected)
    def _entered(self, event: DataTable.RowSelected) -> None:
        event.stop()
        if event.cursor_row < len(self.shown):
            line = self.shown[event.cursor_row]
            self.screen.post_message(OnBench(frozenset(line.state), line.faults, line.story))
