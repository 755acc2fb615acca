"""The whole run on one screen: job file -> circuits -> behaviour -> findings -> plan.

`plan` calls the rooms in order and returns one frozen `Plan`. The functions
below it are the door's verbs: each hands a plan, or the means to make one, to
the room that owns the work.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable
from contextlib import AbstractContextManager, nullcontext
from dataclasses import replace
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
from wiring.simulate.behaviour import in_two_steps

if TYPE_CHECKING:
    from wiring.draw import Drawing
    from wiring.identify.bench import BenchSession
    from wiring.identify.session import Session
    from wiring.model.commissioning import Diagnosis, Outcome
    from wiring.model.compared import Compared
    from wiring.model.page import Page
    from wiring.model.proposal import Change, Fit, Proposal, Want
    from wiring.model.rating import OneOff
    from wiring.model.recalled import Recalled
    from wiring.model.requirement import Requirement
    from wiring.sheets.sheet import Figure, Material

Progress = Callable[[int, int], None]
#: A behaviour without its faults, and how to get the whole.
Steps = AbstractContextManager[tuple[Behaviour | None, Callable[[], Behaviour] | None]]


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
    if before is None or after is None:
        steps: Steps = nullcontext((None, None))
    else:
        steps = in_two_steps(before, after, faults, progress)
    with steps as (sound, complete):
        report = judge(job, catalog, before, after, sound, stage or job.stage, complete=complete)
        shown = complete() if complete is not None else None
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


def draw(
    plan: Plan, sheet: str = "circuit", symbols: str = "iec", show: str = "both", state: str | None = None,
    paper: str = "",
) -> Drawing:  # fmt: skip
    """The layout of one sheet. state: as "press key:up, open limit:up, fault K10.up stuck-in"."""
    from wiring.draw import drawing
    from wiring.simulate.view import state_view
    circuit = plan.after or plan.before
    settled = state_view(circuit, state) if circuit is not None and state is not None else None
    return drawing(plan, sheet=sheet, symbols=symbols, show=show, state=settled, paper=paper)


def written(drawing: Drawing, suffix: str, paper: str = "", dpi: int = 150) -> bytes | str:
    """A drawing in the format of a file suffix: .svg, .png, .pdf or .txt."""
    from wiring.draw import pdf, png, svg, text

    if suffix == ".png":
        return png(drawing, dpi)
    if suffix == ".pdf":
        return pdf(drawing, paper)
    return svg(drawing) if suffix == ".svg" else text(drawing)


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

    def prove(job: Job, catalog: Catalog) -> Plan:
        return plan(job, catalog, faults="single")

    return propose_connections(job, catalog, plan, prove)


def write_proposal(file: str, proposal: Proposal, stamp: str = "") -> None:
    """Put a proposal into its job file; comments and everything else stay. stamp: of the job it was
    made for. Raises InputError where the file was changed since, OSError where it cannot be written."""
    from wiring.files import rewrite_job
    from wiring.planner import edits_of

    rewrite_job(file, edits_of(proposal), stamp)


def refusals(job: Job, catalog: Catalog | None = None) -> tuple[str, ...]:
    """Why no way was found to connect this receiver, for each way that was looked at."""
    from wiring.planner import why_not

    return tuple(why_not(job, catalog or load_catalog(Path(job.file).parent)))


def fit(job: Job, catalog: Catalog | None = None) -> tuple[Fit, ...]:
    """Every receiver type judged for this hoist, with the fewest parts it needs; best first."""
    from wiring.planner import fit_receivers

    return fit_receivers(job, catalog or load_catalog(Path(job.file).parent), plan)


def specification(job: Job, catalog: Catalog | None = None) -> tuple[Want, ...]:
    """What to look for when a receiver for this hoist is bought."""
    from wiring.planner import specification as wants

    return wants(job, catalog or load_catalog(Path(job.file).parent))


def remedy(plan_: Plan, text: str | None = None, faults: str = "single") -> tuple[Change, ...]:
    """Changes of the job file that answer what fails, the smallest for each finding, the whole last.

    text: the file's, where it was edited and not saved. faults: what the whole change is proved with.
    """
    from wiring.planner import remedies

    prove = None if faults == "none" else lambda job, catalog: plan(job, catalog, faults=faults)
    return remedies(plan_, plan, text, prove)


def identify(job: Job, catalog: Catalog | None = None) -> Session:
    """The meter session of a job, with every reading of the file answered."""
    from wiring.identify.session import identify as session_of

    return session_of(job, catalog or load_catalog(Path(job.file).parent))


def bench_test(job: Job, catalog: Catalog | None = None) -> BenchSession:
    """The bench test of a job's receiver, with every result of the file answered."""
    from wiring.identify.bench import BenchSession

    return BenchSession.start(job, catalog or load_catalog(Path(job.file).parent))


def rating(contact: str, load: str, region: str = "us", starts_per_hour: int | None = None) -> OneOff:
    """One contact with one load, without a job. Raises RatingError for a text that cannot be read."""
    from wiring.check.one_off import one_off

    return one_off(contact, load, load_catalog(Path.cwd()), region, starts_per_hour)


def requirements(plan: Plan, tests: tuple[Outcome, ...] = ()) -> tuple[Requirement, ...]:
    """Every clause of the region, how it is answered on this plan. tests: of `commissioning`, if at hand."""
    from wiring.check.requirements import requirements as answered

    return answered(plan.job, plan.catalog, plan.report, tests or commissioning(plan), plan.after is not None)


def stray_answers(plan: Plan) -> tuple[tuple[str, str], ...]:
    """The job's answers to nothing that is asked, each with the nearest name there is."""
    from wiring.check.requirements import stray_answers as stray

    return stray(plan.job, plan.catalog)


def recalled(plan: Plan) -> tuple[Recalled, ...]:
    """Every recalled figure the findings use, with what is known of its confirmation."""
    from wiring.check.recalled import recalled as listed

    return listed(plan.job, plan.catalog, plan.report)


def type_page(kind: str, id: str, beside: Path | None = None) -> Page:
    """One catalog entry as a page: for hoists the circuit as text, cores and expected readings.

    id: of the built-in catalog, or a file name in the folder `beside`. Raises KeyError, InputError.
    """
    from wiring.sheets.type_text import entry_page

    return entry_page(kind, id, load_catalog(beside or Path.cwd()), ladder, expected_readings)


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


def material(plan: Plan) -> Material:
    """Everything the sheets of the job pack are made from."""
    from wiring.sheets.sheet import Material
    from wiring.sheets.versions import programs
    from wiring.simulate.expect import live_after
    tests, live = commissioning(plan), live_after(plan.after)
    return Material(plan, figures(plan), tests, live, programs(), requirements(plan, tests))


def figures(plan: Plan) -> dict[str, tuple[Figure, ...]]:
    """The drawings of the pack: as found, as converted, connections; each page of its own."""
    from wiring.draw import svg, text
    from wiring.sheets.sheet import figure_of

    found: dict[str, tuple[Figure, ...]] = {}
    for name, sheet, show in DRAWINGS:
        if plan.before is None or (plan.after is None and show != "before"):
            continue
        made = draw(plan, sheet, plan.job.region, show)
        plain = text(made)
        found[name] = tuple(
            figure_of(f"{name}: {s.name}", svg(made, s.number), s.width, s.height, made.description, plain)
            for s in made.sheets
        )
    return found


DRAWINGS = (
    ("as-found", "circuit", "before"),
    ("as-converted", "circuit", "both"),
    ("connections", "connections", "both"),
)


def pack(plan: Plan, paper: str = "") -> bytes:
    """The job pack as PDF. paper: a4 | letter, "" the region's. Raises ValueError for another paper."""
    from wiring.sheets.pack import sheets_of
    from wiring.sheets.pdf_pack import pdf_pack

    chosen = paper or ("letter" if plan.job.region == "us" else "a4")
    return pdf_pack(sheets_of(material(plan)), plan.job.date, chosen)


def pack_page(plan: Plan) -> str:
    """The job pack as one HTML page that fetches nothing."""
    from wiring.sheets.html_page import html_page
    from wiring.sheets.pack import sheets_of

    return html_page(sheets_of(material(plan)))


def write_sheets(plan: Plan, folder: str | Path) -> tuple[str, ...]:
    """Every sheet as text, its tables as CSV, its drawings as SVG, into a folder. Names written.
    Raises OSError."""
    from wiring.files import atomic_write
    from wiring.sheets.loose import loose_files
    from wiring.sheets.pack import sheets_of

    target = Path(folder)
    target.mkdir(parents=True, exist_ok=True)
    files = loose_files(sheets_of(material(plan)))
    for name, content in files.items():
        atomic_write(target / name, content)
    return tuple(files)


def commissioning(plan: Plan) -> tuple[Outcome, ...]:
    """Every commissioning test in working order, with what its record says on this plan."""
    from wiring.check import changed
    from wiring.simulate.expect_record import outcomes
    from wiring.simulate.expect_steps import steps

    if plan.after is None:
        return ()
    tests = steps(plan.job, plan.catalog, plan.after)
    return outcomes(tests, plan.job.records, plan.digest, lambda old: changed(old, plan.parts))


def record(plan: Plan, test: str, measured: str, by: str) -> Outcome:
    """One commissioning result compared with what this plan expects. Raises KeyError for a test that
    the plan does not have."""
    from wiring.model.job import Record

    taken = Record(test, measured, by, plan.digest, plan.parts)
    later = replace(plan, job=replace(plan.job, records=(*plan.job.records, taken)))
    return {o.step.id: o for o in commissioning(later)}[test]


def diagnose(plan: Plan, progress: Progress | None = None) -> Diagnosis:
    """Single faults that would explain the commissioning records of this plan, best first.
    Raises ValueError where there is no converted circuit."""
    from wiring.simulate.diagnosis import Diagnostician
    from wiring.simulate.diagnosis_records import observations
    from wiring.simulate.expect_record import supply_of

    if plan.after is None:
        raise ValueError("the hoist type or the receiver type is not known")
    doctor = Diagnostician(plan.after)
    outcomes = commissioning(plan)
    records = {r.test: r for r in plan.job.records}
    mains = supply_of(tuple(o.step for o in outcomes), records, plan.digest)
    return doctor.diagnose(observations(outcomes, doctor, mains), progress)


def write_record(file: str, plan: Plan, outcome: Outcome) -> None:
    """Put a record into its job file; comments and everything else stay."""
    add_entry(file, "record", outcome.record, plan.job.stamp)


def approve(file: str, plan: Plan, by: str, licence: str, date: datetime.date) -> None:
    """Put an approval of this plan into its job file."""
    from wiring.model.job import Approval

    add_entry(file, "approval", Approval(by, licence, plan.digest, plan.parts, date), plan.job.stamp)


def add_entry(file: str, table: str, entry: object, stamp: str = "") -> None:
    """One more entry of a list of the job file. stamp: of the job it was made for. Raises OSError,
    and InputError where the file was changed since."""
    from wiring.files import AddEntry, rewrite_job

    rewrite_job(file, (AddEntry(table, entry),), stamp)


def review_text(plan: Plan) -> str:
    """The electrician's page as text."""
    from wiring.sheets.plain_text import plain_text
    from wiring.sheets.review import review
    from wiring.sheets.sheet import Material

    return plain_text(review(Material(plan)))


def compare(old: Plan, new: Plan) -> Compared:
    """What changed from one plan to another, and what that voids."""
    from wiring.check import changed
    from wiring.simulate.compared import compared

    return compared(old, new, changed(old.parts, new.parts))
