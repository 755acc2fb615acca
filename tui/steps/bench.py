"""The bench: both circuits to play with, side by side."""

from __future__ import annotations

from typing import Any, ClassVar

from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, ItemGrid, Vertical
from textual.content import Content
from textual.widgets import Static

from tui.fields import Field
from tui.messages import Ask, Asked, OnBench
from tui.sight import Sight
from tui.twin import SIDES, Control, Twin, words
from tui.widgets.hold import HoldKey, Knob, Turn
from tui.widgets.ladder import draw_side, live, reflow
from tui.widgets.page import TextPage
from wiring.model.plan import Plan
from wiring.sheets.words import clean

TITLES = {"before": "As found (pendant)", "after": "As converted (receiver)"}
SPECIAL = (("dip", "mains dip"), ("fault", "fault"), ("start", "give START"), ("back", "step back"))
TOLD = 6  # last steps shown


class Board(Vertical):
    """One circuit: what moves and what is energised, and its rungs."""

    def __init__(self, side: str) -> None:
        super().__init__(classes="board", id=f"board-{side}")
        self.side = side

    def compose(self) -> ComposeResult:
        yield Static("", markup=False, classes="told")
        yield TextPage()

    def say(self, content: Content) -> None:
        self.query_one(".told", Static).update(content)


class BenchLeaf(Vertical):
    """Keys are held with the mouse or latched with Space; everything else is turned."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("z", "back", "back"),
        Binding("x", "fault", "break something", show=False),
        Binding("r", "repair", "repair", show=False),
        Binding("n", "anew", "begin anew", show=False),
        Binding("c", "circuit", "rungs"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.sight: Sight | None = None
        self.twin: Twin | None = None
        self.ladders: dict[str, str] = {}
        self.built: tuple[Control, ...] = ()
        self.wanted: OnBench | None = None
        self.view = 0

    def compose(self) -> ComposeResult:
        yield Static("", markup=False, classes="note", id="bench-said")
        yield ItemGrid(min_column_width=15, id="knobs")
        yield Static("", markup=False, id="bench-story", classes="quiet")
        with Horizontal(id="boards"):
            for side in SIDES:
                yield Board(side)

    # ---- what is on the bench -------------------------------------------------

    async def show_sight(self, sight: Sight) -> None:
        """Put the circuits of a new plan on the bench; of the same plan, leave it as it is."""
        self.sight = sight
        plan = sight.plan
        if plan is None or plan.before is None:
            self.say(
                "planning" if plan is None else "No circuit: the hoist type is not known. Key 3 leads to it."
            )
            return
        if self.twin is None or self.twin.plan.digest != plan.digest:
            again = self.twin is not None
            self.twin = Twin(plan)
            self.say("The job changed: the bench begins anew." if again else "")
            self.run_worker(lambda: self._draw(plan), thread=True, exclusive=True, exit_on_error=False)
            await self._build(self.twin)
        if self.wanted is not None:
            self.put(self.wanted)
        self.refresh_boards()

    async def _build(self, twin: Twin) -> None:
        """One knob for each control; START where there is one to give."""
        controls = twin.controls
        if controls == self.built:
            return
        grid = self.query_one("#knobs", ItemGrid)
        await grid.remove_children()
        knobs: list[Knob] = [HoldKey(c) if c.held else Turn(c.id, c.label) for c in controls]
        special = [pair for pair in SPECIAL if pair[0] != "start" or twin.starts]
        await grid.mount(*knobs, *(Turn(id, label) for id, label in special))
        self.built = controls
        if self.screen.focused is None or self in self.screen.focused.ancestors:
            self.screen.set_focus(knobs[0])

    def _draw(self, plan: Plan) -> None:
        """Draw both circuits as text, in a worker."""
        made = {}
        for side in SIDES:
            try:
                made[side] = draw_side(plan, side) if getattr(plan, side) is not None else ""
            except Exception as error:  # noqa: BLE001 - the words above stay; the rungs say why not
                made[side] = f"no rungs: {error}"
        self.app.call_from_thread(self._drawn, plan, made)

    def _drawn(self, plan: Plan, made: dict[str, str]) -> None:
        if self.twin is not None and self.twin.plan is plan and self.is_mounted:
            self.ladders = made
            self.refresh_boards()

    def put(self, wanted: OnBench) -> None:
        """Play a state or a fault of a table here."""
        if self.twin is None:
            self.wanted = wanted
            return
        self.wanted = None
        lost = self.twin.jump(sorted(wanted.state), wanted.faults)
        told = "  ".join(f"{n} {step}" for n, step in enumerate(wanted.told, 1))
        self.say(f"not in these circuits: {lost}" if lost else f"story: {told}" if told else "")
        self.refresh_boards()

    # ---- showing ----------------------------------------------------------------

    def say(self, text: str) -> None:
        said = self.query_one("#bench-said", Static)
        said.display = bool(text)
        said.update(Content(clean(text)))

    def refresh_boards(self) -> None:
        """Show what moves, what is energised, what is held, in both circuits."""
        twin = self.twin
        if twin is None:
            return
        for knob in self.query(Knob):
            if isinstance(knob, HoldKey):
                knob.show(twin.on(knob.held))
            elif isinstance(knob, Turn):
                self._show_turn(knob, twin)
        for side in SIDES:
            self._show_board(side, twin)
        story = " · ".join(twin.story[-TOLD:])
        self.query_one("#bench-story", Static).update(Content(clean(f"so far: {story}")))

    def _show_turn(self, knob: Turn, twin: Twin) -> None:
        control = next((c for c in twin.controls if c.id == knob.turned), None)
        if control is not None:
            on = twin.on(control)
            lost = control.kind in ("link", "supply")
            knob.draw(on != lost, "LOST" if on and lost else "")
            knob.set_class(on, "operated")
        else:
            count = len(twin.faults) if knob.turned == "fault" else 0
            knob.draw(count > 0, str(count) if count else "")

    def _show_board(self, side: str, twin: Twin) -> None:
        board = self.query_one(f"#board-{side}", Board)
        now = twin.now(side)
        circuit = getattr(twin.plan, side)
        if now is None or circuit is None:
            board.say(
                Content.assemble((TITLES[side], "bold"), "\nno circuit: the receiver type is not known")
            )
            return
        parts: list[tuple[str, str] | str] = [(TITLES[side], "bold $primary"), ""]
        for title, text, bad in words(now):
            style = "bold $text-error" if bad else "bold" if title == "moves" and now.motions else ""
            sign = "✗ " if bad else ""
            parts += ["\n", (f"{title}: ", "$secondary"), (f"{sign}{clean(text)}", style)]
        broken = twin.benches[side].faults
        if broken:
            parts += ["\n", ("faults: ", "$secondary"), (clean(", ".join(broken)), "$text-warning")]
        board.say(Content.assemble(*parts))
        if self.ladders.get(side):
            page = board.query_one(TextPage)
            width = max(40, (page.size.width or self.size.width // 2) - 2)
            page.put(live(reflow(self.ladders[side], width), circuit, now))

    # ---- doing ------------------------------------------------------------------

    @on(HoldKey.Held)
    def _held(self, event: HoldKey.Held) -> None:
        event.stop()
        if self.twin is not None:
            self.twin.hold(event.key)
            self.refresh_boards()

    @on(HoldKey.Released)
    def _released(self, event: HoldKey.Released) -> None:
        event.stop()
        if self.twin is None:
            return
        if event.everything:
            self.twin.hands_off()
        elif self.twin.on(event.key):
            self.twin.let_go(event.key)
        self.refresh_boards()

    @on(Turn.Turned)
    def _turned(self, event: Turn.Turned) -> None:
        event.stop()
        twin = self.twin
        if twin is None:
            return
        control = next((c for c in twin.controls if c.id == event.turned), None)
        if control is not None:
            twin.turn(control)
        elif event.turned == "dip":
            twin.dip()
        elif event.turned == "start":
            twin.arm()
        elif event.turned == "back":
            twin.back()
        else:
            self.action_fault()
        self.refresh_boards()

    def action_back(self) -> None:
        if self.twin is not None:
            self.twin.back()
            self.refresh_boards()

    def action_repair(self) -> None:
        if self.twin is not None:
            self.twin.repair()
            self.refresh_boards()

    def action_anew(self) -> None:
        if self.twin is not None:
            self.twin.jump((), ())
            self.refresh_boards()

    def action_circuit(self) -> None:
        """On a small screen: both in words, then the rungs of one, then of the other."""
        self.view = (self.view + 1) % 3
        self.set_class(self.view == 1, "rungs-before")
        self.set_class(self.view == 2, "rungs-after")
        self.call_after_refresh(self.refresh_boards)

    def action_fault(self) -> None:
        """Ask for a fault to set now; the faults of the last run complete it."""
        if self.twin is None:
            return
        shown = self.twin.plan.behaviour
        known = [one for r in (shown.faults.results if shown and shown.faults else ()) for one in r.fault]
        choices = (("none", "repair everything"), *((one, "") for one in dict.fromkeys(known)))

        def done(value: Any, move: int) -> None:
            if self.twin is None or value is None:
                return
            why = ""
            if value == "none":
                self.twin.repair()
            else:
                why = self.twin.fault(str(value))
            self.say(f"✗ {why}" if why else "")
            self.refresh_boards()

        hint = "K10.up stuck-in, hoist:K1 stuck-in, short core:1 core:2, earth core:2 ..."
        field = Field("fault", "text")
        self.screen.post_message(
            Asked(Ask("fault", field, "", done, self.query(Knob).first(), choices, hint))
        )

    # ---- hands off, whatever happens ----------------------------------------------

    def hands_off(self) -> None:
        """Let go of what the mouse holds."""
        for key in self.query(HoldKey):
            key.spring()

    def on_app_blur(self, event: events.AppBlur) -> None:
        self.hands_off()

    def on_hide(self, event: events.Hide) -> None:
        self.hands_off()

    def on_resize(self, event: events.Resize) -> None:
        self.hands_off()
        self.call_after_refresh(self.refresh_boards)
