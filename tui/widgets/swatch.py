"""A core colour as two blocks of colour; the name always stands beside it."""

from __future__ import annotations

from rich.text import Text

SHADES = {
    "black": "#101010", "white": "#f8f8f8", "red": "#c1121f", "blue": "#1f5fbf", "green": "#2a8a3e",
    "yellow": "#e6c517", "orange": "#e0751a", "brown": "#7a4a25", "grey": "#8c8c8c", "gray": "#8c8c8c",
    "violet": "#7b4bb3", "purple": "#7b4bb3", "pink": "#e78bb0", "turquoise": "#2aa9a0", "tan": "#c9a777",
}  # fmt: skip


def swatch(colour: str) -> Text:
    """Two cells of the colour, one of each for two colours; hatching for a name without a shade."""
    names = [one.strip() for one in colour.casefold().replace("-", "/").replace(" ", "/").split("/")]
    shades = [SHADES[name] for name in names if name in SHADES][:2]
    if not shades:
        return Text("▒▒")
    first, last = shades[0], shades[-1]
    return Text.assemble(("▐", f"{first} on {first}"), ("▌", f"{last} on {last}"))
