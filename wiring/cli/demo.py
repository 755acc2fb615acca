"""`holdrun demo [DIR]`: example jobs with their verdicts, proofs and drawings, and what to open next."""

from __future__ import annotations

import argparse
import json
from pathlib import Path
from typing import Any

from wiring import Plan, check_json, check_text, demos, plan, proof_text, schema, written
from wiring.cli import exits
from wiring.cli.output import emit, emit_json, read, talk, write_file
from wiring.pipeline import draw
from wiring.sheets.words import CAUTION, EXAMPLE, verdict_line, wrap

SHEETS = ("circuit", "connections")
FORMATS = (".svg", ".png", ".txt")


def run(args: argparse.Namespace) -> int:
    """Write the demo jobs and everything computed from them. Existing job files are kept."""
    folder = Path(args.dir)
    folder.mkdir(parents=True, exist_ok=True)
    write_file(str(folder / "job.schema.json"), json.dumps(schema("job"), indent=2) + "\n")
    plans = []
    for name, text in demos():
        file = folder / name
        if file.exists() and file.read_text("utf-8") != text:
            talk(f"kept {file}: it was edited")
        else:
            write_file(str(file), text)
        plans.append(made(file))
    codes = [exits.OF_VERDICT[str(p.report.verdict)] for p in plans]
    if args.json:
        emit_json(document(plans))
    else:
        emit(report(folder, plans))
    return exits.worst(codes) if args.strict else exits.OK


def made(file: Path) -> Plan:
    """Check, prove and draw one demo job beside its file."""
    found = plan(read(str(file)), faults="single")
    base = str(file.with_suffix(""))
    write_file(f"{base}.check.txt", check_text(found, show_all=True))
    write_file(f"{base}.proof.txt", proof_text(found, "single"))
    for sheet in SHEETS:
        drawing = draw(found, sheet, found.job.region)
        for suffix in FORMATS:
            write_file(f"{base}.{sheet}{suffix}", written(drawing, suffix))
    return found


def document(plans: list[Plan]) -> dict[str, Any]:
    """The demo jobs as one JSON document."""
    return {"schema": "holdrun/demo/1", "jobs": [check_json(p) for p in plans]}


def report(folder: Path, plans: list[Plan]) -> str:
    """One block a job, then the next thing to do."""
    lines = [f"{EXAMPLE}. Scenarios of our own, written to {folder}/", ""]
    for found in plans:
        file = Path(found.job.file)
        lines += [
            found.job.title,
            wrap(verdict_line(found.report), 2),
            f"  schematic   {file.with_suffix('')}.circuit.svg  (.png .txt)",
            f"  to wire by  {file.with_suffix('')}.connections.svg",
            f"  findings    {file.with_suffix('')}.check.txt",
            f"  proof       {file.with_suffix('')}.proof.txt",
            "",
        ]
    first = plans[0].job.file
    lines += [
        "Next",
        f"  holdrun check {first}      what is wrong with the first try",
        f"  holdrun open {first}       the same on screens",
        "  holdrun new my-hoist.toml      start your own job; it never starts from a demo",
        "",
        wrap(CAUTION),
    ]
    return "\n".join(lines) + "\n"
