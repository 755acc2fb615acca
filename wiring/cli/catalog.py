"""`holdrun catalog [KIND [ID]]`: types with what to look for; `catalog check FILE` lints one."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from wiring import lint_entry, load_catalog, type_page
from wiring.cli import exits
from wiring.cli.entry import UsageError
from wiring.cli.nearest import hint
from wiring.cli.output import emit, emit_json
from wiring.model.entry import Catalog
from wiring.sheets.words import CAUTION, wrap

KINDS = ("hoist", "receiver", "device", "cable", "table", "clause")


def run(args: argparse.Namespace) -> int:
    """List kinds, list one kind, show one entry, or lint a file."""
    if args.kind == "check":
        return check(args)
    beside = Path(args.id or "").parent if str(args.id).endswith(".toml") else Path()
    catalog = load_catalog(beside)
    if args.kind is None:
        emit(
            "".join(
                f"{kind:<10}{len(entries(catalog, kind))} entries: holdrun catalog {kind}\n" for kind in KINDS
            )
        )
        return exits.OK
    if args.kind not in KINDS:
        words = (*KINDS, "check")
        raise UsageError(f"found {args.kind}; allowed: {' | '.join(words)}{hint(args.kind, words)}")
    found = entries(catalog, args.kind)
    if args.id is None:
        listed(found, args)
        return exits.OK
    name = Path(args.id).name if args.id.endswith(".toml") else args.id
    if name not in found:
        raise UsageError(f"no {args.kind} {args.id}{hint(args.id, found)}; all: holdrun catalog {args.kind}")
    page = type_page(args.kind, name, beside)
    emit_json(page.document) if args.json else emit(page.text.rstrip("\n") + "\n")
    return exits.OK


def entries(catalog: Catalog, kind: str) -> Mapping[str, Any]:
    """The entries of one kind by id."""
    kinds: dict[str, Mapping[str, Any]] = {
        "hoist": catalog.hoists,
        "receiver": catalog.receivers,
        "device": catalog.devices,
        "cable": catalog.cables,
        "table": catalog.tables,
        "clause": catalog.clauses,
    }
    return kinds[kind]


def listed(found: Mapping[str, Any], args: argparse.Namespace) -> None:
    """Ids and titles; for types also what to look for on the real thing."""
    if args.json:
        rows = [
            {"id": id, "title": title_of(e), "recognise": list(getattr(e, "recognise", ()))}
            for id, e in found.items()
        ]
        emit_json({"schema": "holdrun/catalog/1", "kind": args.kind, "entries": rows})
        return
    for id, entry in found.items():
        emit(f"{id}\n{wrap(title_of(entry), 4)}\n")
        for look in getattr(entry, "recognise", ()):
            emit(wrap(f"look for: {look}", 4, 14) + "\n")


def title_of(entry: Any) -> str:
    """Title of an entry, or the text of a clause."""
    return str(getattr(entry, "title", "") or getattr(entry, "text", ""))


def check(args: argparse.Namespace) -> int:
    """Lint and self-test a catalog entry."""
    if args.id is None:
        raise UsageError("catalog check needs a file")
    report = lint_entry(args.id)
    if args.json:
        emit_json(report.document)
    else:
        emit(report.text + "\n" + wrap(CAUTION) + "\n")
    return exits.OF_VERDICT[report.verdict]
