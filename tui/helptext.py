"""The help page, made from the bindings that are active where it is asked for."""

from __future__ import annotations

from textual.app import App
from textual.screen import Screen

from tui.steps.order import STEPS
from wiring.sheets.words import CAUTION

FIRST = (
    "Number keys go to a step, function keys do it also while a value is typed. Arrows move, Enter edits, "
    "Tab takes the value and goes on, Esc leaves it as it was. What is marked ? is not known yet; "
    "✗ is wrong or objected to. Nothing needs the mouse.",
)


def help_text(screen: Screen[object], app: App[object]) -> str:
    """Steps, then every key that does something here, grouped by the part it belongs to."""
    lines = [*FIRST, "", "Steps"]
    lines += [f"  {s.key}  {s.twin.upper():<4} {s.name:<12} {s.about}" for s in STEPS]
    groups: dict[str, list[str]] = {}
    for key, active in screen.active_bindings.items():
        binding = active.binding
        if not binding.description or binding.action.startswith("step("):
            continue
        where = type(active.node).__name__
        shown = app.get_key_display(binding)
        if binding.key == key:
            groups.setdefault(where, []).append(f"  {shown:<14} {binding.description}")
    for where, keys in groups.items():
        lines += ["", PLACES.get(where, where), *sorted(set(keys))]
    return "\n".join([*lines, "", CAUTION])


PLACES = {
    "Desk": "Everywhere",
    "HoldrunApp": "The program",
    "Ledger": "In a list of keys",
    "Grid": "In a table of entries",
    "Typing": "While a value is typed",
    "Beside": "In the findings of a step",
}
