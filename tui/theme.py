"""Two looks of our own: paper by day, slate by night. Colour never stands alone."""

from __future__ import annotations

from textual.theme import Theme

from wiring.model.finding import Verdict

PAPER = Theme(
    name="paper",
    dark=False,
    primary="#2f5d62",
    secondary="#5b6a6e",
    accent="#8a5a14",
    foreground="#1f2b33",
    background="#f4f1e7",
    surface="#ece8da",
    panel="#e2ddcc",
    success="#2d6a3e",
    warning="#855400",
    error="#a3261d",
    variables={"block-cursor-background": "#2f5d62", "block-cursor-foreground": "#f4f1e7"},
)
SLATE = Theme(
    name="slate",
    dark=True,
    primary="#7fa8a3",
    secondary="#93a1a1",
    accent="#d0a35c",
    foreground="#dcd7c9",
    background="#171d21",
    surface="#1e262b",
    panel="#28323a",
    success="#86b98b",
    warning="#d9b44a",
    error="#e58574",
    variables={"block-cursor-background": "#7fa8a3", "block-cursor-foreground": "#171d21"},
)
THEMES = (SLATE, PAPER)

#: Theme variable for a verdict; the word and the sign say the same without it.
INK = {
    Verdict.FAIL: "$text-error",
    Verdict.UNKNOWN: "$text-warning",
    Verdict.PASS: "$text-success",
    Verdict.TO_SHOW: "$text-accent",
    Verdict.NOT_APPLICABLE: "$secondary",
}
HEX = {Verdict.FAIL: "error", Verdict.UNKNOWN: "warning", Verdict.PASS: "success", Verdict.TO_SHOW: "accent"}


def hex_of(theme: Theme, verdict: Verdict) -> str:
    """The colour of a verdict as a table cell needs it, "" for none."""
    name = HEX.get(verdict)
    return str(getattr(theme, name) or "") if name else ""
