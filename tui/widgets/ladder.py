"""The drawn circuit as text with what is closed and energised now."""

from __future__ import annotations

import re

from rich.cells import cell_len
from textual.content import Content

from wiring.model.behaviour import Settled
from wiring.model.circuit import Circuit
from wiring.model.plan import Plan
from wiring.sheets.words import clean

HEADS = ("Power path", "Control")
CLOSED, OPEN = "┤━├", "┤ ├"


def body(text: str) -> str:
    """The rungs of a drawn circuit, title, verdict, wires and caution left out."""
    blocks = re.split(r"\n\n(?=\S[^\n]*\n─)", text)
    return "\n\n".join(block for block in blocks if block.startswith(HEADS)).rstrip()


def reflow(ladder: str, width: int) -> str:
    """The rungs broken at another width: a rung that is too long goes on below, with a mark at both ends."""
    whole = re.sub(r" ?─╮\n +╰── ?", " ── ", ladder)
    lines: list[str] = []
    for rung in whole.split("\n"):
        words = rung.split(" ── ")
        line = words[0]
        for word in words[1:]:
            if cell_len(line) + cell_len(word) + 6 > width and line.strip() != "╰":
                lines.append(f"{line} ─╮")
                line = f"       ╰── {word}"
            else:
                line += f" ── {word}"
        lines.append(line)
    return "\n".join(lines)


def draw_side(plan: Plan, side: str) -> str:
    """The rungs of one circuit. Takes a moment: call it in a worker."""
    import wiring

    return body(str(wiring.written(wiring.draw(plan, "circuit", "iec", show=side), ".txt")))


def drawn_name(name: str) -> str:
    """A part's name as the drawing writes it."""
    if name.startswith("hoist:"):
        return name[6:]
    return name.replace("receiver:", "receiver ", 1) if name.startswith("receiver:") else name


def live(ladder: str, circuit: Circuit, now: Settled) -> Content:
    """Closed contacts and energised coils marked by a sign and by weight."""
    closed = {drawn_name(name) for name in now.closed}
    energised = {drawn_name(name) for name in now.energised}
    contacts = {drawn_name(p.name) for p in circuit.parts if p.kind in ("contact", "semiconductor")}
    parts: list[tuple[str, str] | str] = []
    at = 0
    for found in re.finditer(r"┤.├ (receiver \S+|\S+)|\( (\S+) \)", ladder):
        parts.append(clean_lines(ladder[at : found.start()]))
        at = found.end()
        contact, coil = found.group(1), found.group(2)
        if coil is not None:
            on = coil in energised
            parts.append(
                (f"({'■' if on else ' '}{clean(coil)}{'■' if on else ' '})", "bold $accent" if on else "")
            )
        elif contact in contacts:
            on = contact in closed
            parts.append((f"{CLOSED if on else OPEN} {clean(contact)}", "bold" if on else "$secondary"))
        else:
            parts.append(clean_lines(found.group(0)))
    parts.append(clean_lines(ladder[at:]))
    return Content.assemble(*parts)


def clean_lines(text: str) -> str:
    return "\n".join(clean(line) for line in text.split("\n"))
