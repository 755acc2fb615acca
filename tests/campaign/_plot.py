"""A scatter on logarithmic axes as an SVG text, without any library."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

WIDTH, HEIGHT, LEFT, TOP, GAP = 420, 300, 70, 40, 60
INK, MARK = "#222222", "#1f6f8b"


@dataclass(frozen=True)
class Panel:
    """One scatter. points: (x, y, label), all positive."""

    title: str
    x_name: str
    y_name: str
    points: Sequence[tuple[float, float, str]]


def scatter(panels: Sequence[Panel]) -> str:
    """The panels side by side."""
    body = [_panel(panel, n * (LEFT + WIDTH + GAP)) for n, panel in enumerate(panels)]
    width = len(panels) * (LEFT + WIDTH + GAP)
    height = TOP + HEIGHT + 60
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}" '
        f'viewBox="0 0 {width} {height}" font-family="sans-serif" font-size="11" fill="{INK}">\n'
        f'<rect width="100%" height="100%" fill="#ffffff"/>\n' + "\n".join(body) + "\n</svg>\n"
    )


def _decades(values: Sequence[float]) -> tuple[int, int]:
    low = math.floor(math.log10(min(values)))
    high = math.ceil(math.log10(max(values)))
    return low, max(high, low + 1)


def _panel(panel: Panel, shift: int) -> str:
    x_low, x_high = _decades([x for x, _, _ in panel.points])
    y_low, y_high = _decades([y for _, y, _ in panel.points])

    def at(x: float, y: float) -> tuple[float, float]:
        right = (math.log10(x) - x_low) / (x_high - x_low) * WIDTH
        up = (math.log10(y) - y_low) / (y_high - y_low) * HEIGHT
        return shift + LEFT + right, TOP + HEIGHT - up

    left, base = shift + LEFT, TOP + HEIGHT
    found = [f'<text x="{left}" y="{TOP - 16}" font-size="13">{panel.title}</text>']
    found.append(f'<rect x="{left}" y="{TOP}" width="{WIDTH}" height="{HEIGHT}" fill="none" stroke="{INK}"/>')
    for decade in range(x_low, x_high + 1):
        x, _ = at(10.0**decade, 10.0**y_low)
        found.append(f'<line x1="{x:.1f}" y1="{base}" x2="{x:.1f}" y2="{base + 5}" stroke="{INK}"/>')
        found.append(f'<text x="{x:.1f}" y="{base + 18}" text-anchor="middle">{10.0**decade:g}</text>')
    for decade in range(y_low, y_high + 1):
        _, y = at(10.0**x_low, 10.0**decade)
        found.append(f'<line x1="{left - 5}" y1="{y:.1f}" x2="{left}" y2="{y:.1f}" stroke="{INK}"/>')
        found.append(f'<text x="{left - 8}" y="{y + 4:.1f}" text-anchor="end">{10.0**decade:g}</text>')
    found.append(f'<text x="{left + WIDTH / 2}" y="{base + 38}" text-anchor="middle">{panel.x_name}</text>')
    found.append(f'<text x="{left}" y="{TOP - 3}" font-size="10">{panel.y_name}</text>')
    for x, y, label in panel.points:
        px, py = at(x, y)
        dot = f'<circle cx="{px:.1f}" cy="{py:.1f}" r="3" fill="{MARK}">'
        found.append(f"{dot}<title>{label}</title></circle>")
    return "\n".join(found)
