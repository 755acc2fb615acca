"""Papers: tick what to print; confirmations, approvals, records."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import SelectionList, Static
from textual.widgets.selection_list import Selection

from tui import door
from tui.sight import Sight
from tui.steps.commissioning import Tests
from tui.steps.pane import StepPane
from tui.widgets.grid import Grid
from wiring.model.plan import Plan

Maker = Callable[[Plan, str], bytes | str]


def _drawn(sheet: str, suffix: str) -> Maker:
    def make(plan: Plan, faults: str) -> bytes | str:
        import wiring

        return wiring.written(wiring.draw(plan, sheet, plan.job.region), suffix)

    return make


def _findings(plan: Plan, faults: str) -> str:
    import wiring

    return wiring.check_text(plan, show_all=True)


def _proof(plan: Plan, faults: str) -> str:
    import wiring

    return wiring.proof_text(plan, faults)


def _lockout(plan: Plan, faults: str) -> str:
    from wiring.sheets.lockout_text import lockout_text

    return lockout_text(plan.catalog, plan.job.region)


def _pack(plan: Plan, faults: str) -> bytes:
    import wiring

    return wiring.pack(plan)


def _pack_page(plan: Plan, faults: str) -> str:
    import wiring

    return wiring.pack_page(plan)


def _review(plan: Plan, faults: str) -> str:
    import wiring

    return wiring.review_text(plan)


PAPERS: dict[str, tuple[str, Maker]] = {
    "job-pack.pdf": ("everything bound, for the folder and the electrician", _pack),
    "job-pack.html": ("the same as one page for a browser", _pack_page),
    "review.txt": ("one page for the electrician", _review),
    "lockout.txt": ("isolation and lockout sheet", _lockout),
    "findings.txt": ("every finding in full", _findings),
    "proof.txt": ("truth tables, events, faults, stop matrix", _proof),
    "circuit.pdf": ("circuit drawing", _drawn("circuit", ".pdf")),
    "connections.pdf": ("connection drawing to wire by", _drawn("connections", ".pdf")),
    "circuit.txt": ("circuit as text", _drawn("circuit", ".txt")),
}


class Ticks(Vertical):
    """Space ticks, `w` writes what is ticked into a folder beside the job."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("w", "write", "write the papers")]

    def __init__(self) -> None:
        super().__init__()
        self.sight: Sight | None = None

    def compose(self) -> ComposeResult:
        yield Static("", markup=False, classes="note", id="papers-note")
        names = [
            Selection(Content.assemble(f"{name:<18}", (about, "$secondary")), name, True)
            for name, (about, _) in PAPERS.items()
        ]
        yield SelectionList(*names, id="papers")
        yield Static("", markup=False, classes="note", id="papers-said")

    def show_sight(self, sight: Sight) -> None:
        self.sight = sight
        folder = self.folder()
        name = folder.name if folder else "..."
        note = f"Space ticks, w writes them to {name}/. Every paper carries verdict and caution."
        self.query_one("#papers-note", Static).update(Content(note))

    def folder(self) -> Path | None:
        if self.sight is None:
            return None
        path = self.sight.open.path
        return path.with_name(f"{path.stem}-papers")

    def action_write(self) -> None:
        """Write the ticked papers in a worker."""
        plan = self.sight.plan if self.sight else None
        folder = self.folder()
        chosen = list(self.query_one(SelectionList).selected)
        if plan is None or folder is None or self.sight is None or not self.sight.fresh:
            self.say("There is no plan of this text yet.")
            return
        self.say("... writing")
        self.run_worker(
            lambda: self._write(plan, folder, chosen), thread=True, exclusive=True, exit_on_error=False
        )

    def _write(self, plan: Plan, folder: Path, chosen: list[str]) -> None:
        faults = plan.behaviour.faults.kind if plan.behaviour and plan.behaviour.faults else "none"
        done = []
        try:
            folder.mkdir(exist_ok=True)
            for name in chosen:
                door.write(folder / name, PAPERS[name][1](plan, faults))
                done.append(name)
            said = f"wrote {len(done)} papers to {folder.name}/"
        except Exception as error:  # noqa: BLE001 - told, with what was written before
            said = f"✗ {error}; written before: {', '.join(done) or 'none'}"
        self.app.call_from_thread(self.say, said)

    def say(self, text: str) -> None:
        self.query_one("#papers-said", Static).update(Content(text))


class PapersPane(StepPane):
    LEAVES = (
        ("Print", Ticks),
        ("Commissioning", Tests),
        ("Confirm", lambda: Grid("confirm")),
        ("Approvals", lambda: Grid("approval")),
        ("Records", lambda: Grid("record")),
    )
