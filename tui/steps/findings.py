"""Findings: the overview, and every answer of every rule with a filter."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import DataTable, Input

from tui.messages import GoTo, Hint
from tui.sight import Sight
from tui.steps.order import OBJECTIONS, STEPS, findings_of, home_of, key_at
from tui.steps.pane import StepPane
from tui.steps.remedies import Remedies
from tui.theme import INK, hex_of
from tui.widgets.filter import FilterLine
from tui.widgets.finding import detail
from tui.widgets.page import TextPage
from tui.widgets.table import Table, cell
from wiring.model.finding import Finding, Verdict
from wiring.sheets.words import clean, opening, sign, verdict_line

SHOWN = ("objections", "all", "pass", "to show")
WORST = 3


class Overview(TextPage):
    """The verdict, the three worst, each step, what was not checked."""

    def show_sight(self, sight: Sight) -> None:
        if sight.plan is None:
            self.put("... planning")
            return
        plan = sight.plan
        report = plan.report
        parts: list[tuple[str, str] | str] = [f"{line}\n" for line in opening(plan)]
        parts += [
            "\n",
            (f"{verdict_line(report)}\n", f"bold {INK[report.verdict]}"),
            f"digest {plan.digest}\n\n",
        ]
        objections = [f for f in report.findings if f.verdict in OBJECTIONS]
        if objections:
            parts.append(("Worst first\n", "bold"))
        for finding in objections[:WORST]:
            parts += [
                (
                    f"{sign(finding.verdict)}  {finding.rule}  {clean(finding.subject)}\n",
                    INK[finding.verdict],
                ),
                f"   {clean(finding.found)}\n",
                (f"   do: {clean(finding.remedy)}\n" if finding.remedy else "", "$text-accent"),
            ]
        parts.append(("\nBy step\n", "bold"))
        for step in STEPS[:8]:
            found = findings_of(step, plan)
            fails = sum(f.verdict is Verdict.FAIL for f in found)
            parts.append(f"  {step.name:<12} {fails} fail, {len(found) - fails} unknown\n")
        before = report.counts_before
        parts.append(
            f"\nThe hoist as found: {before.failed} fail, {before.unknown} unknown, counted apart.\n"
        )
        if report.not_checked:
            parts.append(f"\nNot checked: {clean('; '.join(report.not_checked))}.\n")
        self.put(Content.assemble(*parts))


class FindingTable(Table):
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("v", "screen_filter", "verdicts shown"),
        Binding("slash", "find", "filter", key_display="/"),
    ]

    def action_screen_filter(self) -> None:
        self.query_ancestor(AllFindings).turn()

    def action_find(self) -> None:
        self.screen.set_focus(self.query_ancestor(AllFindings).query_one(Input))


class AllFindings(Vertical):
    """A table of findings with the one under the cursor in full below it."""

    def __init__(self) -> None:
        super().__init__(classes="halves")
        self.kind = 0
        self.found: list[Finding] = []
        self.sight: Sight | None = None

    def compose(self) -> ComposeResult:
        yield FilterLine()
        yield FindingTable(cursor_type="row", classes="upper")
        yield TextPage(wrap=True)

    def turn(self) -> None:
        """Show other verdicts."""
        self.kind = (self.kind + 1) % len(SHOWN)
        self.fill()

    def show_sight(self, sight: Sight) -> None:
        self.sight = sight
        self.fill()

    @on(FilterLine.Changed)
    def fill(self) -> None:
        """Fill the table with what the filter lets through."""
        plan = self.sight.plan if self.sight else None
        if plan is None:
            return
        line = self.query_one(FilterLine)
        both = (*plan.report.findings, *plan.report.to_show)
        self.found = [
            f for f in both if self._shown(f) and line.fits(f"{f.rule} {f.subject} {f.found} {f.about}")
        ]
        line.say(f"{SHOWN[self.kind]}: {len(self.found)} of {len(both)} · v other verdicts")
        theme = self.app.current_theme
        rows = []
        for f in self.found:
            about = " (as found)" if f.about == "before" else ""
            verdict = cell(sign(f.verdict), hex_of(theme, f.verdict))
            rows.append((verdict, cell(f.rule), cell(f"{f.subject}{about}"), cell(f.found[:200])))
        self.query_one(FindingTable).show(("verdict", "rule", "subject", "found"), rows)
        self._detail(self.query_one(FindingTable).cursor_row)

    def _shown(self, finding: Finding) -> bool:
        kind = SHOWN[self.kind]
        if kind == "objections":
            return finding.verdict in OBJECTIONS
        if kind == "to show":
            return finding.verdict is Verdict.TO_SHOW
        return kind == "all" or finding.verdict is Verdict.PASS

    @on(DataTable.RowHighlighted)
    def _moved(self, event: DataTable.RowHighlighted) -> None:
        event.stop()
        self._detail(event.cursor_row)
        self.screen.post_message(Hint("Enter goes to where it can be changed"))

    def _detail(self, row: int) -> None:
        text = detail(self.found[row]) if 0 <= row < len(self.found) else Content("nothing fits the filter")
        self.query_one(TextPage).put(text)

    @on(DataTable.RowSelected)
    def _entered(self, event: DataTable.RowSelected) -> None:
        event.stop()
        plan = self.sight.plan if self.sight else None
        if plan is not None and event.cursor_row < len(self.found):
            finding = self.found[event.cursor_row]
            key = key_at(plan.job, finding.where) if finding.where else ""
            self.screen.post_message(GoTo(home_of(finding, plan.job).name, key))


class FindingsPane(StepPane):
    LEAVES = (
        ("Overview", lambda: Overview(wrap=True)),
        ("All", AllFindings),
        ("Remedies", Remedies),
    )
