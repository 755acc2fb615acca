"""The guided test of the receiver alone on the bench: one step at a time, answers into the file."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets import Static

from tui.fields import Field
from tui.messages import Ask, Asked, EditJob
from tui.sight import Sight
from tui.widgets.page import TextPage
from wiring.model.plan import Plan
from wiring.sheets.words import clean

RESULTS = ("opens", "closes", "stays")


class BenchTest(TextPage):
    """Enter answers the step that is asked for, `s` skips it."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "answer", "answer"),
        Binding("s", "skip", "skip"),
    ]

    def __init__(self) -> None:
        super().__init__(wrap=True)
        self.sight: Sight | None = None
        self.session: Any = None
        self.passed: frozenset[str] = frozenset()  # steps that leave nothing in the file
        self.apart: tuple[str, ...] = ()
        self.skipped: frozenset[str] = frozenset()
        self.said = ""

    def compose(self) -> ComposeResult:
        yield Static("", markup=False)

    def show_sight(self, sight: Sight) -> None:
        """Begin where the results in the file leave off."""
        self.sight = sight
        plan = sight.plan
        if plan is None or not sight.fresh:
            return
        self.run_worker(lambda: self._start(plan), thread=True, exclusive=True, exit_on_error=False)

    def _start(self, plan: Plan) -> None:
        import wiring

        try:
            session: Any = wiring.bench_test(plan.job, plan.catalog)
            session = replace(
                session, passed=session.passed | self.passed, apart=self.apart, skipped=self.skipped
            )
            lines = told(session, self.said)
        except Exception as error:  # noqa: BLE001 - told, not fatal
            session, lines = None, Content(f"no bench test: {type(error).__name__}: {error}")
        self.app.call_from_thread(self._show, session, lines)

    def _show(self, session: Any, lines: Content) -> None:
        if self.is_mounted:
            self.session = session
            self.put(lines)

    def action_answer(self) -> None:
        """Type what was seen."""
        wanted = self.session.wanted() if self.session else None
        if wanted is None:
            return
        words = [word for word in (*RESULTS, "yes", "no", "OL", "none") if word in wanted.allowed]
        field = Field("answer", "text", required=True)
        done = lambda value, move: self.take(str(value))  # noqa: E731 - one call
        choices = tuple((word, "") for word in words)
        label = f"{wanted.test} {wanted.output}".strip()
        self.screen.post_message(Asked(Ask(label, field, "", done, self, choices, wanted.allowed)))

    def action_skip(self) -> None:
        self.take("skip")

    def take(self, text: str) -> None:
        """One answer: into the session, and what it leaves into the file."""
        wanted = self.session.wanted() if self.session else None
        if wanted is None:
            return
        try:
            after = self.session.answer(wanted.step, text)
        except Exception as error:  # noqa: BLE001 - the reason is shown, the step is asked again
            self.said = str(error)
            self.put(told(self.session, self.said))
            return
        self.said = ""
        edits = after.edits()
        self.apart, self.skipped = after.apart, after.skipped
        if not edits or wanted.step.name in after.skipped:
            self.passed |= {wanted.step.name}
        self.session = replace(after, job=self.session.job)
        self.put(told(after, ""))
        if edits:
            self.screen.post_message(EditJob(edits, f"bench test {wanted.test} {wanted.output}"))


def told(session: Any, said: str) -> Content:
    """How far it is, what it showed, the next step."""
    steps = session.steps
    left = sum(step.name not in session.passed for step in steps)
    parts: list[tuple[str, str] | str] = [
        ("Receiver alone on the bench, nothing connected to its contacts. ", "bold"),
        f"{left} of {len(steps)} steps left.\n",
    ]
    parts += [(f"✗ {clean(one)}\n", "$text-error") for one in session.objections()]
    wanted = session.wanted()
    if wanted is None:
        parts.append("\nEvery step is answered or was skipped. Results stand in the next leaf.\n")
    else:
        parts += [("\nNext: ", "bold $primary"), (f"{clean(wanted.do)}\n", "bold")]
        parts += [
            (f"why: {clean(wanted.why)}\n", "$secondary"),
            f"answer: {clean(wanted.allowed)}; s skips\n",
        ]
    if said:
        parts.append((f"✗ {clean(said)}\n", "$text-error"))
    return Content.assemble(*parts)
