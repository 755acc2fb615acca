"""The PNG shows every line: no row or column of pixels is left out between drawing and raster."""

from __future__ import annotations

import struct
import zlib

import pytest

from wiring.draw import Drawing, png
from wiring.draw.parts import THIN, Layer, Sheet, Wire

LONG, NARROW, EDGE = (279.4, 431.8, 568.8), 40.0, 3.0  # heights or widths that sheets have, other side [mm]


def lined(long: float, step: float, level: bool) -> Drawing:
    """A strip of paper full of thin level or upright wires, `step` apart [mm]."""
    places = [EDGE + step * n for n in range(int((long - 2 * EDGE) / step))]
    ends = EDGE, NARROW - EDGE
    wires = tuple(
        Wire((ends[0], at), (ends[1], at), THIN) if level else Wire((at, ends[0]), (at, ends[1]), THIN)
        for at in places
    )
    size = (NARROW, long) if level else (long, NARROW)
    return Drawing("lines", "lines", "us", "circuit", (Sheet(1, "x", *size, Layer((), wires), Layer()),))


def inks(file: bytes, level: bool) -> list[float]:
    """Darkness (0 to 1) of the pixels along the middle column of the picture, or along its middle row."""
    wide, high, depth, colour = struct.unpack(">IIBB", file[16:26])
    assert (depth, colour) == (8, 6)
    packed, at = b"", 8
    while at < len(file):
        (size,) = struct.unpack(">I", file[at : at + 4])
        if file[at + 4 : at + 8] == b"IDAT":
            packed += file[at + 8 : at + 8 + size]
        at += size + 12
    raw, span = zlib.decompress(packed), wide * 4
    row, found = bytearray(span), []
    for y in range(high):
        start = y * (span + 1)
        row = _unfiltered(raw[start], bytearray(raw[start + 1 : start + 1 + span]), row)
        if level:
            found.append(1.0 - row[(wide // 2) * 4] / 255)
        elif y == high // 2:
            return [1.0 - row[x * 4] / 255 for x in range(wide)]
    return found


def _unfiltered(kind: int, line: bytearray, above: bytearray) -> bytearray:
    """One row of a PNG after its filter is undone (PNG specification, section 9)."""
    for i in range(len(line)) if kind else ():
        a = line[i - 4] if i >= 4 else 0
        b, c = above[i], above[i - 4] if i >= 4 else 0
        near = min((abs(b - c), 0, a), (abs(a - c), 1, b), (abs(a + b - 2 * c), 2, c))[2]
        line[i] = (line[i] + (0, a, b, (a + b) // 2, near)[kind]) & 255
    return line


@pytest.mark.parametrize("level", [True, False], ids=["level", "upright"])
@pytest.mark.parametrize("dpi", [83, 95, 110])
@pytest.mark.parametrize("long", LONG)
def test_no_thin_wire_is_lost_in_the_raster(dpi: int, level: bool, long: float) -> None:
    """Each wire of a sheet full of thin wires leaves its ink in the PNG, wherever it lies."""
    drawing = lined(long, 1.9, level)
    shade = inks(png(drawing, dpi), level)
    for wire in drawing.sheets[0].body.wires:
        middle = int((wire.a[1] if level else wire.a[0]) / 25.4 * dpi)
        assert sum(shade[middle - 1 : middle + 2]) > 0.8 * THIN / 25.4 * dpi, f"wire at {wire.a} is lost"
