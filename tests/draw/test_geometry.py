"""The sheet says what the circuit says: the netlist rebuilt from lines and dots equals the proved one."""

from __future__ import annotations

import functools
import random
from collections import defaultdict

import pytest

from tests.draw.clashes import clashes
from tests.draw.faults import FAULTS, plant
from tests.draw.geometry import read
from tests.draw.made import CATALOG, converted, random_circuit
from tests.draw.netlist import differences
from wiring.circuit import build_type
from wiring.draw import Drawing, Facts, circuit_drawing, svg
from wiring.draw.door import on_sheets
from wiring.draw.frame import PAPERS, Title, zone
from wiring.draw.gone import removed_circuit
from wiring.draw.names import spoken
from wiring.draw.placed import place
from wiring.draw.sheets import circuit_sheets
from wiring.model.circuit import Circuit

HOISTS = sorted(CATALOG.hoists)
RECEIVERS = (("two-channel-dry", "removed"), ("six-channel-stop-pair", "tail-kept"))


@functools.cache
def circuit_of(hoist: str) -> Circuit:
    return build_type(CATALOG.hoists[hoist])


@functools.cache
def sheet_of(hoist: str, style: str) -> tuple[Drawing, str]:
    """The drawing of a type and its SVG, made once."""
    made = circuit_drawing(circuit_of(hoist), style)
    return made, svg(made)


def wrong(circuit: Circuit, drawing: Drawing) -> list[str]:
    """Differences between sheet and circuit, and labels that meet."""
    return differences(circuit, read(svg(drawing)), set(drawing.spare)) + clashes(drawing)


@pytest.mark.parametrize("style", ["iec", "us"])
@pytest.mark.parametrize("hoist", HOISTS)
def test_every_hoist_type_is_drawn_as_it_is_wired(hoist: str, style: str) -> None:
    """Lines, dots and prints of a hoist type's sheet give back its netlist, and no two labels meet."""
    made, drawn = sheet_of(hoist, style)
    assert differences(circuit_of(hoist), read(drawn), set(made.spare)) + clashes(made) == []


@pytest.mark.parametrize("style", ["iec", "us"])
@pytest.mark.parametrize("hoist", HOISTS)
def test_every_contact_says_what_works_it(hoist: str, style: str) -> None:
    """Beside every contact, or the first of its poles, stands its cause: button, limit, stop or coil."""
    made, _ = sheet_of(hoist, style)
    circuit = circuit_of(hoist)
    symbols = {
        name: symbol for sheet in made.sheets for symbol in sheet.body.symbols for name in symbol.parts
    }
    said: set[str] = set()
    for part in circuit.parts:
        if part.kind == "contact" and part.name in symbols:
            words = " ".join(text.text for text in symbols[part.name].texts if text.role != "pin")
            kind, _, id = part.by.partition(":")
            wanted = {"button": spoken(part.by).partition(",")[0], "coil": "→", "stop": ""}.get(kind, id)
            if len(words) > 2 and wanted in " ".join(words.split()):
                said.add(f"{part.by} {part.owner}")
    missing = {f"{p.by} {p.owner}" for p in circuit.parts if p.kind == "contact" and p.name in symbols} - said
    assert missing == set()


@pytest.mark.parametrize("receiver", RECEIVERS, ids=[name for name, _ in RECEIVERS])
@pytest.mark.parametrize("hoist", HOISTS)
def test_every_converted_type_and_what_it_loses_are_drawn_as_wired(
    hoist: str, receiver: tuple[str, str]
) -> None:
    """With a receiver the live lines give the converted netlist and the grey ones what was taken away."""
    before, after = converted(hoist, *receiver)
    style = ("iec", "us")[HOISTS.index(hoist) % 2]
    placed = place(after, Facts(), before)
    sheets = on_sheets(circuit_sheets(placed, style), Title("made"), style)
    spare = tuple(part.name for part in placed.wiring.spare)
    drawing = Drawing("made", "made", style, "circuit", sheets, spare=spare)
    assert wrong(after, drawing) == []
    assert differences(removed_circuit(before, after), read(svg(drawing), gone=True), set()) == []


@pytest.mark.parametrize("seed", range(24))
def test_a_circuit_that_is_no_ladder_is_drawn_as_it_is_wired(seed: int) -> None:
    """Bridges, loops, shorted parts and loose ends in a random circuit are drawn with every join right."""
    circuit = random_circuit(seed, 6 + seed % 24)
    assert wrong(circuit, circuit_drawing(circuit, ("iec", "us")[seed % 2])) == []


@pytest.mark.parametrize("number", range(56))
def test_a_planted_fault_is_noticed(number: int) -> None:
    """A wire end moved, a dot dropped or added, prints swapped, a symbol shifted: the reader objects."""
    hoist = HOISTS[number % len(HOISTS)]
    style = ("iec", "us")[number // len(FAULTS) % 2]
    drawing, drawn = sheet_of(hoist, style)
    spoiled = plant(drawn, FAULTS[number % len(FAULTS)], random.Random(number))
    assert spoiled is not None, "the sheet gives no place for this fault"
    assert differences(circuit_of(hoist), read(spoiled), set(drawing.spare)) != []


def test_the_crane_goes_on_several_sheets_that_refer_to_each_other() -> None:
    """A circuit too large for one readable sheet is divided, and its references join by their text."""
    circuit = circuit_of("two-speed-crane-115")
    drawing = circuit_drawing(circuit, "iec")
    assert drawing.sheets[0].name == "power" and len(drawing.sheets) > 2
    text = svg(drawing).replace('class="reference"', 'class="note"', 1)
    with pytest.raises(IndexError):  # a reference without its text cannot be followed
        read(text)


@pytest.mark.parametrize("style", ["iec", "us"])
def test_every_reference_names_the_place_of_its_other_end(style: str) -> None:
    """Beside a reference stands the zone where a reference of the same name lies, never a dash."""
    drawing = circuit_drawing(circuit_of("two-speed-crane-115"), style)
    places: dict[str, set[str]] = defaultdict(set)
    named: dict[str, set[str]] = defaultdict(set)
    for sheet in drawing.sheets:
        for symbol in sheet.body.symbols:
            if symbol.kind == "reference":
                name, *others = [text.text for text in symbol.texts]
                places[name].add(f"→ {sheet.number}/{zone(sheet.width, sheet.height, *symbol.at)}")
                named[name].update(others)
    assert len(places) > 5
    for name, where in places.items():
        assert len(where) > 1 and named[name] == where


@pytest.mark.parametrize("style", ["iec", "us"])
@pytest.mark.parametrize("hoist", HOISTS)
def test_no_letter_is_smaller_than_a_hand_can_read(hoist: str, style: str) -> None:
    """As found and with an eight-channel receiver: standard paper, and no text below 1.8 mm on it."""
    before, after = converted(hoist, "eight-channel-two-speed")
    placed = place(after, Facts(), before)
    paper = PAPERS["a3" if style == "iec" else "tabloid"]
    for sheet in (
        *sheet_of(hoist, style)[0].sheets,
        *on_sheets(circuit_sheets(placed, style), Title("made"), style),
    ):
        assert (sheet.width, sheet.height) == paper
        texts = [*sheet.body.texts, *(text for symbol in sheet.body.symbols for text in symbol.texts)]
        assert min(text.size for text in (*texts, *sheet.frame.texts)) > 1.795
