"""`holdrun bench-test FILE`: the receiver alone, step by step, results into the job."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from wiring import bench_test
from wiring.cli import exits
from wiring.cli.asking import NOTHING, Asking, counted, text_of, write_session
from wiring.cli.entry import UsageError
from wiring.cli.output import emit, emit_json, read, talk
from wiring.sheets.words import CAUTION, EXAMPLE, clean, wrap

if TYPE_CHECKING:
    from wiring.identify import BenchSession, BenchWanted
    from wiring.model.job import Job


def run(args: argparse.Namespace) -> int:
    """Ask, take answers, print what was found; --write puts the results into the job."""
    job = read(args.file)
    original = text_of(args.file)
    session = bench_test(job)
    if job.receiver.type is None and not session.setting.keys:
        raise UsageError("the receiver type is unknown: list the keys of the transmitter ([[transmitter]])")
    session = guided(session, Asking(args.answer))
    if args.write:
        edits = list(session.edits())
        if edits:
            write_session(args.file, job, original, edits)
        talk(f"wrote {args.file}: {counted(len(session.fresh), 'result')}" if edits else NOTHING)
    if args.json:
        emit_json(document(session, job))
    else:
        emit((f"{EXAMPLE}\n\n" if job.example else "") + text(session))
    return exits.OK if session.complete else exits.UNKNOWN


def guided(session: BenchSession, answers: Asking) -> BenchSession:
    """The session after every answer that was given."""
    while answers.live:
        wanted = session.wanted()
        if wanted is None:
            return session
        talk("\n" + wrap(wanted.do))
        talk(wrap(f"why: {wanted.why}", 2, 7))
        step = asked(session, wanted, answers)
        if step is None:
            return session
        session = step
    return session


def asked(session: BenchSession, wanted: BenchWanted, answers: Asking) -> BenchSession | None:
    """The session after one answer; None where there is none, or the person stops."""
    for line in answers.lines(f"{wanted.allowed}; skip, stop: "):
        if line.lower() in ("stop", "quit", "q"):
            return None
        try:
            return session.answer(wanted.step, line)
        except ValueError as error:
            if not answers.terminal:
                raise UsageError(str(error)) from None
            talk(str(error))
    return None


def text(session: BenchSession) -> str:
    """Results by output, objections, what is next."""
    done = len([step for step in session.steps if step.name in session.passed])
    lines = [f"{done} of {len(session.steps)} steps answered, {len(session.skipped)} skipped", ""]
    for row in session.results:
        time = f" {'< ' if row.at_most else ''}{row.time}" if row.time else ""
        lines.append(clean(f"{row.output or '':<14}{row.test:<20}{row.result}{time}"))
    for key, id in session.found.items():
        lines.append(clean(f"key {key} works {id}"))
    for id, fitted in session.jumpers.items():
        lines.append(clean(f"jumper {id} is {'fitted' if fitted else 'out'}"))
    lines += ["", *(wrap(f"OBJECTION: {line}", 0, 2) for line in session.objections())]
    wanted = session.wanted()
    if wanted is not None:
        lines += ["", wrap(f"next: {wanted.do}", 0, 6), wrap(f"why: {wanted.why}", 0, 5)]
    return "\n".join([*lines, "", wrap(CAUTION)]) + "\n"


def document(session: BenchSession, job: Job) -> dict[str, Any]:
    """The same as one JSON document."""
    wanted = session.wanted()
    return {
        "schema": "holdrun/bench-test/1",
        "job": job.title,
        **({"example": EXAMPLE} if job.example else {}),
        "file": job.file,
        "complete": session.complete,
        "results": [
            {"test": r.test, "output": r.output, "result": r.result,
             "seconds": r.time.si if r.time else None, "at_most": r.at_most}
            for r in session.results
        ],
        "keys": dict(session.found),
        "jumpers": dict(session.jumpers),
        "objections": list(session.objections()),
        "skipped": sorted(session.skipped),
        "wanted": None if wanted is None else
        {"test": wanted.test, "output": wanted.output or None, "do": wanted.do, "why": wanted.why,
         "allowed": wanted.allowed},
    }  # fmt: skip
