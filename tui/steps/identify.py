"""Guided identification: one reading at a time, what is left shrinks. The gate comes first."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import DataTable, Static

from tui import door
from tui.fields import Field
from tui.messages import Ask, Asked, EditJob, Hint
from tui.sight import Sight
from tui.steps.gate import gate_words, is_open
from tui.theme import hex_of
from tui.widgets.swatch import swatch
from tui.widgets.table import Table, cell
from wiring.model.finding import Verdict
from wiring.model.plan import Plan
from wiring.sheets.reading_words import CROSSED, contradiction
from wiring.sheets.words import clean

if TYPE_CHECKING:
    from rich.text import Text

SHOWN = 4  # roles of a core that are named before the rest is counted
METER = (
    ("OL", "nothing: the meter shows open line"),
    ("climbs", "the ohms climb"),
    ("drops", "the ohms drop"),
)
BEEP = "Do not trust the beep: windings, coils and transformers beep too. Read the ohms."


@dataclass(frozen=True, slots=True)
class Found:
    """What a session says of the readings in the file. wanted: the next step, None when done;
    wrong: why it cannot all be so, in words: readings that contradict, a limit on the other core."""

    wanted: Any
    left: int
    types: tuple[Any, ...]
    roles: tuple[Any, ...]
    alike: tuple[Any, ...]
    wrong: tuple[str, ...]
    readings: int
    certain: bool


def look(plan: Plan, skipped: tuple[Any, ...]) -> Found:
    """Ask the engine. May take a moment: call it in a worker."""
    import wiring

    session = wiring.identify(plan.job, plan.catalog)
    for probe in skipped:
        session = session.skip(probe)
    return Found(
        session.wanted(datetime.datetime.now()), session.left, session.types(), session.roles(),
        session.symmetric(), wrong(session), len(session.taken), session.certain,
    )  # fmt: skip


def wrong(session: Any) -> tuple[str, ...]:
    """What the readings show that cannot be, in the engine's words; empty where they fit together."""
    found = session.contradiction()
    lines: tuple[str, ...] = ()
    if found is not None:
        place = session.space.taken[found.repeat].probe.told
        lines = contradiction(found.readings, found.repeat, place, session.certain)
    return (*lines, CROSSED) if session.crossed else lines


class Roles(Table):
    """The cores and what each can still be."""

    def __init__(self) -> None:
        super().__init__(cursor_type="row", classes="roles")

    def put(self, sight: Sight, found: Found | None) -> None:
        rows: list[list[Text]] = []
        amber = hex_of(self.app.current_theme, Verdict.UNKNOWN)
        cores = {str(core.get("id")): core for core in sight.open.at("core") or () if isinstance(core, dict)}
        for role in found.roles if found else ():
            core = cores.get(role.core, {})
            colour = str(core.get("colour") or "unknown")
            can = role.role or " | ".join(role.others[:SHOWN])
            rest = len(role.others) - SHOWN
            can += f" +{rest}" if rest > 0 and not role.role else ""
            more = "" if not role.role or not role.others else f" or {', '.join(role.others)}"
            ink = "" if role.standing == "certain" else amber
            sign = "·" if role.standing == "certain" else "?"
            row = [cell(role.core), swatch(colour).append(f" {clean(colour)}")]
            row += [
                cell(f"{sign} {role.standing}", ink),
                cell(f"{can}{more}"),
                cell(str(core.get("role") or "unknown")),
                cell(role.note),
            ]
            rows.append(row)
        self.show(("core", "colour", "how sure", "can be", "in the file", ""), rows)


class Identify(Vertical):
    """Enter types the reading that is asked for, `s` skips it, `t` takes the roles that are certain."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "read", "reading"),
        Binding("s", "skip", "skip"),
        Binding("t", "take", "take roles"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.sight: Sight | None = None
        self.found: Found | None = None
        self.skipped: tuple[Any, ...] = ()
        self.looked: tuple[str, int] | None = None

    def compose(self) -> ComposeResult:
        yield Static("", markup=False, classes="note", id="identify-note")
        yield Roles()
        yield Static("", markup=False, classes="note", id="identify-next")

    def show_sight(self, sight: Sight) -> None:
        """The gate, or the session of the readings in the file."""
        self.sight = sight
        plan = sight.plan
        if plan is None or not sight.fresh:
            return
        if not is_open(sight):
            self.query_one("#identify-note", Static).update(
                Content.assemble(gate_words(sight), "\nStep Isolate comes before the first reading: key 2.")
            )
            self.query_one(Roles).put(sight, None)
            self.query_one("#identify-next", Static).update("")
            return
        self.looked = None
        self._look(plan)

    def _look(self, plan: Plan) -> None:
        if not plan.job.cores:
            self.query_one("#identify-note", Static).update(
                Content(
                    "No core is written down yet. Count them at the gland and add each in the first leaf."
                )
            )
            return
        skipped = self.skipped
        self.run_worker(lambda: self._ask(plan, skipped), thread=True, exclusive=True, exit_on_error=False)

    def _ask(self, plan: Plan, skipped: tuple[Any, ...]) -> None:
        try:
            found, said = look(plan, skipped), ""
        except Exception as error:  # noqa: BLE001 - told, not fatal
            found, said = None, f"the session broke: {type(error).__name__}: {error}"
        self.app.call_from_thread(self._show, found, said)

    def _show(self, found: Found | None, said: str) -> None:
        if not self.is_mounted or self.sight is None:
            return
        self.found = found
        note = self.query_one("#identify-note", Static)
        note.update(Content(clean(said)) if found is None else summary(found))
        self.query_one(Roles).put(self.sight, found)
        self.query_one("#identify-next", Static).update(asked(found) if found else Content(""))

    def on_data_table_row_highlighted(self, event: DataTable.RowHighlighted) -> None:
        event.stop()
        self.screen.post_message(Hint(BEEP))

    def on_data_table_row_selected(self, event: DataTable.RowSelected) -> None:
        event.stop()
        self.action_read()

    def action_read(self) -> None:
        """Type what the meter shows."""
        wanted = self.found.wanted if self.found else None
        if wanted is None or wanted.kind != "reading" or self.sight is None or not self.sight.fresh:
            return
        probe = wanted.probe
        unit = "V" if probe.live else "ohm"
        form = rf"^(-?\d+(\.\d+)? ({unit}|kohm|Mohm)|OL|climbs|drops)$"
        field = Field("value", "text", (), (f"0.3 {unit}", "OL"), form, True)

        def done(value: Any, move: int) -> None:
            entry = {
                "between": ["+".join(sorted(side)) for side in (probe.a, probe.b)],
                "side": probe.side,
                "state": wanted.state,
                "quantity": probe.live or "ohms",
                "value": value,
                "at": datetime.datetime.now().replace(microsecond=0),
            }
            self.screen.post_message(EditJob([door.add_entry("reading", entry)], f"reading {value}"))

        label = f"{' to '.join(wanted.between)}, {probe.live or 'ohms'}"
        back = self.query_one(Roles)
        self.screen.post_message(Asked(Ask(label, field, "", done, back, METER, f"{wanted.state}. {BEEP}")))

    def action_skip(self) -> None:
        """This reading cannot be taken: ask for another one."""
        wanted = self.found.wanted if self.found else None
        plan = self.sight.plan if self.sight else None
        if wanted is not None and wanted.kind == "reading" and plan is not None:
            self.skipped = (*self.skipped, wanted.probe)
            self._look(plan)

    def action_take(self) -> None:
        """Write the roles that are certain into the job, known by readings."""
        if self.found is None or self.sight is None:
            return
        rows = self.sight.open.at("core") or []
        edits = []
        for number, core in enumerate(rows):
            role = next((r for r in self.found.roles if r.core == core.get("id")), None)
            if (
                role is not None
                and role.standing == "certain"
                and role.role
                and core.get("role") != role.role
            ):
                edits += [
                    door.set_key(f"core.{number}.role", role.role),
                    door.set_key(f"core.{number}.by", "readings"),
                ]
        if edits:
            self.screen.post_message(EditJob(edits, "roles by readings"))
        else:
            self.notify("no role is certain yet that is not in the file", markup=False)


def summary(found: Found) -> Content:
    """How many answers are left, which types, and what cannot be."""
    left = f"{found.left} answer{'' if found.left == 1 else 's'} left after {found.readings} readings"
    names = "; ".join(f"{one.id} ({one.standing})" for one in found.types[:2])
    more = f"; {len(found.types) - 2} more types" if len(found.types) > 2 else ""
    parts: list[tuple[str, str] | str] = [(f"{left}. ", "bold"), f"{clean(names)}{more}"]
    if found.wrong:
        parts.append((f"\n✗ {clean(' '.join(found.wrong))}", "$text-error"))
    return Content.assemble(*parts)


def asked(found: Found) -> Content:
    """The next step in words: which reading, why, and what no reading tells."""
    wanted = found.wanted
    if wanted is None:
        parts: list[tuple[str, str] | str] = [
            ("Nothing more to read. ", "bold"),
            "t takes the roles that are certain.\n",
        ]
        parts += [f"{', '.join(one.cores)} read alike: {clean(one.told_by)}\n" for one in found.alike]
        return Content.assemble(*parts)
    if wanted.kind == "gate":
        return Content.assemble(
            ("Go through step Isolate again (key 2). ", "bold"), clean(wanted.why),
            f"\nopen: {clean(', '.join(wanted.missing))}",
        )  # fmt: skip
    probe = wanted.probe
    where = "LIVE, qualified person only: " if probe.live else ""
    ends = " and ".join(wanted.between)
    text = f"Next: {where}{probe.side} side, {clean(wanted.state)}. {probe.live or 'Ohms'} between {ends}."
    return Content.assemble((text, "bold"), (f"\nwhy: {clean(wanted.why)}", "$secondary"))
