"""The digest of a plan: what an approval or a record was given for.

Everything that reaches circuit, ratings and settings, after the catalog's
defaults. Left out: confirmations, approvals, records, answers, readings, the
isolation gate, titles, names of people and dates.
"""

from __future__ import annotations

import hashlib
import json
from typing import Any

from wiring.model.entry import Catalog, ReceiverType
from wiring.model.job import Job, Parts, Rating, ReceiverFacts, ReceiverOutput
from wiring.model.value import Amount, WireSize

#: Words of a person's explanation, not facts of the plan.
_TALK = frozenset({"source", "type_source", "mode_source", "why", "where", "by", "number", "print", "text"})


def digest(job: Job, catalog: Catalog) -> tuple[str, Parts]:
    """Twelve hex digits over the plan, and one short hash each for what can change."""
    whole = {
        "circuit": circuit_of(job, catalog),
        "ratings": ratings_of(job, catalog),
        "settings": settings_of(job, catalog),
        "catalog": catalog_of(job, catalog),
    }
    parts = Parts(*(_hash(whole[name])[:4] for name in ("circuit", "ratings", "settings", "catalog")))
    return _hash(whole)[:12], parts


def changed(old: Parts | None, new: Parts) -> tuple[str, ...]:
    """Which of the four changed; all of them where the old ones are not recorded."""
    names = ("circuit", "ratings", "settings", "catalog")
    if old is None:
        return names
    return tuple(n for n in names if getattr(old, n) != getattr(new, n))


def circuit_of(job: Job, catalog: Catalog) -> dict[str, Any]:
    """What decides which parts there are and how they are joined."""
    receiver = catalog.receivers.get(job.receiver.type or "")
    return {
        "hoist": job.hoist.type,
        "receiver": job.receiver.type,
        "supply": [job.supply.system, _plain(job.supply.voltage), _plain(job.supply.frequency)],
        "cord": [job.cord.fate, list(job.cord.order or ())],
        "cores": sorted([c.id, c.role, c.colour] for c in job.cores),
        "pendant": _plain(job.pendant),
        "jumpers": _jumpers(job, receiver),
        "devices": sorted([d.id, d.type] for d in job.devices),
        "removes": sorted(r.name for r in job.removes),
        "cables": sorted([c.id, list(c.order or ())] for c in job.cables),
        "connections": sorted([*sorted((c.from_, c.to)), c.conductor or ""] for c in job.connections),
        "stops": sorted(([s.id, s.kind, s.device] for s in job.stops), key=str),
    }


def ratings_of(job: Job, catalog: Catalog) -> dict[str, Any]:
    """Sizes, lengths, ratings and stated values."""
    return {
        "values": sorted([v.of, _plain(v.is_)] for v in job.values),
        "supply": _plain(job.supply),
        "cord": _plain(job.cord),
        "cables": sorted((_plain(c) for c in job.cables), key=str),
        "sizes": sorted(
            ([sorted((c.from_, c.to)), _plain(c.size)] for c in job.connections if c.size is not None),
            key=str,
        ),
        "devices": sorted((_plain(d) for d in job.devices), key=str),
        "outputs": sorted([o.id, _rating(o.rating)] for o in job.receiver.outputs),
        "hoist": [_plain(job.hoist.hook_speed), job.hoist.starts_per_hour, _plain(job.hoist.load_holding)],
    }


def settings_of(job: Job, catalog: Catalog) -> dict[str, Any]:
    """Modes, keys and what the receiver does by itself; where it works and who is there."""
    facts, entry = job.receiver, catalog.receivers.get(job.receiver.type or "")
    return {
        "region": [job.region, job.country, job.people],
        "outputs": sorted(([o.id, o.key, o.mode, o.mode_set_by] for o in facts.outputs), key=str),
        "behaviour": _behaviour(facts, entry),
        "loss": [_loss(o, facts, entry) for o in sorted(facts.outputs, key=lambda o: o.id)],
        "transmitters": sorted((_plain(t) for t in job.transmitters), key=str),
        "stops": sorted((_plain(s) for s in job.stops), key=str),
        "place": _plain(job.place),
    }


def catalog_of(job: Job, catalog: Catalog) -> dict[str, Any]:
    """The content of every entry the job names, and of the tables."""
    hoist = catalog.hoists.get(job.hoist.type or "")
    receiver = catalog.receivers.get(job.receiver.type or "")
    devices = {d.type: catalog.devices[d.type].digest for d in job.devices if d.type in catalog.devices}
    cables = {t: catalog.cables[t].digest for t in (*(c.type for c in job.cables), job.cord.type)
              if t is not None and t in catalog.cables}  # fmt: skip
    return {
        "hoist": hoist.digest if hoist else "",
        "receiver": receiver.digest if receiver else "",
        "devices": devices,
        "cables": cables,
    }


def _jumpers(job: Job, entry: ReceiverType | None) -> dict[str, bool | None]:
    """Jumpers as they are: the factory's where the job is silent."""
    factory = {p.id: p.fitted for p in entry.net.parts if p.role == "jumper"} if entry else {}
    return {**factory, **{j.id: j.fitted for j in job.receiver.jumpers}}


def _behaviour(facts: ReceiverFacts, entry: ReceiverType | None) -> dict[str, Any]:
    """What the receiver does by itself, the type's where the job is silent."""
    return {
        "on_supply_return": facts.on_supply_return or (entry.on_return if entry else None),
        "opposing": facts.opposing or (entry.opposing if entry else None),
        "step_two": facts.step_two or (entry.step_two if entry else None),
        "neutral_check": facts.neutral_check,
        "dead_time": _plain(facts.dead_time),
        "stop_function": _plain(facts.stop_function),
    }


def _loss(output: ReceiverOutput, facts: ReceiverFacts, entry: ReceiverType | None) -> Any:
    if facts.on_signal_loss is not None:
        return _plain(facts.on_signal_loss)
    return entry.on_loss.get(output.mode or "") if entry else None


def _rating(rating: Rating | None) -> Any:
    return None if rating is None else _plain(rating)


def _plain(value: Any) -> Any:
    """A model value as JSON can hold it: SI numbers for quantities, so that notation does not matter."""
    if isinstance(value, Amount):
        return f"{value.si:.9g}"
    if isinstance(value, WireSize):
        return f"{value.area_m2:.6g}"
    if isinstance(value, tuple | list):
        return [_plain(v) for v in value]
    if hasattr(value, "items"):
        return {str(k): _plain(v) for k, v in sorted(value.items())}
    if hasattr(value, "__dataclass_fields__"):
        return {f: _plain(getattr(value, f)) for f in value.__dataclass_fields__ if f not in _TALK}
    return value


def _hash(value: Any) -> str:
    text = json.dumps(value, sort_keys=True, separators=(",", ":"), default=str)
    return hashlib.sha256(text.encode()).hexdigest()
