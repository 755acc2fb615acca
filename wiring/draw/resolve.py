"""Cross-references: the place of a symbol on the finished sheets, put into the texts that ask for it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from wiring.draw.cells import XREF
from wiring.draw.frame import zone
from wiring.draw.parts import Layer, Sheet, Symbol, Text


def resolved(sheets: Sequence[Sheet]) -> tuple[Sheet, ...]:
    """Sheets with every `@part` replaced by the part's place, or a dash where it is not drawn."""
    places = _places(sheets)
    return tuple(replace(sheet, body=_layer(sheet.body, places)) for sheet in sheets)


def _places(sheets: Sequence[Sheet]) -> Mapping[str, str]:
    """Part name to its zone, with the sheet number in front where there are several sheets.

    The receiver is found under its own name, which stands at its supply block.
    """
    found: dict[str, str] = {}
    for sheet in sheets:
        for symbol in sheet.body.symbols:
            where = zone(sheet.width, sheet.height, *symbol.at)
            place = f"{sheet.number}/{where}" if len(sheets) > 1 else where
            names: Iterable[str] = ("receiver",) if symbol.kind == "receiver" else symbol.parts
            for name in names:
                found.setdefault(name, place)
    return found


def _layer(layer: Layer, places: Mapping[str, str]) -> Layer:
    def text(t: Text) -> Text:
        head, mark, name = t.text.partition(XREF)
        if not mark:
            return t
        place = places.get(name, "-")
        arrow = "" if head.endswith("→ ") else "→ "
        return replace(t, text=f"{head}{arrow}{place}")

    def symbol(s: Symbol) -> Symbol:
        return replace(s, texts=tuple(text(t) for t in s.texts))

    return replace(
        layer, symbols=tuple(symbol(s) for s in layer.symbols), texts=tuple(text(t) for t in layer.texts)
    )
