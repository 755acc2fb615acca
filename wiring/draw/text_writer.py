"""The text writer: the drawing as a ladder in box-drawing characters, for terminals and screen readers."""

from __future__ import annotations

import textwrap

from wiring.draw.parts import Block, Drawing, Rung
from wiring.draw.words import clean

BAR = "──"


def text(drawing: Drawing, width: int = 100) -> str:
    """The drawing as text, no line longer than `width` (at least 40) where words allow it."""
    width = max(40, width)
    lines = [
        clean(drawing.title),
        "═" * min(width, len(drawing.title)),
        *_wrapped(drawing.description, width),
        "",
    ]
    for block in drawing.blocks:
        lines += [*_block(block, width), ""]
    return "\n".join(line.rstrip() for line in lines).rstrip() + "\n"


def _wrapped(words: str, width: int, indent: str = "", further: str | None = None) -> list[str]:
    return textwrap.wrap(
        clean(words), width, initial_indent=indent,
        subsequent_indent=indent if further is None else further,
    )  # fmt: skip


def _block(block: Block, width: int) -> list[str]:
    lines = [block.title, "─" * len(block.title)]
    for line in block.lines:
        lines += _wrapped(line, width, "  ", "      ")
    if block.lines and block.rungs:
        lines.append("")
    for number, rung in enumerate(block.rungs, 1):
        lines += _rung(number, rung, width)
    return lines


def _rung(number: int, rung: Rung, width: int) -> list[str]:
    """A chain from node to node; where it is too long it goes on below, with a mark at both ends."""
    line = f"{number:>3}  ● {rung.start} "
    lines: list[str] = []
    for word in (*rung.parts, f"● {rung.end}"):
        piece = f"{BAR} {clean(word)} "
        if len(line) + len(piece) + 2 > width and line.strip() != "╰":
            lines.append(line + "─╮")
            line = "       ╰"
        line += piece
    return [*lines, line]
