"""Every hoist type, as found and with two receivers, in each of the four formats."""

from __future__ import annotations

import xml.etree.ElementTree as xml

import pytest

from tests.draw.made import CATALOG, converted
from wiring.draw import circuit_drawing, pdf, png, svg, text

WITH = ("two-channel-dry", "six-channel-stop-pair")
DPI = 30  # small: the lines are drawn all the same
SAID = "Lock out and prove dead"


@pytest.mark.parametrize("hoist", CATALOG.hoists)
def test_a_type_is_written_in_every_format(hoist: str) -> None:
    """A picture that can be read, of the right kind, with the caution in each that has text."""
    before, *afters = [converted(hoist, WITH[0])[0], *(converted(hoist, receiver)[1] for receiver in WITH)]
    for number, circuit in enumerate((before, *afters)):
        drawing = circuit_drawing(circuit, ("iec", "us")[number % 2], CATALOG.hoists[hoist].title)
        lines = text(drawing)
        page = xml.fromstring(svg(drawing))
        assert SAID in lines and SAID in "".join(page.itertext())
        assert png(drawing, DPI).startswith(b"\x89PNG\r\n")
        paper = pdf(drawing)
        assert paper.startswith(b"%PDF-") and paper.rstrip().endswith(b"%%EOF")
        for part in circuit.parts:
            if part.kind == "coil":
                assert part.name.partition(":")[2].partition(".")[0] in lines or part.name in lines
