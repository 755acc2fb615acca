"""The requirement list as text and as its JSON document."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from wiring.model.entry import Clause
from wiring.model.plan import Plan
from wiring.model.requirement import STATES, Reply, Requirement
from wiring.sheets.words import CAUTION, opening, wrap

SCHEMA = "holdrun/requirements/1"
_HANG = 8


def requirement_text(plan: Plan, rows: Sequence[Requirement], stray: Sequence[tuple[str, str]]) -> str:
    """Every clause with its state, its words and what answers it; counts first."""
    counts = counted(rows)
    recalled = sum(r.clause.basis == "memory" for r in rows)
    lines = [
        *opening(plan),
        "",
        wrap(f"{len(rows)} requirements of the {plan.job.region} list, in our own words; {recalled} of them "
             "recalled without the text at hand. The texts themselves decide."),
        wrap(", ".join(f"{n} {state}" for state, n in counts.items() if n)),
        "",
    ]  # fmt: skip
    for row in rows:
        lines += row_lines(row)
    lines += [wrap(stray_line(name, near), 0, 2) for name, near in stray]
    return "\n".join([*lines, "", wrap(CAUTION)]) + "\n"


def row_lines(row: Requirement) -> list[str]:
    """One clause: id and state, where it stands, what it asks, who answers."""
    clause = row.clause
    lines = [f"{clause.id:<{_HANG}}{row.state}"]
    lines.append(wrap(f"{place(clause)} ({basis(clause)})", _HANG))
    lines.append(wrap(clause.text, _HANG))
    lines += [wrap(f"- {reply_line(reply)}", _HANG, _HANG + 2) for reply in row.replies]
    return [*lines, ""]


def reply_line(reply: Reply) -> str:
    """Who answers and how; the words only where they tell more than the state."""
    plain = reply.state in ("met", "not applicable") and reply.by != "question"
    return f"{reply.by}: {reply.state}" + (f" ({reply.says})" if reply.says and not plain else "")


def place(clause: Clause) -> str:
    """Standard, edition and clause on one line."""
    return " ".join(filter(None, (clause.standard, clause.edition, clause.clause)))


def basis(clause: Clause) -> str:
    """How the text of a clause is known."""
    return "recalled" if clause.basis == "memory" else str(clause.basis)


def counted(rows: Sequence[Requirement]) -> dict[str, int]:
    """How many rows are in each state, worst first."""
    return {state: sum(r.state == state for r in rows) for state in STATES}


def stray_line(name: str, near: str) -> str:
    """A line about an answer to nothing that is asked."""
    hint = f"; nearest: {near}" if near else ""
    return f'[[answer]] requirement = "{name}" answers nothing on this list{hint}'


def requirement_json(
    plan: Plan, rows: Sequence[Requirement], stray: Sequence[tuple[str, str]]
) -> dict[str, Any]:
    """The document of `check --requirements --json`."""
    return {
        "schema": SCHEMA,
        "job": plan.job.title,
        "example": plan.job.example,
        "file": plan.job.file,
        "digest": plan.digest,
        "stage": plan.report.stage,
        "region": plan.job.region,
        "verdict": str(plan.report.verdict),
        "counts": counted(rows),
        "rows": [row_json(r) for r in rows],
        "stray_answers": [{"requirement": name, "nearest": near} for name, near in stray],
    }


def row_json(row: Requirement) -> dict[str, Any]:
    """One clause as JSON."""
    clause = row.clause
    return {
        "id": clause.id,
        "standard": clause.standard,
        "edition": clause.edition,
        "clause": clause.clause,
        "requirement": clause.text,
        "basis": clause.basis,
        "state": row.state,
        "answered_by": [{"by": r.by, "state": r.state, "says": r.says} for r in row.replies],
    }
