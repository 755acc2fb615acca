"""Remedies: the smallest changes of the file that answer what fails, each one planned before it is shown."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets import OptionList

from tui.messages import EditJob
from tui.sight import Sight
from tui.steps.offers import Offers
from wiring.model.plan import Plan
from wiring.sheets.words import clean, verdict_line

if TYPE_CHECKING:
    from wiring.model.proposal import Change


def change_text(change: Change) -> Content:
    """What a change answers and leaves, and its lines."""
    parts: list[tuple[str, str] | str] = [(f"answers: {clean('; '.join(change.answers))}\n", "bold")]
    if change.plan is not None:
        parts.append(f"{verdict_line(change.plan.report)}\n")
    for line in change.diff.split("\n"):
        if line.startswith(("+++", "---", "@@")):
            continue
        ink = (
            "$text-success"
            if line.startswith("+")
            else "$text-error"
            if line.startswith("-")
            else "$secondary"
        )
        parts.append((f"{clean(line)}\n", ink))
    parts += [(f"leaves: {clean(one)}\n", "$text-warning") for one in change.leaves]
    return Content.assemble(*parts)


class Remedies(Offers):
    """`m` looks for remedies, Enter takes the one under the cursor."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("m", "look", "look for remedies")]
    NOTE, LIST = "remedy-note", "remedies"

    def __init__(self) -> None:
        super().__init__()
        self.found: tuple[Change, ...] = ()
        self.digest = ""

    def show_sight(self, sight: Sight) -> None:
        """Forget remedies of another plan."""
        self.sight = sight
        digest = sight.plan.digest if sight.plan else ""
        if digest != self.digest:
            self.digest, self.found = digest, ()
            self.query_one(OptionList).clear_options()
            self.say("m: look for the smallest change that answers each failure. Enter takes one.")

    def action_look(self) -> None:
        """Search in a worker."""
        if self.sight is None or self.sight.plan is None or not self.sight.fresh:
            self.say("There is no plan of this text yet.")
            return
        plan, text = self.sight.plan, self.sight.open.text
        self.say("... every candidate is planned in full; this takes a while")
        self.run_worker(lambda: self._look(plan, text), thread=True, exclusive=True, exit_on_error=False)

    def _look(self, plan: Plan, text: str) -> None:
        import wiring

        try:
            found, said = wiring.remedy(plan, text), ""
        except Exception as error:  # noqa: BLE001 - told, not fatal
            found, said = (), f"no remedy: {type(error).__name__}: {error}"
        self.app.call_from_thread(self._show, plan, found, said)

    def _show(self, plan: Plan, found: tuple[Change, ...], said: str) -> None:
        if not self.is_mounted or plan.digest != self.digest:
            return
        self.found = found
        none = "No change was found that answers a failure."
        some = f"{len(found)} changes; Enter takes one" if found else none
        self.offer(map(change_text, found), said or some)

    @on(OptionList.OptionSelected)
    def _taken(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        change = self.found[event.option_index]
        self.screen.post_message(EditJob(list(change.edits), f"remedy: {', '.join(change.answers)[:60]}"))
