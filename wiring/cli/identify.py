"""`holdrun identify FILE`: the isolation gate, then one meter reading after the other."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from datetime import datetime
from typing import TYPE_CHECKING, Any

from wiring.cli import exits
from wiring.cli.asking import (
    NOTHING,
    STEPS,
    Asking,
    buttons_of,
    counted,
    gate_of,
    lead_ohms,
    leads_of,
    text_of,
    write_session,
)
from wiring.cli.entry import UsageError
from wiring.cli.output import emit, emit_json, read, talk
from wiring.pipeline import identify
from wiring.sheets.reading_words import CROSSED, contradiction
from wiring.sheets.words import CAUTION, EXAMPLE, clean, wrap

if TYPE_CHECKING:
    from wiring.identify import Session, Wanted
    from wiring.model.job import Job

CERTAIN = (
    "Certain means: no other answer of the catalog fits, even if one reading in ten were wrong. "
    "A hoist that is not in the catalog can still read the same."
)
BEEP = "Do not trust the beep: windings, coils and transformers beep too. Read the ohms."


def run(args: argparse.Namespace) -> int:
    """Ask, take answers, print what is left; --write puts readings, type and roles into the job."""
    job = read(args.file)
    if not job.cores:
        raise UsageError("the job lists no cores: add one [[core]] for each, numbered by position")
    original = text_of(args.file)
    session = identify(job)
    if args.buttons:
        session = session.seeing(buttons_of(args.buttons))
    if args.leads is not None:
        lead_ohms(args.leads)  # a slip is said now, not after the gate
    if args.pairs:
        session = session.by_pairs()
    session = guided(session, args)
    if args.write:
        edits = list(session.edits(job))
        if edits:
            write_session(args.file, job, original, edits)
        talk(f"wrote {args.file}: {counted(len(session.fresh), 'reading')}" if edits else NOTHING)
    if args.json:
        emit_json(document(session, job))
    else:
        emit((f"{EXAMPLE}\n\n" if job.example else "") + text(session))
    return exits.OK if session.certain else exits.UNKNOWN


def guided(session: Session, args: argparse.Namespace) -> Session:
    """The session after every answer that was given, in options or at the terminal."""
    answers = Asking(args.answer)
    if not answers.live and args.isolated_at is None:
        return session  # nothing to answer with: show where it stands
    shown = False
    while True:
        wanted = session.wanted(datetime.now() if answers.terminal else None)
        if wanted is None:
            return session
        if wanted.kind == "gate":
            talk(wrap(wanted.why))
            session = session.isolated(gate_of(args, session.gate, wanted.missing))
            if session.wanted(None) == wanted:
                raise UsageError("the gate is not passed: no reading is asked for")
            session = leads_of(args, session)
            args = asked_again(args)
            continue
        if not shown:
            talk(BEEP)
            shown = True
        step = asked(session, wanted, answers)
        if step is None:
            return session
        session = step


def asked_again(args: argparse.Namespace) -> argparse.Namespace:
    """The options without those of the gate: after a pause they say nothing of how things are then."""
    return argparse.Namespace(**{**vars(args), **dict.fromkeys(STEPS)})


def asked(session: Session, wanted: Wanted, answers: Asking) -> Session | None:
    """The session after one answer; None where there is none, or the person stops."""
    probe = wanted.probe
    assert probe is not None  # what is no gate is a reading
    talk(f"\nreading {len(session.taken) + 1}: {standing(session)}")
    talk(wrap(wanted.how, 2, 2))
    talk(wrap(f"why: {wanted.why}", 2, 7))
    for line in answers.lines("ohms, OL, climbs, skip, no button, stop: "):
        if line.lower() in ("stop", "quit", "q"):
            return None
        try:
            return session.reply(probe, line, datetime.now().replace(microsecond=0))
        except ValueError as error:
            if not answers.terminal:
                raise UsageError(str(error)) from None
            talk(str(error))
    return None


def standing(session: Session) -> str:
    """One line: what is left, which readings contradict."""
    types = sum(found.standing != "unlikely" for found in session.types())
    line = f"{session.left} answer{'s' * (session.left != 1)} left, {types} type{'s' * (types != 1)}"
    return line + "".join(f"\n{each}" for each in contradiction_lines(session))


def contradiction_lines(session: Session) -> Iterator[str]:
    """Which readings cannot all be true, and which one to repeat; nothing where some answer fits all."""
    found = session.contradiction()
    if found is not None:
        place = session.space.taken[found.repeat].probe.told
        for line in contradiction(found.readings, found.repeat, place, session.certain):
            yield wrap(line, 0, 2)


def text(session: Session) -> str:
    """Types, roles, what reads alike, contradictions, what comes next."""
    lines = [standing(session), "", "Hoist type"]
    for kind in session.types()[:6]:
        lines.append(wrap(f"{kind.standing:<9}{kind.id}: {kind.title}", 2, 11))
    if not session.types():
        lines.append("  none of the catalog has this supply, these buttons and so few cores")
    lines += ["", f"{'core':<6}{'colour':<10}{'role':<14}{'known':<11}what is left"]
    colours = {core.id: core.colour or "" for core in session.cores}
    for role in session.roles():
        others = ", ".join(role.others[:5]) + (", ..." if len(role.others) > 5 else "")
        name = role.role or "?"
        row = f"{clean(role.core):<6}{clean(colours[role.core]):<10}{name:<14}{role.standing:<11}{others}"
        lines.append(row.rstrip())
    for pair in session.symmetric():
        who = f"{' and '.join(pair.cores)} ({', '.join(pair.roles)})"
        lines.append(wrap(f"{who}: told apart by {pair.told_by}", 0, 2))
    if session.crossed:
        lines.append(wrap(CROSSED, 0, 2))
    wanted = session.wanted(None)
    if wanted is not None:
        lines += ["", wrap(f"next: {wanted.how}", 0, 6), wrap(f"why: {wanted.why}", 0, 5)]
    if session.certain:
        lines += ["", wrap(CERTAIN)]
    return "\n".join([*lines, "", wrap(CAUTION)]) + "\n"


def document(session: Session, job: Job) -> dict[str, Any]:
    """The same as one JSON document."""
    wanted = session.wanted(None)
    found = session.contradiction()
    return {
        "schema": "holdrun/identify/1",
        "job": job.title,
        **({"example": EXAMPLE} if job.example else {}),
        "file": job.file,
        "certain": session.certain,
        "answers_left": session.left,
        "readings": len(session.taken),
        "types": [
            {"id": t.id, "title": t.title, "standing": t.standing, "share": round(t.share, 4),
             "against": [i + 1 for i in t.against]}
            for t in session.types()
        ],
        "roles": [
            {"core": r.core, "role": r.role or None, "standing": r.standing, "others": list(r.others)}
            for r in session.roles()
        ],
        "alike": [
            {"cores": list(s.cores), "roles": list(s.roles), "told_by": s.told_by}
            for s in session.symmetric()
        ],
        "crossed": session.crossed,
        "contradiction": None if found is None else
        {"readings": [i + 1 for i in found.readings], "repeat": found.repeat + 1},
        "wanted": None if wanted is None else wanted_json(wanted),
    }  # fmt: skip


def wanted_json(wanted: Wanted) -> dict[str, Any]:
    """The next step as JSON."""
    if wanted.probe is None:
        return {"kind": wanted.kind, "missing": list(wanted.missing), "why": wanted.why}
    return {
        "kind": wanted.kind,
        "purpose": wanted.purpose,
        "between": list(wanted.between),
        "side": wanted.probe.side,
        "state": wanted.state,
        "quantity": wanted.probe.live or "ohms",
        "how": wanted.how,
        "why": wanted.why,
    }
