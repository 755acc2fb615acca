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
        shown = app.get_key_display(binding)
        if binding.key == key:
            said = binding.description
            said = said if said[0].islower() else said.lower()  # those of the framework are titles
            groups.setdefault(place(active.node), []).append(f"  {shown:<14} {said}")
    for where, keys in groups.items():
        lines += ["", where, *sorted(set(keys))]
    return "\n".join([*lines, "", CAUTION])


PLACES = {
    "Desk": "Everywhere",
    "HoldrunApp": "The program",
    "Ledger": "In a list of keys",
    "Grid": "In a table of entries",
    "Typing": "While a value is typed",
    "FilterInput": "While a filter is typed",
    "Beside": "In the findings of a step",
    "FindingTable": "In the list of findings",
    "AllFindings": "In the list of findings",
    "Rows": "In a table of the proof",
    "ProofTable": "In a table of the proof",
    "Knob": "On a key or switch of the bench",
    "BenchLeaf": "On the bench",
    "Identify": "In the meter session",
    "BenchTest": "In the bench test",
    "Tests": "In commissioning",
    "Points": "In the two columns",
    "Columns": "In the two columns",
    "Sheet": "On a drawing",
    "Ticks": "In the list of papers",
    "Types": "In the list of types",
    "Offers": "In what is offered",
    "Table": "In a table",
    "TextPage": "On a page of text",
    "OptionList": "In a list",
    "TextArea": "In the text",
    "ScrollableContainer": "On a page of text",
}


def place(node: object) -> str:
    """Where a key does something, in words: of the part itself, or of what it is a kind of."""
    kinds = (kind.__name__ for kind in type(node).__mro__)
    return next((PLACES[name] for name in kinds if name in PLACES), "Here")
