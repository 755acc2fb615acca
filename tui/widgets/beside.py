"""The findings that a step can change, worst first, each with its next action."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from tui.messages import GoTo
from tui.sight import Sight
from tui.steps.order import Step, findings_of, home_of, key_at
from tui.theme import INK
from tui.widgets.frame import line_of
from wiring.model.finding import Finding, Problem
from wiring.sheets.words import clean, sign


class Beside(OptionList):
    """Enter goes to the key of the job that the finding or problem is about."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("enter", "select", "go there")]

    def __init__(self, id: str | None = None) -> None:
        super().__init__(markup=False, id=id)
        self.targets: list[tuple[str, str]] = []

    def show(self, step: Step, sight: Sight) -> None:
        """List problems of the file, or else the step's findings."""
        at = self.highlighted
        self.clear_options()
        self.targets = []
        if sight.problems:
            for problem in sight.problems:
                self._add(problem_text(problem), "", problem.key)
        elif sight.plan is not None:
            for finding in findings_of(step, sight.plan):
                home = home_of(finding, sight.plan.job).name
                key = key_at(sight.plan.job, finding.where) if finding.where else ""
                self._add(finding_text(finding), home, key)
            if not self.targets:
                self.add_option(Option(Content("no objection that this step could change"), disabled=True))
        if at is not None and self.option_count:
            self.highlighted = min(at, self.option_count - 1)

    def _add(self, text: Content, step: str, key: str) -> None:
        self.targets.append((step, key))
        self.add_option(Option(text))

    @on(OptionList.OptionSelected)
    def _picked(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        if event.option_index < len(self.targets):
            self.screen.post_message(GoTo(*self.targets[event.option_index]))


def finding_text(finding: Finding) -> Content:
    """A finding in two or three lines, narrow."""
    about = " (as found)" if finding.about == "before" else ""
    parts: list[tuple[str, str] | str] = [
        (sign(finding.verdict), f"bold {INK[finding.verdict]}"),
        f" {finding.rule}",
        (f" {clean(finding.subject)}{about}", "$secondary"),
        f"\n{clean(finding.found)}",
    ]
    if finding.remedy:
        parts.append((f"\ndo: {clean(finding.remedy)}", "$text-accent"))
    return Content.assemble(*parts)


def problem_text(problem: Problem) -> Content:
    """A problem of the file in three lines."""
    near = f"; nearest: {clean(problem.nearest)}" if problem.nearest else ""
    return Content.assemble(
        (f"✗ {line_of(problem)}{clean(problem.key)}", "bold $text-error"),
        f"\nfound {clean(problem.found)}",
        (f"\nallowed: {clean(problem.allowed)}{near}", "$text-accent"),
    )


def worst_line(step: Step, sight: Sight, width: int) -> Content:
    """The step's worst finding with its next action in one line, for narrow screens."""
    if sight.problems:
        first = sight.problems[0]
        text = f"✗ {first.key}: found {first.found}; allowed: {first.allowed}"
        return Content.assemble((clean(text), "$text-error")).truncate(width, ellipsis=True)
    found = findings_of(step, sight.plan) if sight.plan else []
    if not found:
        return Content("")
    first_one = found[0]
    more = f"  (+{len(found) - 1}: Ctrl+F)" if len(found) > 1 else ""
    text = f"{sign(first_one.verdict)} {first_one.rule}: do: {first_one.remedy or first_one.wanted}"
    line = Content.assemble((clean(text), INK[first_one.verdict]))
    return Content.assemble(line.truncate(max(10, width - len(more)), ellipsis=True), (more, "$secondary"))
