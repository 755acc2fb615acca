"""`holdrun rules [ID]`: every check the tool makes, or one of them in full."""

from __future__ import annotations

import argparse
from typing import Any

from wiring import RULES
from wiring.cli import exits
from wiring.cli.entry import UsageError
from wiring.cli.nearest import hint
from wiring.cli.output import emit, emit_json
from wiring.sheets.words import wrap


def run(args: argparse.Namespace) -> int:
    """List the rules or show one."""
    if args.id is None:
        if args.json:
            emit_json({"schema": "holdrun/rules/1", "rules": [facts(rule) for rule in RULES.values()]})
        else:
            emit("".join(line(rule) for rule in RULES.values()))
        return exits.OK
    if args.id not in RULES:
        raise UsageError(f"no rule {args.id}{hint(args.id, RULES)}; all: holdrun rules")
    rule = RULES[args.id]
    if args.json:
        emit_json({"schema": "holdrun/rules/1", "rules": [facts(rule)]})
    else:
        emit(page(rule))
    return exits.OK


def line(rule: Any) -> str:
    """One rule of the list."""
    regions = "+".join(rule.regions)
    return f"{rule.id:<30} danger {rule.danger}  {rule.stage:<13}{regions:<7} {rule.title}\n"


def facts(rule: Any) -> dict[str, Any]:
    """One rule as JSON."""
    return {
        "id": rule.id,
        "title": rule.title,
        "danger": rule.danger,
        "stage": rule.stage,
        "regions": list(rule.regions),
        "checks": rule.checks,
        "hazard": rule.hazard,
        "needs": rule.needs,
        "does_not_cover": rule.does_not_cover,
        "source": rule.source,
    }


def page(rule: Any) -> str:
    """One rule under five headings."""
    parts = [
        f"{rule.id}  {rule.title}",
        f"danger {rule.danger}, due at {rule.stage}, {' and '.join(rule.regions)}",
    ]
    for heading, text in (
        ("Checks", rule.checks),
        ("Danger", rule.hazard),
        ("Needs", rule.needs),
        ("Does not cover", rule.does_not_cover),
        ("Source", rule.source),
    ):
        parts += ["", heading, wrap(text, 2)]
    return "\n".join(parts) + "\n"
