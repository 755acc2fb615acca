"""Proposals of the planner: each one proved before it is offered, taken whole, undone like any edit."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets import OptionList

from tui import door
from tui.messages import PutText
from tui.sight import Sight
from tui.steps.offers import Offers
from wiring.sheets.words import clean, verdict_line

if TYPE_CHECKING:
    from wiring.model.job import Job
    from wiring.model.proposal import Proposal


def proposal_text(proposal: Proposal) -> Content:
    """Connections with their reasons, what is added and taken off, what stays open, its verdict."""
    parts: list[tuple[str, str] | str] = []
    if proposal.plan is not None:
        parts.append((f"{verdict_line(proposal.plan.report)}\n", "bold"))
    for connection, why in zip(proposal.connections, proposal.reasons, strict=False):
        parts += [f"{connection.from_} → {connection.to}", (f"  {clean(why)}\n", "$secondary")]
    parts += [f"add {d.id}: {d.type}\n" for d in proposal.devices]
    parts += [f"take off {r.name}  {clean(r.why or '')}\n" for r in proposal.removes]
    parts += [(f"open: {clean(one)}\n", "$text-warning") for one in proposal.open]
    return Content.assemble(*parts)


class Propose(Offers):
    """`p` asks the planner, Enter takes the proposal under the cursor into the job."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("p", "propose", "propose connections")]
    NOTE, LIST = "propose-note", "proposals"

    def __init__(self) -> None:
        super().__init__()
        self.found: tuple[Proposal, ...] = ()

    def show_sight(self, sight: Sight) -> None:
        self.sight = sight
        if not door.room("planner"):
            self.say("Proposals are not available yet. Connect by hand in the first leaf.")
        elif not self.found:
            self.say(
                "p: propose connections for this hoist and receiver, each with its reason, proved first."
            )

    def action_propose(self) -> None:
        """Ask the planner in a worker."""
        plan = self.sight.plan if self.sight else None
        if plan is None or not door.room("planner"):
            self.say("There is no plan to propose for yet.")
            return
        self.say("... proposing")
        job = plan.job
        self.run_worker(lambda: self._ask(job), thread=True, exclusive=True, exit_on_error=False)

    def _ask(self, job: Job) -> None:
        import wiring

        try:
            found, said = wiring.propose(job, self.sight.catalog if self.sight else None), ""
        except Exception as error:  # noqa: BLE001 - told, not fatal
            found, said = (), f"no proposal: {error}"
        self.app.call_from_thread(self._show, found, said)

    def _show(self, found: tuple[Proposal, ...], said: str) -> None:
        if not self.is_mounted:
            return
        self.found = found
        rows = (
            Content.assemble((f"proposal {number}\n", "bold"), proposal_text(proposal))
            for number, proposal in enumerate(found, 1)
        )
        many = f"{len(found)} proposals; Enter takes one, Ctrl+Z undoes it"
        self.offer(rows, said or (many if found else "No way to connect it was found."))

    @on(OptionList.OptionSelected)
    def _taken(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        if self.sight is None:
            return
        try:
            text = door.with_proposal(self.sight.open.text, self.found[event.option_index])
        except Exception as error:  # noqa: BLE001 - told, the text stays
            self.say(f"not taken: {error}")
            return
        self.screen.post_message(PutText(text, f"proposal {event.option_index + 1}"))
