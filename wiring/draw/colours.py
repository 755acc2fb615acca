"""Core colours: letters after IEC 60757 and inks for the sleeve. Two-colour cores keep both."""

from __future__ import annotations

LETTERS = {
    "black": "BK", "brown": "BN", "red": "RD", "orange": "OG", "yellow": "YE", "green": "GN", "blue": "BU",
    "light blue": "BU", "dark blue": "BU", "violet": "VT", "purple": "VT", "grey": "GY", "gray": "GY",
    "white": "WH", "pink": "PK", "gold": "GD", "turquoise": "TQ", "silver": "SR", "clear": "clear",
}  # fmt: skip
INKS = {
    "BK": "#1a1a1a", "BN": "#7a4a21", "RD": "#d0211c", "OG": "#f08a00", "YE": "#ffd900", "GN": "#1d8a3a",
    "BU": "#1f62c9", "VT": "#7d3c98", "GY": "#9a9a9a", "WH": "#ffffff", "PK": "#f3a6c0", "GD": "#c9a227",
    "TQ": "#2bb5ad", "SR": "#c8c8c8",
}  # fmt: skip


def parts_of(colour: str) -> tuple[str, ...]:
    """`green/yellow` as ("GN", "YE"); a printed number or an unknown word gives ()."""
    words = [word.strip().lower() for word in colour.replace("-", "/").split("/")]
    letters = tuple(LETTERS.get(word, word.upper() if word.upper() in INKS else "") for word in words)
    return letters if letters and all(letters) else ()


def letters(colour: str) -> str:
    """Letters beside a sleeve: `BK`, `GNYE`, `RD/BK`; words we have no letters for stay as they are."""
    found = parts_of(colour)
    if not found:
        return colour
    if set(found) == {"GN", "YE"}:
        return "GNYE"
    return "/".join(found)


def inks(colour: str) -> tuple[str, ...]:
    """Fills of the sleeve, base colour first; () for no colour or one without an ink."""
    return tuple(INKS[letter] for letter in parts_of(colour) if letter in INKS)
