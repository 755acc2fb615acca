"""Drawings: one layout, several writers. Draws the proved circuit and nothing else; proves nothing."""

from wiring.draw.api import circuit_drawing as circuit_drawing
from wiring.draw.api import drawing as drawing
from wiring.draw.drawing import Drawing as Drawing
from wiring.draw.page import pdf as pdf
from wiring.draw.page import png as png
from wiring.draw.placed import Facts as Facts
from wiring.draw.svg import svg as svg
from wiring.draw.text import text as text
