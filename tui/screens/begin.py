"""The first page: jobs in this folder, a new job, the demos."""

from __future__ import annotations

from pathlib import Path
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from tui.draft import draft_path
from tui.widgets.frame import Caution
from wiring.sheets.words import EXAMPLE, clean

ABOUT = (
    "holdrun plans and verifies the conversion of a hoist's corded pendant to a wireless receiver.",
    "Begin with your own hoist, or look at a demo first. Nothing here switches anything.",
)
HEAD = 4096  # bytes of a file that are looked at to see whether it is a job
DEMOS = "holdrun-demo"


def jobs_in(folder: Path) -> list[tuple[Path, str]]:
    """Job files of a folder with their titles, sorted by name."""
    found = []
    for path in sorted(folder.glob("*.toml"))[:200]:
        try:
            head = path.read_bytes()[:HEAD].decode("utf-8", "replace")
        except OSError:
            continue
        if "[job]" in head:
            title = head.partition("\ntitle")[2].partition("=")[2].partition("\n")[0].strip().strip('"')
            found.append((path, title))
    return found


class Begin(Screen[Path | None]):
    """Dismissed with the job to open, or None to leave."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "leave"),
        Binding("n", "new", "new job"),
    ]

    def __init__(self, folder: Path) -> None:
        super().__init__()
        self.folder = folder
        self.actions: list[tuple[str, Path | None]] = []

    def compose(self) -> ComposeResult:
        with Vertical(classes="asker"):
            yield Static("holdrun", classes="title", markup=False)
            for line in ABOUT:
                yield Static(Content(line))
            yield Static("")
            yield OptionList(id="jobs", markup=False)
            yield Input(placeholder="or type the path of a job file, then Enter", compact=True, id="path")
        yield Caution()

    def on_mount(self) -> None:
        self.fill()
        self.query_one("#path", Input).cursor_blink = self.app.animation_level != "none"
        self.query_one(OptionList).focus()

    def fill(self) -> None:
        options = self.query_one(OptionList)
        options.clear_options()
        self.actions = [("new", None)]
        options.add_option(
            Option(Content.assemble(("New job", "bold"), "  asks a few questions; unknown is an answer"))
        )
        for path, title in jobs_in(self.folder):
            kept = "  a draft is there" if draft_path(path).exists() else ""
            self.actions.append(("open", path))
            options.add_option(
                Option(
                    Content.assemble((clean(path.name), "bold"), f"  {clean(title)}", (kept, "$text-warning"))
                )
            )
        demos = self.folder / DEMOS
        for path, title in jobs_in(demos) if demos.is_dir() else []:
            self.actions.append(("open", path))
            options.add_option(Option(Content(f"{DEMOS}/{path.name}  {clean(title)}  ({EXAMPLE})")))
        if not demos.is_dir():
            self.actions.append(("demo", None))
            options.add_option(Option(Content(f"Write the demo jobs to {DEMOS}/  ({EXAMPLE})")))
        options.highlighted = 0

    @on(OptionList.OptionSelected)
    def _picked(self, event: OptionList.OptionSelected) -> None:
        action, path = self.actions[event.option_index]
        if action == "new":
            self.action_new()
        elif action == "demo":
            self.write_demos()
        else:
            self.dismiss(path)

    @on(Input.Submitted)
    def _typed(self, event: Input.Submitted) -> None:
        path = Path(event.value.strip()).expanduser()
        if event.value.strip() and path.is_file():
            self.dismiss(path)
        else:
            self.notify(f"no file {event.value.strip()!r}", severity="error", markup=False)

    def action_new(self) -> None:
        from tui.screens.new import NewJob

        self.app.push_screen(NewJob(self.folder), self._made)

    def _made(self, path: Path | None) -> None:
        if path is not None:
            self.dismiss(path)

    def action_leave(self) -> None:
        self.dismiss(None)

    def write_demos(self) -> None:
        """Write the demo jobs, never over a file that is there."""
        import wiring
        from tui import door

        folder = self.folder / DEMOS
        try:
            folder.mkdir(exist_ok=True)
            for name, text in wiring.demos():
                if not (folder / name).exists():
                    door.write(folder / name, text)
        except OSError as error:
            self.notify(str(error), severity="error", markup=False)
        self.fill()
