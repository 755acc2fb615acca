"""What is always there: the head, the verdict, the steps, the caution."""

from __future__ import annotations

from collections.abc import Mapping

from rich.cells import cell_len
from textual.content import Content
from textual.events import Click
from textual.message import Message
from textual.widgets import Static

from tui.sight import Sight
from tui.steps.order import STEPS, findings_of, worst
from tui.theme import INK
from wiring.model.finding import Problem, Verdict
from wiring.model.plan import Plan
from wiring.sheets.words import CAUTION, EXAMPLE, SIGNS, clean, verdict_line

JUDGED = frozenset(
    ("Scope", "Isolate", "Hoist", "Cores", "Receiver", "Connections", "Cables", "Proof", "Findings")
)

NARROW = 78  # cells of the verdict line on the smallest screen


def signs_of(plan: Plan | None) -> Mapping[str, Verdict | None]:
    """The worst verdict that each step can change; None where there is no plan or nothing judged."""
    if plan is None:
        return dict.fromkeys(step.name for step in STEPS)
    return {s.name: worst(findings_of(s, plan)) if s.name in JUDGED else None for s in STEPS}


class Head(Static):
    """Title of the job, its file, whether it is saved, and the EXAMPLE mark."""

    def show_sight(self, sight: Sight) -> None:
        job = sight.open
        title = clean(str(job.at("job.title") or "no title"))
        saved = "not saved" if job.dirty else "saved"
        width = self.app.size.width - 2
        right = [(f"{EXAMPLE} · ", "$text-accent")] if job.at("job.example") is True else []
        name = clean(job.path.name)
        if cell_len(title) + cell_len(name) + sum(cell_len(word) for word, _ in right) + 16 <= width:
            right.append((f"{name} ", "$secondary"))
        right.append((saved, "bold $text-warning" if job.dirty else "$secondary"))
        used = sum(cell_len(word) for word, _ in right)
        shown = Content.assemble((title, "bold")).truncate(max(10, width - used - 2), ellipsis=True)
        self.update(Content.assemble(shown, " " * max(2, width - shown.cell_length - used), *right))


class VerdictLine(Static):
    """The verdict with its stage; while a newer text is being planned, that too."""

    def show_sight(self, sight: Sight) -> None:
        self.update(verdict_of(sight))

    def show_running(self, sight: Sight, running: str) -> None:
        """The verdict, and how far a fault run is."""
        self.update(Content.assemble(verdict_of(sight), (f"  {running}" if running else "", "$text-accent")))


def line_of(problem: Problem) -> str:
    """Where a problem stands; nothing where it is the whole file's."""
    return f"line {problem.line} " if problem.line else ""


def verdict_of(sight: Sight) -> Content:
    """The verdict in words; problems of the file come before any verdict."""
    if sight.open.syntax:
        return Content.assemble((f"✗ The text is no job file: {clean(sight.open.syntax)}", "$text-error"))
    if sight.problems:
        count = len(sight.problems)
        first = sight.problems[0]
        return Content.assemble(
            (f"✗ {count} problem{'s' if count > 1 else ''} in the file, no verdict: ", "bold $text-error"),
            f"{line_of(first)}{clean(first.key)}",
        )
    if sight.error:
        return Content.assemble((f"✗ no verdict: {clean(sight.error)}", "$text-error"))
    if sight.plan is None:
        return Content.assemble(("… planning", "$secondary"))
    report = sight.plan.report
    line = verdict_line(report)
    stage = "" if line.casefold().startswith(report.stage) else f"{report.stage} · "
    busy = "" if sight.fresh else " …"
    if cell_len(stage + line + busy) > NARROW:
        line = line.replace(" to show later", " later")
    return Content.assemble(f"{stage}", (line, INK[report.verdict]), (busy, "$secondary"))


class StepBar(Static):
    """All steps in one line of 80 columns, each with its key and its sign."""

    class Picked(Message):
        def __init__(self, step: str) -> None:
            super().__init__()
            self.step = step

    def show(self, current: str, plan: Plan | None) -> None:
        signs = signs_of(plan)
        self.spans, parts, at = [], [], 0
        for step in STEPS:
            verdict = signs[step.name]
            mark = SIGNS[verdict][1] if verdict else " "
            word = f"{step.key}{step.short}{mark}"
            ink = INK[verdict] if verdict else "$secondary"
            parts.append((word, f"bold reverse {ink}" if step.name == current else ink))
            self.spans.append((at, at + len(word), step.name))
            at += len(word) + 1
            parts.append((" ", ""))
        self.update(Content.assemble(*parts[:-1]))

    spans: list[tuple[int, int, str]]

    def on_click(self, event: Click) -> None:
        for left, right, name in self.spans:
            if left <= event.get_content_offset_capture(self).x < right:
                self.post_message(self.Picked(name))


class StepSide(Static):
    """All steps one below the other, each with its key and its sign."""

    def show(self, current: str, plan: Plan | None) -> None:
        signs = signs_of(plan)
        lines = []
        for step in STEPS:
            verdict = signs[step.name]
            word, mark = (SIGNS[verdict][0], SIGNS[verdict][1]) if verdict else ("", " ")
            lead = "▸" if step.name == current else " "
            style = "bold" if step.name == current else ""
            lines += [
                (f"{lead}{step.key} {step.name:<12}", style),
                (f"{mark} {word}\n" if word else "\n", INK[verdict] if verdict else ""),
            ]
        self.update(Content.assemble(*lines))

    def on_click(self, event: Click) -> None:
        row = event.get_content_offset_capture(self).y
        if 0 <= row < len(STEPS):
            self.screen.post_message(StepBar.Picked(STEPS[row].name))


class Caution(Static):
    """The caution line, never hidden."""

    def __init__(self) -> None:
        super().__init__(CAUTION, markup=False, id="caution")
