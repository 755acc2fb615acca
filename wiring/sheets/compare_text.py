"""Two plans beside each other as text and as JSON: schema holdrun/compare/1."""

from __future__ import annotations

from typing import Any

from wiring.model.compared import Compared
from wiring.sheets.proof_text import names
from wiring.sheets.words import CAUTION, EXAMPLE, clean, verdict_line, wrap

SCHEMA = "holdrun/compare/1"
MOST = 40  # lines of one kind; the rest is in --json


def compare_text(found: Compared) -> str:
    """What changed in wires, values, verdicts and behaviour; what is void now."""
    old, new = found.old, found.new
    lines = [f"*** {EXAMPLE} ***"] if old.job.example or new.job.example else []
    lines += [
        clean(f"old: {old.job.title} · revision {old.job.revision or '-'} · digest {old.digest}"),
        wrap(verdict_line(old.report), 5),
        clean(f"new: {new.job.title} · revision {new.job.revision or '-'} · digest {new.digest}"),
        wrap(verdict_line(new.report), 5),
        "",
    ]
    if found.same:
        lines.append("Same digest: circuit, ratings, settings and catalog entries are the same.")
    else:
        lines.append(f"Changed: {', '.join(found.parts)}.")
    if not found.circuits:
        lines.append("Wires and behaviour cannot be compared: one of the two has no converted circuit.")
    lines += part("Parts and wires that go", found.removed)
    lines += part("Parts and wires that are new", found.added)
    lines += part("Wires and parts on other terminals", [f"{n}: {a} -> {b}" for n, a, b in found.moved])
    lines += part("Values", [f"{n}: {a} -> {b}" for n, a, b in found.set])
    lines += part("Verdicts", [f"{r} {s}: {a} -> {b}" for r, s, a, b in found.verdicts])
    lines += part("Moves differently", [motion_line(found, i) for i in range(len(found.motions))])
    lines += part("Events", found.events)
    lines += ["", "What that voids"]
    lines += [wrap(f"approval of {by}: VOID", 2, 4) for by in found.approvals] or ["  no approval"]
    if found.records:
        lines.append(wrap(f"records to repeat: {', '.join(found.records)}", 2, 4))
    else:
        lines.append("  no record")
    return "\n".join([*lines, "", wrap(CAUTION)]) + "\n"


def part(title: str, items: tuple[str, ...] | list[str]) -> list[str]:
    """One heading with its lines; nothing where there are none."""
    if not items:
        return []
    rest = [f"  ... {len(items) - MOST} more: --json"] if len(items) > MOST else []
    return ["", f"{title} ({len(items)})", *(wrap(item, 2, 4) for item in items[:MOST]), *rest]


def motion_line(found: Compared, index: int) -> str:
    """One state in which the two plans move differently."""
    row = found.motions[index]
    opened = f", open {names(row.open, '')}" if row.open else ""
    return (
        f"{names(row.pressed, 'nothing pressed')}{opened}: was {names(row.before, 'still')}, "
        f"now {names(row.after, 'still')}"
    )


def compare_json(found: Compared) -> dict[str, Any]:
    """The same as one document."""
    return {
        "schema": SCHEMA,
        "old": {
            "file": found.old.job.file,
            "digest": found.old.digest,
            "verdict": str(found.old.report.verdict),
        },
        "new": {
            "file": found.new.job.file,
            "digest": found.new.digest,
            "verdict": str(found.new.report.verdict),
        },
        "same": found.same,
        "changed": list(found.parts),
        "circuits": found.circuits,
        "removed": list(found.removed),
        "added": list(found.added),
        "moved": [{"part": n, "old": a, "new": b} for n, a, b in found.moved],
        "values": [{"value": n, "old": a, "new": b} for n, a, b in found.set],
        "verdicts": [{"rule": r, "subject": s, "old": a, "new": b} for r, s, a, b in found.verdicts],
        "motions": [
            {"pressed": list(d.pressed), "open": list(d.open), "old": list(d.before), "new": list(d.after)}
            for d in found.motions
        ],
        "events": list(found.events),
        "void": {"approvals": list(found.approvals), "records": list(found.records)},
    }
