"""Commissioning: what to measure on the converted hoist, what is expected, what was recorded."""

from __future__ import annotations

import datetime
from typing import TYPE_CHECKING, Any, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.widgets import DataTable

from tui import door
from tui.fields import Field
from tui.messages import Ask, Asked, EditJob
from tui.sight import Sight
from tui.theme import hex_of
from tui.widgets.page import TextPage
from tui.widgets.table import Table, cell
from wiring.model.finding import Verdict
from wiring.sheets.words import clean

if TYPE_CHECKING:
    from wiring.model.commissioning import Outcome

SIGNS = {"accept": ("·", Verdict.PASS), "reject": ("✗", Verdict.FAIL), "repeat": ("?", Verdict.UNKNOWN),
         "missing": ("›", Verdict.TO_SHOW)}  # fmt: skip


class Tests(Vertical):
    """Enter takes a result, compared at once with what this plan expects."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("p", "approve", "record a review")]

    def __init__(self) -> None:
        super().__init__(classes="halves")
        self.sight: Sight | None = None
        self.found: tuple[Outcome, ...] = ()
        self.by = ""

    def compose(self) -> ComposeResult:
        yield Table(cursor_type="row", classes="upper")
        yield TextPage(wrap=True)

    def show_sight(self, sight: Sight) -> None:
        """List the tests of this plan in working order."""
        self.sight = sight
        if sight.plan is not None:
            plan = sight.plan
            self.run_worker(lambda: self._ask(plan), thread=True, exclusive=True, exit_on_error=False)

    def _ask(self, plan: Any) -> None:
        import wiring

        try:
            found, said = (
                wiring.commissioning(plan),
                "No tests yet: hoist type or receiver type is not known.",
            )
        except Exception as error:  # noqa: BLE001 - told, not fatal
            found, said = (), f"no tests: {type(error).__name__}: {error}"
        self.app.call_from_thread(self._show, found, said)

    def _show(self, found: tuple[Outcome, ...], said: str) -> None:
        if not self.is_mounted:
            return
        self.found = found
        rows = []
        for one in found:
            mark, verdict = SIGNS.get(one.answer, ("?", Verdict.UNKNOWN))
            ink = hex_of(self.app.current_theme, verdict)
            taken = one.record.measured if one.record else ""
            rows.append(
                (cell(f"{mark} {one.answer}", ink), cell(one.step.id), cell(one.step.wanted), cell(taken))
            )
        self.query_one(Table).show(("answer", "test", "wanted", "measured"), rows)
        if not found:
            self.query_one(TextPage).put(said)

    def on_data_table_row_highlighted(self, event: DataTable.RowHighlighted) -> None:
        event.stop()
        if event.cursor_row < len(self.found):
            one = self.found[event.cursor_row]
            lines = [one.step.group, f"do: {one.step.do}", f"wanted: {one.step.wanted}", one.why]
            lines += [f"likely: {cause}" for cause in one.causes] + (
                [f"next: {one.next}"] if one.next else []
            )
            self.query_one(TextPage).put("\n".join(clean(line) for line in lines if line))

    def on_data_table_row_selected(self, event: DataTable.RowSelected) -> None:
        event.stop()
        if event.cursor_row >= len(self.found):
            return
        step = self.found[event.cursor_row].step
        field = Field("measured", "text", required=True)
        choices = tuple((word, "") for word in step.words)
        done = lambda value, move: self._who(step.id, str(value))  # noqa: E731 - one call
        self._put(Ask(f"{step.id} measured", field, "", done, self.query_one(Table), choices, step.wanted))

    def _put(self, ask: Ask) -> None:
        self.screen.post_message(Asked(ask))

    def _who(self, test: str, measured: str) -> None:
        """Ask whose result it is, then add the record of this plan."""

        def done(value: Any, move: int) -> None:
            import wiring

            plan = self.sight.plan if self.sight else None
            self.by = str(value)
            if plan is None or self.sight is None or not self.sight.fresh:
                self.notify("the plan of this text is not there yet: record it again", severity="warning")
                return
            outcome = wiring.record(plan, test, measured, self.by)
            self.screen.post_message(EditJob([door.add_entry("record", outcome.record)], f"record {test}"))

        self._put(
            Ask("measured by", Field("by", "text", required=True), self.by, done, self.query_one(Table))
        )

    def action_approve(self) -> None:
        """Record that a licensed electrician has reviewed this very plan."""

        def named(value: Any, move: int) -> None:
            self._put(
                Ask(
                    "licence", Field("licence", "text"), "", lambda no, _: self._approve(str(value), no), back
                )
            )

        back = self.query_one(Table)
        hint = "name of the licensed electrician who reviewed the plan with the digest in Findings"
        self._put(Ask("reviewed by", Field("by", "text", required=True), "", named, back, (), hint))

    def _approve(self, by: str, licence: str | None) -> None:
        from wiring.model.job import Approval

        plan = self.sight.plan if self.sight else None
        if plan is None or self.sight is None or not self.sight.fresh:
            self.notify("the plan of this text is not there yet", severity="warning")
            return
        entry = Approval(by, licence, plan.digest, plan.parts, datetime.date.today())
        self.screen.post_message(EditJob([door.add_entry("approval", entry)], f"reviewed by {by}"))
