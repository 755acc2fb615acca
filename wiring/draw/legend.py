"""The legend: every symbol of one set with its name and how its shape is known."""

from __future__ import annotations

from wiring.draw.cells import Ink
from wiring.draw.parts import SMALL, TEXT, Block, Layer, Symbol, Text
from wiring.draw.symbols import CELL, PRACTICE, shapes
from wiring.draw.words import wrap

ACROSS, WIDE, HIGH = 8, 46.0, 34.0  # symbols in a row, room for each [mm]
RULES = (
    "A dot joins; lines that cross without a dot are not joined.",
    "Everything is drawn at rest: nothing pressed, no limit reached, no supply.",
    "W7+2: wire W7 and two more on the same potential. Grey and dashed: removed, as found.",
    "Wide lines: power. In a state view wide is live and thin is dead.",
    "Sleeves show the core's colour and its letters; GNYE is green and yellow.",
)


def legend_layer(style: str) -> Layer:
    """All shapes of a set in rows, then the rules of reading."""
    symbols, texts = [], []
    for index, shape in enumerate(shapes(style).values()):
        x, y = (index % ACROSS) * WIDE, (index // ACROSS) * HIGH
        ink = Ink()
        ink.shape(shape, (x, y))
        symbols.append(
            Symbol((f"legend.{shape.id}",), shape.id, shape.name, (), tuple(ink.strokes), tuple(ink.circles),
                   tuple(ink.texts), at=(x + CELL / 2, y + CELL / 2))
        )  # fmt: skip
        for n, line in enumerate(wrap(shape.name, WIDE - 3.0, TEXT, 3)):
            texts.append(Text(x, y + CELL + 4.0 + n * 3.0, line, TEXT))
        texts.append(Text(x, y + CELL + 13.2, f"shape: {shape.basis}", SMALL, role="basis"))
    rows = -(-len(symbols) // ACROSS)
    foot = [f"Symbols {PRACTICE[style]}.", *RULES]
    texts += [Text(0.0, rows * HIGH + n * 3.4, line, TEXT) for n, line in enumerate(foot)]
    return Layer(symbols=tuple(symbols), texts=tuple(texts))


def legend_blocks(style: str) -> tuple[Block, ...]:
    """The legend for the text writer."""
    lines = tuple(f"{shape.name} (shape: {shape.basis})" for shape in shapes(style).values())
    return (Block(f"Symbols {PRACTICE[style]}", lines=lines), Block("How to read", lines=RULES))
