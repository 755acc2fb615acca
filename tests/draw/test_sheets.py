"""The other sheets and the text: connections, states, titles, legend, ladder."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from tests.draw.clashes import clashes
from tests.draw.geometry import read
from tests.draw.made import CATALOG, converted_job
from wiring.circuit import build_after, build_before, build_type
from wiring.draw import circuit_drawing, drawing, png, svg, text
from wiring.draw.frame import CAUTION, EXAMPLE, PAPERS
from wiring.draw.parts import LIVE, Drawing, Stroke
from wiring.draw.shift import text_box
from wiring.files import load_job
from wiring.model.behaviour import Settled
from wiring.model.circuit import Circuit
from wiring.model.finding import Verdict
from wiring.model.job import Job, Parts
from wiring.model.plan import Counts, Plan, Report

HOISTS = sorted(CATALOG.hoists)


def plan_of(job: Job, verdict: Verdict = Verdict.FAIL) -> Plan:
    """A plan with both circuits and a report of 2 fails and 3 unknowns, or a pass."""
    counts = Counts(7, 2, 3, 0) if verdict is Verdict.FAIL else Counts(12, 0, 0, 0)
    report = Report(verdict, "design", (), (), counts, Counts(), 12, ("wires nobody traced",))
    circuits = build_before(job, CATALOG), build_after(job, CATALOG)
    sentence = "Holds only if the hoist is a made one. This has not been shown."
    return Plan(job, CATALOG, *circuits, None, report, "0123456789ab", Parts(), "not shown", sentence)


@pytest.fixture(scope="module")
def plan() -> Plan:
    return plan_of(converted_job("reversing-contactors-24", "six-channel-stop-pair", "tail-kept"))


def words(made: Drawing) -> str:
    """All texts of all sheets, in one line."""
    found = []
    for sheet in made.sheets:
        for layer in (sheet.frame, sheet.body):
            found += [t.text for t in layer.texts]
            found += [t.text for symbol in layer.symbols for t in symbol.texts]
    return " ".join(found)


@pytest.mark.parametrize("sheet", ["circuit", "connections", "legend"])
@pytest.mark.parametrize("symbols", ["iec", "us"])
def test_every_sheet_carries_title_verdict_and_caution(plan: Plan, sheet: str, symbols: str) -> None:
    """Objections, caution, condition, stage, revision fields and the symbol practice stand on each sheet."""
    made = drawing(plan, sheet, symbols)
    found = words(made)
    for part in (
        "OBJECTIONS: 2 fail, 3 unknown",
        CAUTION,
        "This has not been shown.",
        "design",
        "0123456789ab",
    ):
        assert part in found
    assert "complying" not in found and "after" in found
    assert clashes(made) == []


def test_a_sheet_without_objection_says_what_was_not_checked() -> None:
    """A pass is worded as no objection in so many checks, for review, with what was not checked."""
    job = converted_job("reversing-contactors-24", "six-channel-stop-pair")
    found = words(drawing(plan_of(job, Verdict.PASS)))
    assert "Design: no objection in 12 checks; for review" in found
    assert "Not checked: wires nobody traced." in found
    assert "safe" not in found.lower()


def test_a_demo_is_marked_on_every_sheet_and_in_text() -> None:
    """A job marked as an example says so above every sheet and first in the text."""
    job = converted_job("reversing-contactors-24", "six-channel-stop-pair")
    made = drawing(plan_of(replace(job, example=True)))
    assert all(any(t.text == EXAMPLE for t in sheet.frame.texts) for sheet in made.sheets)
    assert text(made).count(EXAMPLE) == 1
    assert EXAMPLE not in words(drawing(plan_of(job)))


@pytest.mark.parametrize("hoist", HOISTS)
def test_the_connection_diagram_lands_every_wire_where_the_job_says(hoist: str) -> None:
    """Each wire of the connection diagram joins its two ends at the stated terminals and nothing else."""
    plan = plan_of(converted_job(hoist, "six-channel-stop-pair", "tail-kept"))
    assert plan.after is not None
    made = drawing(plan, "connections")
    reading = read(svg(made))
    assert reading.problems == [] and clashes(made) == []
    wires = {p.name for p in plan.after.parts if p.cable or p.owner in ("wire", "core")}
    assert reading.nets == {frozenset({(name, 1), (name, 2)}) for name in wires}
    found = words(made)
    for row in plan.job.connections:
        assert f"no. {row.number}" in found and row.to and row.to.rpartition(":")[2] in found


def test_removed_and_loose_ends_are_listed(plan: Plan) -> None:
    """Cables, the cord's fate, what goes and which ends to insulate stand below the picture."""
    found = words(drawing(plan, "connections"))
    assert "Take out" in found and "pendant cord: tail-kept, 3 ft kept" in found
    assert "W1: type unknown, 16 AWG, 3 ft" in found


def _settled(circuit: Circuit) -> Settled:
    """Everything at 24 V up to the coil K1, which is in."""
    live = ("hoist:T1.X1", "hoist:F4.1", "hoist:F4.2", "hoist:X1.1")
    closed = tuple(
        p.name for p in circuit.parts if p.form == "NC" or (p.by == "coil:hoist:K1" and p.form == "NO")
    )
    return Settled(
        frozenset({"button:up"}), ("hoist:K1",), closed, ("hoist up",), potential=dict.fromkeys(live, 24 + 0j)
    )


def test_a_state_view_shows_live_wires_wide_and_says_what_moved(plan: Plan) -> None:
    """Live conductors get the wide line, moved contacts and coils a word, the title the state."""
    assert plan.before is not None
    made = drawing(plan, "circuit", "iec", "before", _settled(plan.before))
    widths = {wire.width for sheet in made.sheets for wire in sheet.body.wires}
    assert LIVE in widths and min(widths) < 0.2
    found = words(made)
    assert "▸IN" in found and "▸CLOSED" in found and "▸HOIST UP" in found
    assert "state: button:up; hoist up" in found
    assert clashes(made) == []


@pytest.mark.parametrize("width", [60, 80, 100])
@pytest.mark.parametrize("hoist", HOISTS)
def test_the_text_ladder_names_every_part_once_within_its_width(hoist: str, width: int) -> None:
    """Every drawn part stands in exactly one rung or list line, and no line is longer than asked."""
    circuit = build_type(CATALOG.hoists[hoist])
    made = circuit_drawing(circuit, "iec", "x")
    found = text(made, width)
    assert max(len(line) for line in found.split("\n")) <= width + 12  # one long word may stand out
    rungs = [part for block in made.blocks for rung in block.rungs for part in rung.parts]
    for part in circuit.parts:
        if part.kind == "coil":
            name = part.name.removeprefix("hoist:")
            assert sum(p == f"( {name} )" for p in rungs) == 1
    contacts = sum(p.kind == "contact" for p in circuit.parts) - len(made.spare)
    assert sum(p.startswith("┤") and not p.startswith("┤(") for p in rungs) == contacts


def test_a_state_view_leaves_what_is_removed_alone(plan: Plan) -> None:
    """Parts that are taken out, drawn in grey, have no state: they are neither closed nor open."""
    assert plan.after is not None
    settled = Settled(frozenset(), (), (), ())
    made = drawing(plan, "circuit", "iec", "both", settled)
    gone = [t.text for sheet in made.sheets for s in sheet.body.symbols if s.gone for t in s.texts]
    assert any("pendant stop" in word for word in gone)
    assert not [word for word in gone if word.startswith("▸")]
    live = [t.text for sheet in made.sheets for s in sheet.body.symbols if not s.gone for t in s.texts]
    assert "▸OPEN" in live  # nothing is closed in this state, so every live break contact is open


def test_unknown_sheets_and_missing_circuits_are_refused(plan: Plan) -> None:
    """A word that is no sheet, and a plan without circuits, give a clear error."""
    with pytest.raises(ValueError, match="cannot draw"):
        drawing(plan, "floor plan")
    with pytest.raises(ValueError, match="unknown"):
        drawing(replace(plan, before=None, after=None))


def test_png_grows_with_its_resolution(plan: Plan) -> None:
    """Twice the dots per inch give a larger picture."""
    made = drawing(plan, "connections")
    assert len(png(made, 80)) > len(png(made, 40)) > 1000


WORKED = sorted(Path("tests/jobs/worked").glob("*.toml"))


@pytest.mark.parametrize("symbols", ["iec", "us"])
@pytest.mark.parametrize("file", WORKED, ids=[file.stem for file in WORKED])
def test_connections_of_a_worked_job_are_read_on_standard_paper(file: Path, symbols: str) -> None:
    """Every wire of a real plan lies on one sheet from end to end, no text below 1.8 mm, nothing meets."""
    plan = plan_of(load_job(file))
    assert plan.after is not None
    made = drawing(plan, "connections", symbols)
    assert read(svg(made)).problems == [] and clashes(made) == []
    new = {p.name for p in plan.after.parts if p.cable or p.owner in ("wire", "core")}
    assert read(svg(made)).nets == {frozenset({(name, 1), (name, 2)}) for name in new}
    for sheet in made.sheets:
        assert (sheet.width, sheet.height) == PAPERS["a3" if symbols == "iec" else "tabloid"]
        texts = [*sheet.body.texts, *(text for symbol in sheet.body.symbols for text in symbol.texts)]
        assert min(text.size for text in texts) > 1.795


DEMOS, CONVERSIONS = Path("catalogs/demo").glob("*.toml"), Path("tests/jobs/conversions").glob("*.toml")
JOBS = sorted([*CONVERSIONS, *WORKED, *DEMOS])


@pytest.mark.parametrize("symbols", ["iec", "us"])
@pytest.mark.parametrize("file", JOBS, ids=[file.stem for file in JOBS])
def test_circuits_of_whole_jobs_have_no_clash(file: Path, symbols: str) -> None:
    """As found and as converted, no label of a whole job meets another, a line or the edge of its paper,
    and no wire is printed with a prefix that stands on no label."""
    plan = plan_of(load_job(file))
    for show in ("before", "both"):
        made = drawing(plan, "circuit", symbols, show)
        assert clashes(made) == [] and made.sheets
        listed = [line for block in made.blocks if block.title == "Wires" for line in block.lines]
        assert not any("wire:" in line for line in listed)


def test_cores_of_a_cord_that_stays_are_not_new() -> None:
    """Where cord and handset stay, their cores are told as staying, and the far end as the handset."""
    made = drawing(plan_of(load_job("tests/jobs/worked/bay-crane-corrected.toml")), "connections", "us")
    strips = {s.title: [t.text for t in s.texts] for sheet in made.sheets for s in sheet.body.symbols}
    kept = [text for text in strips["terminals of handset"] if " core " in text]
    assert len(kept) == 12 and all(text.endswith("stays") for text in kept)
    assert "sat here" not in words(made) and "insulate and tag" not in words(made)


def test_a_terminal_with_wires_on_two_sheets_says_so(plan: Plan) -> None:
    """Beside a terminal stands on which other sheets more wires land on it."""
    made = drawing(plan_of(load_job("catalogs/demo/malt-second-plan.toml")), "connections", "us")
    assert len(made.sheets) == 2
    for number, sheet in enumerate(made.sheets, 1):
        texts = " ".join(t.text for symbol in sheet.body.symbols for t in symbol.texts)
        assert f"more on sheet {3 - number}" in texts and f"more on sheet {number}" not in texts


def leaving(made: Drawing) -> list[str]:
    """Words that begin inside a box of their own frame, strip or block and end outside it."""
    found = []
    for sheet in made.sheets:
        for owner in (sheet.frame, *sheet.body.symbols):
            boxes = [box_of(stroke) for stroke in owner.strokes if stroke.closed and len(stroke.points) == 4]
            for word in owner.texts:
                x0, y0, x1, y1 = text_box(word)
                around = [b for b in boxes if b[0] <= x0 < b[2] and b[1] <= y0 + 0.6 and y0 < b[3]]
                if around:
                    box = min(around, key=lambda b: (b[2] - b[0]) * (b[3] - b[1]))
                    if x1 > box[2] + 0.1 or y1 > box[3] + 0.6:
                        found.append(f"{word.text!r} leaves its box")
    return found


def box_of(stroke: Stroke) -> tuple[float, float, float, float]:
    xs, ys = [x for x, _ in stroke.points], [y for _, y in stroke.points]
    return min(xs), min(ys), max(xs), max(ys)


@pytest.mark.parametrize("sheet", ["circuit", "connections"])
@pytest.mark.parametrize("symbols", ["iec", "us"])
def test_no_word_leaves_its_box(plan: Plan, sheet: str, symbols: str) -> None:
    """Title, verdict, caution, receiver block and terminal strips hold their words, however long."""
    long = "a title that somebody wrote without an end in sight " * 4
    job = replace(plan.job, title=long, prepared_by=long, revision="revision twenty-seven of many")
    id = "six-channel-stop-pair"
    entry = replace(plan.catalog.receivers[id], title=long)
    catalog = replace(plan.catalog, receivers={**plan.catalog.receivers, id: entry})
    made = drawing(replace(plan, job=job, catalog=catalog), sheet, symbols)
    assert leaving(drawing(plan, sheet, symbols)) == [] and leaving(made) == []


def test_a_word_that_leaves_its_box_is_noticed(plan: Plan) -> None:
    """The look at boxes objects to a strip whose name is made longer than its box."""
    made = drawing(plan, "connections", "us")
    strip = made.sheets[0].body.symbols[0]
    grown = tuple(replace(text, text=text.text * 9) for text in strip.texts)
    body = replace(made.sheets[0].body, symbols=(replace(strip, texts=grown),))
    assert leaving(replace(made, sheets=(replace(made.sheets[0], body=body),))) != []


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("sheet", ["circuit", "connections"])
def test_small_paper_gets_more_sheets_not_smaller_letters(sheet: str, paper: str) -> None:
    """Laid out for A4 or Letter, a drawing keeps its letters and its netlist and takes more sheets."""
    plan = plan_of(load_job("catalogs/demo/slipway-gantry.toml"))
    assert plan.after is not None
    large, small = drawing(plan, sheet, "iec"), drawing(plan, sheet, "iec", paper=paper)
    assert len(small.sheets) > len(large.sheets)
    for page in small.sheets:
        assert (page.width, page.height) == PAPERS[paper]
        texts = [*page.body.texts, *(text for symbol in page.body.symbols for text in symbol.texts)]
        assert min(text.size for text in (*texts, *page.frame.texts)) > 1.795
    assert clashes(small) == [] and read(svg(small)).nets == read(svg(large)).nets
