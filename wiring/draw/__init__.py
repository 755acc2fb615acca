"""Drawings: one layout, several writers. Draws the proved circuit and nothing else; proves nothing."""

from wiring.draw.door import circuit_drawing as circuit_drawing
from wiring.draw.door import drawing as drawing
from wiring.draw.page import pdf as pdf
from wiring.draw.page import png as png
from wiring.draw.parts import Drawing as Drawing
from wiring.draw.placed import Facts as Facts
from wiring.draw.svg_writer import svg as svg
from wiring.draw.text_writer import text as text
