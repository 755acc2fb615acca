"""The desk: the open job with its steps. Everything else is laid on it."""

from __future__ import annotations

import gc
from typing import Any, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.screen import Screen
from textual.widgets import ContentSwitcher, Footer, Static

from tui.editing import Editing
from tui.filing import Filing
from tui.messages import Asked, DraftFailed, GoTo, Hint, OnBench, PlanFailed, PlanReady, RunFaults, Running
from tui.openjob import OpenJob
from tui.palette import Commands
from tui.sight import Sight
from tui.steps.order import BY_NAME, STEPS, step_of_key
from tui.steps.pane import StepPane
from tui.steps.panes import pane_for
from tui.widgets.beside import Beside, worst_line
from tui.widgets.editor import EditorLine
from tui.widgets.frame import Caution, Head, StepBar, StepSide, VerdictLine
from tui.work import Worker

IDLE = 0.7  # seconds without an edit before single faults are run


class Desk(Filing, Editing, Screen[None]):
    """Shows the job text and its plan; edits go through `Editing`, files through `Filing`."""

    COMMANDS = {Commands}
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (120, "-wide")]
    BINDINGS: ClassVar[list[BindingType]] = [
        *(Binding(f"{'minus' if s.key == '-' else s.key},{s.twin}", f"step('{s.name}')", s.name, show=False)
          for s in STEPS),
        Binding("right_square_bracket", "leaf(1)", "next leaf", key_display="]", show=False),
        Binding("left_square_bracket", "leaf(-1)", "leaf before", key_display="[", show=False),
        Binding("f1", "help", "help", priority=True),
        Binding("ctrl+s", "save", "save", priority=True),
        Binding("ctrl+z", "undo", "undo", priority=True),
        Binding("ctrl+y", "redo", "redo", priority=True, show=False),
        Binding("ctrl+f", "beside", "findings", priority=True),
        Binding("ctrl+g", "next_step(1)", "next step", priority=True, show=False),
        Binding("ctrl+b", "next_step(-1)", "step before", priority=True, show=False),
        Binding("ctrl+r", "raw", "job file as text", priority=True, show=False),
        Binding("ctrl+n", "new", "new job", priority=True, show=False),
        Binding("ctrl+o", "open_other", "open another job", priority=True, show=False),
        Binding("ctrl+t", "look", "light or dark", priority=True, show=False),
    ]  # fmt: skip
    EXTRA: ClassVar[tuple[tuple[str, str, str], ...]] = (
        ("Run single faults", "every single fault on both circuits", "faults('single')"),
        ("Run double faults", "every pair of faults; takes a while", "faults('double')"),
        ("Give up the fault run", "cancel what is running", "faults('')"),
    )

    def __init__(self, job: OpenJob) -> None:
        super().__init__()
        self.sight = Sight(job)
        self.step = STEPS[0]
        self.worker = Worker(self, job.path)
        self.running = ""
        self.auto_faults = True
        self.settled = False
        self._idle: Any = None

    def compose(self) -> ComposeResult:
        yield Head(markup=False, id="head")
        yield VerdictLine(markup=False, id="verdict")
        yield StepBar(markup=False, id="bar")
        with Horizontal(id="middle"):
            yield StepSide(markup=False, id="side")
            with Vertical(id="work"):
                yield ContentSwitcher(id="panes")
                yield EditorLine()
            yield Beside(id="beside")
        yield Static("", markup=False, id="worst")
        yield Caution()
        yield Footer(compact=True, show_command_palette=True)

    async def on_mount(self) -> None:
        await self.action_step(self.step.name)
        self.call_after_refresh(self.plan_now)

    def on_unmount(self) -> None:
        self.worker.end()

    def on_resize(self) -> None:
        self.show_all()

    # ---- steps --------------------------------------------------------------

    async def action_step(self, name: str, path: str = "") -> None:
        """Turn to a step and, where a key path is named, to that key."""
        self.remove_class("turned")
        self.step = BY_NAME[name]
        switcher = self.query_one("#panes", ContentSwitcher)
        pane = next((one for one in switcher.children if one.id == self.step.id), None)
        if pane is None:
            pane = pane_for(self.step)
            await switcher.mount(pane)
        switcher.current = self.step.id
        assert isinstance(pane, StepPane)
        self.query_one(EditorLine).rest("")
        pane.show_sight(self.sight)
        self.show_frame()
        if path:
            await pane.go_to(path)
        elif self.query_one(EditorLine).ask is None:
            pane.focus_first()

    async def action_next_step(self, by: int) -> None:
        at = STEPS.index(self.step)
        await self.action_step(STEPS[(at + by) % len(STEPS)].name)

    async def action_leaf(self, by: int) -> None:
        """Turn to another leaf of this step."""
        self.query_one(EditorLine).rest("")
        if self.pane is not None:
            await self.pane.turn_by(by)

    @property
    def pane(self) -> StepPane | None:
        shown = self.query_one("#panes", ContentSwitcher).visible_content
        return shown if isinstance(shown, StepPane) else None

    @on(StepBar.Picked)
    async def _picked(self, event: StepBar.Picked) -> None:
        await self.action_step(event.step)

    @on(GoTo)
    async def _go_to(self, event: GoTo) -> None:
        """To a finding's key; a key that no step edits is shown in the text of the file."""
        step = BY_NAME.get(event.step) or step_of_key(event.path)
        if step is None:
            self.action_raw(event.path)
        else:
            await self.action_step(step.name, event.path)

    @on(OnBench)
    async def _on_bench(self, event: OnBench) -> None:
        """A state or fault of a table, played on the bench."""
        await self.action_step("Proof")
        if self.pane is not None:
            await self.pane.put(event)

    def action_beside(self) -> None:
        """To the findings that this step can change, and back."""
        beside = self.query_one(Beside)
        if beside.has_focus:
            self.remove_class("turned")
            if self.pane is not None:
                self.pane.focus_first()
            return
        self.add_class("turned")
        self.set_focus(beside)
        if beside.highlighted is None and beside.option_count:
            beside.highlighted = 0

    # ---- showing ------------------------------------------------------------

    def show_all(self) -> None:
        """Show the job as it is now in every part that is seen."""
        if not self.is_mounted:
            return
        self.show_frame()
        switcher = self.query_one("#panes", ContentSwitcher)
        for pane in switcher.children:
            if isinstance(pane, StepPane):
                if pane is self.pane:
                    pane.show_sight(self.sight)
                else:
                    pane.sight, pane.stale = self.sight, set(range(len(pane.LEAVES)))

    def show_frame(self) -> None:
        plan = self.sight.plan
        self.query_one(Head).show_sight(self.sight)
        self.query_one(VerdictLine).show_sight(self.sight)
        self.query_one(StepBar).show(self.step.name, plan)
        self.query_one(StepSide).show(self.step.name, plan)
        self.query_one(Beside).show(self.step, self.sight)
        self.query_one("#worst", Static).update(worst_line(self.step, self.sight, self.size.width - 2))

    @on(Hint)
    def _hint(self, event: Hint) -> None:
        self.query_one(EditorLine).rest(event.text)

    @on(Asked)
    def _asked(self, event: Asked) -> None:
        self.query_one(EditorLine).open(event.ask)

    # ---- planning -----------------------------------------------------------

    def plan_now(self) -> None:
        """Have the text planned as it is now."""
        self.worker.want(self.sight.open.number, self.sight.open.text)
        if self._idle is not None:
            self._idle.stop()

    @on(PlanReady)
    def _planned(self, event: PlanReady) -> None:
        self.running = ""
        if event.number != self.sight.open.number:
            return
        if self.sight.plan is not None and self.sight.plan.digest != event.plan.digest:
            self.sight.earlier = self.sight.plan
        self.sight.plan, self.sight.catalog = event.plan, event.plan.catalog
        self.sight.problems, self.sight.error, self.sight.number = (), "", event.number
        if not self.settled:
            self.settled = True
            gc.freeze()  # engine and catalog stay: no need to look through them again and again
        self.show_all()
        if event.faults == "none" and self.auto_faults and event.plan.behaviour is not None:
            self._idle = self.set_timer(IDLE, lambda: self.action_faults("single"))

    @on(PlanFailed)
    def _not_planned(self, event: PlanFailed) -> None:
        self.running = ""
        if event.faults != "none" and event.error:
            self.notify(
                f"{event.faults} faults could not be run: {event.error}", severity="error", markup=False
            )
            self.query_one(VerdictLine).show_running(self.sight, "faults not run")
            return
        if event.number == self.sight.open.number:
            self.sight.problems, self.sight.error = event.problems, event.error
            self.sight.number, self.sight.catalog = event.number, event.catalog or self.sight.catalog
            self.show_all()

    def action_faults(self, kind: str) -> None:
        """Run the faults of a kind, or give up the run under way."""
        if not kind:
            self.worker.cancel()
            self.running = ""
            self.notify("fault run given up", markup=False)
        else:
            self.running = f"{kind} faults: starting"
            self.worker.want(self.sight.open.number, self.sight.open.text, kind)
        self.query_one(VerdictLine).show_running(self.sight, self.running)

    @on(RunFaults)
    def _faults(self, event: RunFaults) -> None:
        self.action_faults(event.kind)

    @on(Running)
    def _progress(self, event: Running) -> None:
        self.running = f"faults {event.done} of {event.total}"
        self.query_one(VerdictLine).show_running(self.sight, self.running)

    @on(DraftFailed)
    def _no_draft(self, event: DraftFailed) -> None:
        self.notify(f"no draft could be kept: {event.why}", severity="warning", markup=False)
