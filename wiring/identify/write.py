"""What a session has found, as edits of the job file: gate, readings, type and roles."""

from __future__ import annotations

from dataclasses import fields
from typing import TYPE_CHECKING

from wiring.files import AddEntry, Edit, SetKey
from wiring.identify.meter import FRAME, Model, stop_names
from wiring.identify.probe import reading_of
from wiring.model.job import Job

if TYPE_CHECKING:
    from wiring.identify.session import Session


def edits_of(session: Session, job: Job) -> list[Edit]:
    """Edits that put the session into its job: new readings always, type and roles only where
    they are certain. What a person wrote from a trace or a diagram is left alone."""
    found: list[Edit] = []
    if session.gate is not None and session.gate != job.gate:
        names = [field.name for field in fields(session.gate)]
        found += [SetKey(f"gate.{name}", value) for name in names if (value := getattr(session.gate, name))]
    if session.meter.lead_resistance is not None and job.meter.lead_resistance is None:
        found.append(SetKey("meter.lead_resistance", session.meter.lead_resistance))
    types = [kind for kind in session.types() if kind.standing == "certain"]
    model = next((m for m in session.models if types and m.id == types[0].id), None)
    found += _readings(session, model)
    if not session.certain:
        return found
    if model is not None and job.hoist.type_by not in ("traced", "diagram"):
        when = max((t.at for t in session.taken if t.at is not None), default=None)
        source = f"readings of {when:%Y-%m-%d}" if when else "readings"
        found += [SetKey("hoist.type", model.id), SetKey("hoist.type_by", "readings")]
        found.append(SetKey("hoist.type_source", source))
    if not session.crossed:
        found += _roles(session, job)
    return found


def _readings(session: Session, model: Model | None) -> list[Edit]:
    lead = session.meter.lead_resistance.si if session.meter.lead_resistance else 0.0
    stops = sorted(stop_names([model] if model else session.models))
    stop = stops[0].removeprefix("stop:") if stops else "stop"
    frame = model.circuit.earth if model and model.circuit.earth else FRAME
    return [AddEntry("reading", reading_of(taken, lead, stop, frame)) for taken in session.fresh]


def _roles(session: Session, job: Job) -> list[Edit]:
    at = {core.id: i for i, core in enumerate(job.cores)}
    found: list[Edit] = []
    for role in session.roles():
        i = at.get(role.core)
        if i is None:
            where = f"{role.core}"
            if role.standing == "certain":
                found.append(AddEntry("core", {"id": where, "role": role.role, "by": "readings"}))
            continue
        if role.standing == "certain" and job.cores[i].by not in ("traced", "diagram"):
            found += [SetKey(f"core.{i}.role", role.role), SetKey(f"core.{i}.by", "readings")]
    return found
