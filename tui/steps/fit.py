"""Which receivers would do: every type of the catalog judged for this hoist, and what to buy by."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, ClassVar

from textual import on
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets import OptionList

from tui.messages import EditJob
from tui.sight import Sight
from tui.steps.offers import Offers
from tui.writing import setting
from wiring.model.plan import Plan
from wiring.sheets.words import clean

if TYPE_CHECKING:
    from wiring.model.proposal import Fit

INK = {"direct": "$text-success", "with devices": "$text-warning", "do not use": "$text-error"}
SIGN = {"direct": "·", "with devices": "?", "do not use": "✗"}


def fit_text(fit: Fit) -> Content:
    """One receiver type: the answer, what it needs, what stays open."""
    parts: list[tuple[str, str] | str] = [
        (f"{SIGN.get(fit.verdict, '?')} {fit.verdict}", f"bold {INK.get(fit.verdict, '')}".strip()),
        (f"  {clean(fit.receiver)}\n", "bold"),
        f"  {clean(fit.why)}\n",
    ]
    if fit.needs:
        parts.append(f"  needs: {clean(', '.join(fit.needs))}\n")
    parts += [(f"  open: {clean(one)}\n", "$secondary") for one in fit.open]
    return Content.assemble(*parts)


class WhichFits(Offers):
    """`j` judges every receiver type, Enter takes the one under the cursor into the job."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("j", "judge", "judge")]
    NOTE, LIST = "fit-note", "fits"

    def __init__(self) -> None:
        super().__init__()
        self.found: tuple[Fit, ...] = ()

    def show_sight(self, sight: Sight) -> None:
        self.sight = sight
        if not self.found:
            self.say("j: judge every receiver type for this hoist; each one is planned. Enter takes one.")

    def action_judge(self) -> None:
        """Ask the planner in a worker."""
        plan = self.sight.plan if self.sight else None
        if plan is None or plan.before is None:
            self.say("The hoist type comes first: step Hoist, key 3.")
            return
        self.say("... every type is planned; this takes a while")
        self.run_worker(lambda: self._ask(plan), thread=True, exclusive=True, exit_on_error=False)

    def _ask(self, plan: Plan) -> None:
        import wiring

        wants: tuple[Any, ...] = ()
        try:
            found, said = wiring.fit(plan.job, plan.catalog), ""
            wants = wiring.specification(plan.job, plan.catalog)
        except Exception as error:  # noqa: BLE001 - told, not fatal
            found, said = (), f"not judged: {type(error).__name__}: {error}"
        self.app.call_from_thread(self._show, found, wants, said)

    def _show(self, found: tuple[Fit, ...], wants: tuple[Any, ...], said: str) -> None:
        if not self.is_mounted:
            return
        self.found = found
        lines = "\n".join(f"  {clean(one.what)}: {clean(one.wanted)}. {clean(one.why)}" for one in wants)
        buy = Content.assemble(("To buy by\n", "bold"), lines) if wants else None
        self.offer(map(fit_text, found), said or f"{len(found)} types judged, best first", buy)

    @on(OptionList.OptionSelected)
    def _taken(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        if self.sight is not None and event.option_index < len(self.found):
            word = self.found[event.option_index].receiver
            edits = setting(self.sight.open, "receiver.type", word)
            if edits:
                self.screen.post_message(EditJob(edits, f"receiver type {word}"))
