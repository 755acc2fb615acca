"""The whole run on one screen: job file -> circuits -> behaviour -> findings -> plan.

`plan` calls the rooms in order and returns one frozen `Plan`. The functions
below it are the door's verbs: each hands a plan, or the means to make one, to
the room that owns the work.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from wiring.check import digest, identity, judge
from wiring.circuit import build_after, build_before, build_type
from wiring.files import load_catalog
from wiring.model.behaviour import Behaviour
from wiring.model.circuit import Circuit
from wiring.model.entry import Catalog, HoistType
from wiring.model.job import Job
from wiring.model.plan import Plan
from wiring.simulate.behaviour import behaviour

if TYPE_CHECKING:
    from wiring.draw import Drawing
    from wiring.model.page import Page
    from wiring.model.proposal import Proposal

Progress = Callable[[int, int], None]


def plan(
    job: Job,
    catalog: Catalog | None = None,
    stage: str | None = None,
    faults: str = "none",
    progress: Progress | None = None,
) -> Plan:
    """Build, simulate and judge one job.

    faults: "none" | "single" | "double". Without a hoist type there is no
    circuit; without a receiver type there is none as converted: the rules that
    need them then say what to find out next.
    """
    catalog = catalog or load_catalog(Path(job.file).parent)
    before, after = circuits(job, catalog)
    shown = behave(before, after, faults, progress)
    report = judge(job, catalog, before, after, shown, stage or job.stage)
    whole, parts = digest(job, catalog)
    known, sentence = identity(job, catalog, report)
    return Plan(job, catalog, before, after, shown, report, whole, parts, known, sentence)


def circuits(job: Job, catalog: Catalog) -> tuple[Circuit | None, Circuit | None]:
    """As found and as converted, each None where its type is not known."""
    if job.hoist.type is None:
        return None, None
    before = build_before(job, catalog)
    if job.receiver.type is None:
        return before, None
    return before, build_after(job, catalog)


def behave(
    before: Circuit | None, after: Circuit | None, faults: str, progress: Progress | None
) -> Behaviour | None:
    """What both circuits do, None where one of them is missing."""
    if before is None or after is None:
        return None
    return behaviour(before, after, faults, progress)


def draw(
    plan: Plan, sheet: str = "circuit", symbols: str = "iec", show: str = "both", state: str | None = None
) -> Drawing:
    """The layout of one sheet. state: as "press key:up, open limit:up, fault K10.up stuck-in"."""
    from wiring.draw import drawing
    from wiring.simulate.view import state_view

    settled = None
    if state is not None and plan.before is not None:
        settled = state_view(plan.after or plan.before, state)
    return drawing(plan, sheet=sheet, symbols=symbols, show=show, state=settled)


def written(drawing: Drawing, suffix: str, paper: str = "a3", dpi: int = 150) -> bytes | str:
    """A drawing in the format of a file suffix: .svg, .png, .pdf or .txt."""
    from wiring.draw import pdf, png, svg, text

    if suffix == ".svg":
        return svg(drawing)
    if suffix == ".png":
        return png(drawing, dpi)
    if suffix == ".pdf":
        return pdf(drawing, paper)
    return text(drawing)


def demos() -> tuple[tuple[str, str], ...]:
    """The demo jobs that ship with the catalogs: (file name, text), in the order to read them."""
    from wiring.files import catalog_root

    folder = catalog_root() / "demo"
    return tuple((file.name, file.read_text("utf-8")) for file in sorted(folder.glob("*.toml")))


def new_job_text(
    catalog: Catalog, title: str, region: str, country: str, people: str, hoist: str, receiver: str
) -> str:
    """The text of a new job; hoist and receiver are ids or "unknown"."""
    from wiring.files.newjob import Start, new_job

    hoist_type = None if hoist == "unknown" else catalog.hoists[hoist]
    receiver_type = None if receiver == "unknown" else catalog.receivers[receiver]
    return new_job(Start(title, region, country, people, hoist, receiver, hoist_type, receiver_type))


def new_type_text(
    id: str, title: str, system: str, voltage: str, frequency: str, cores: int, clicks: bool,
    buttons: tuple[str, ...], stop: bool, plate: str,
) -> str:  # fmt: skip
    """The skeleton of a hoist type from a survey; see `files.newtype.Survey`."""
    from wiring.files.newtype import Survey, new_type

    return new_type(Survey(id, title, system, voltage, frequency, cores, clicks, buttons, stop, plate))


def propose(job: Job, catalog: Catalog | None = None) -> tuple[Proposal, ...]:
    """Connections for this hoist and receiver, best first, each one proved."""
    from wiring.planner import propose_connections

    catalog = catalog or load_catalog(Path(job.file).parent)
    return propose_connections(job, catalog, plan)


def write_proposal(file: str, proposal: Proposal) -> None:
    """Put a proposal into its job file; comments and everything else stay."""
    from wiring.files import edit_job, save_job
    from wiring.planner import edits_of

    path = Path(file)
    save_job(path, edit_job(path.read_text("utf-8"), edits_of(proposal)))


def type_page(kind: str, id: str) -> Page:
    """One catalog entry as a page: for hoists the circuit as text, cores and expected readings."""
    from wiring.sheets.type_text import entry_page

    return entry_page(kind, id, load_catalog(Path.cwd()), ladder, expected_readings)


def ladder(hoist: HoistType) -> str:
    """A hoist type's circuit as a text ladder."""
    from wiring.draw import circuit_drawing, text

    return text(circuit_drawing(build_type(hoist)))


def expected_readings(hoist: HoistType) -> tuple[tuple[str, str, str, str], ...]:
    """Meter readings to expect on a hoist's cores: (side, state, pair, reading)."""
    from wiring.simulate import core_readings

    return core_readings(build_type(hoist))


def lint_entry(file: str) -> Page:
    """Lint and self-test one catalog file. Raises InputError where it cannot be read."""
    from wiring.files import load_entry
    from wiring.simulate.entry_lint import lint

    return lint(load_entry(Path(file)))
