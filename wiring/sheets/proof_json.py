"""The JSON document of `prove`: schema holdrun/prove/1."""

from __future__ import annotations

from typing import Any

from wiring.model.behaviour import Behaviour, Difference, Event, FaultResult, Faults, Hazard, Row, Truth
from wiring.model.finding import Verdict
from wiring.model.plan import Plan

SCHEMA = "holdrun/prove/1"
ORDER = ("worse", "same", "better", "none")
LISTED = 200  # fault results printed in one document; the total is always said


def proof_verdict(plan: Plan) -> Verdict:
    """The verdict of all proof.* rules that are due: fail, else unknown, else pass."""
    found = [f.verdict for f in plan.report.findings if f.rule.startswith("proof.") and f.about == "after"]
    for verdict in (Verdict.FAIL, Verdict.UNKNOWN):
        if verdict in found:
            return verdict
    return Verdict.PASS if Verdict.PASS in found else Verdict.UNKNOWN


def row_json(row: Row) -> dict[str, Any]:
    """A row of a truth table."""
    return {
        "pressed": list(row.pressed),
        "open": list(row.open),
        "any": list(row.any),
        "motions": list(row.motions),
        "energised": list(row.energised),
    }


def truth_json(truth: Truth) -> dict[str, Any]:
    """A truth table."""
    return {
        "complete": truth.complete,
        "vectors": truth.vectors,
        "rows": [row_json(row) for row in truth.rows],
    }


def difference_json(difference: Difference) -> dict[str, Any]:
    """A state that moves differently."""
    return {
        "pressed": list(difference.pressed),
        "open": list(difference.open),
        "before": list(difference.before),
        "after": list(difference.after),
        "judgement": difference.judgement,
    }


def event_json(event: Event) -> dict[str, Any]:
    """An event and how it ended."""
    return {
        "event": event.event,
        "about": event.about,
        "subject": event.subject,
        "pressed": list(event.pressed),
        "open": list(event.open),
        "latched": list(event.latched),
        "motions": list(event.motions),
        "energised": list(event.energised),
        "verdict": event.verdict,
        "why": event.why,
    }


def hazard_json(hazard: Hazard) -> dict[str, Any]:
    """A hazard of a fault, with the stops that are left."""
    return {
        "hazard": hazard.hazard,
        "motion": hazard.motion,
        "stops_left": list(hazard.stops_left),
        "score_before": hazard.score_before,
        "score_after": hazard.score_after,
    }


def fault_json(result: FaultResult) -> dict[str, Any]:
    """A fault set and what it leads to."""
    return {
        "fault": list(result.fault),
        "class": result.kind,
        "hazards": [hazard_json(h) for h in result.hazards],
        "compared_with": result.compared_with,
        "judgement": result.judgement,
        "below_floor": result.below_floor,
        "story": list(result.story),
    }


def faults_json(faults: Faults) -> dict[str, Any]:
    """Counts of every fault, and the first `LISTED` results: worse ones and those below the floor first."""
    results = sorted(faults.results, key=lambda r: (not r.below_floor, ORDER.index(r.judgement)))
    return {
        "kind": faults.kind,
        "count": faults.count,
        "worse": faults.worse,
        "same": faults.same,
        "better": faults.better,
        "none": faults.none,
        "below_floor": faults.below_floor,
        "sampled": faults.sampled,
        "listed": min(LISTED, len(faults.results)),
        "total": faults.count,
        "list": [fault_json(r) for r in results[:LISTED]],
    }


def behaviour_json(shown: Behaviour) -> dict[str, Any]:
    """All that was simulated, under the keys of the document."""
    return {
        "truth": {"before": truth_json(shown.before), "after": truth_json(shown.after)},
        "differences": [difference_json(d) for d in shown.differences],
        "events": [event_json(e) for e in shown.events],
        "faults": None if shown.faults is None else faults_json(shown.faults),
        "stop_matrix": [
            {
                "motion": row.motion,
                "fault": list(row.fault),
                "before": dict(row.before),
                "after": dict(row.after),
                "judged": row.judged,
            }
            for row in shown.stops
        ],
        "races": [
            {
                "about": r.about,
                "pressed": list(r.pressed),
                "open": list(r.open),
                "outcomes": [list(o) for o in r.outcomes],
            }
            for r in shown.races
        ],
        "sneak": [
            {
                "about": s.about,
                "kind": s.kind,
                "subject": s.subject,
                "state": sorted(s.state),
                "volts": s.volts,
                "fraction": s.fraction,
                "path": list(s.path),
            }
            for s in shown.sneaks
        ],
        "not_shown": list(shown.not_shown),
        "seconds": round(shown.seconds, 3),
    }


def proof_json(plan: Plan) -> dict[str, Any]:
    """The whole proof of one job. Without circuits the document says which type is missing."""
    inputs = [i.name for i in plan.after.inputs] if plan.after else []
    document: dict[str, Any] = {
        "schema": SCHEMA,
        "job": plan.job.title,
        "example": plan.job.example,
        "file": plan.job.file,
        "digest": plan.digest,
        "identity": plan.identity,
        "identity_sentence": plan.identity_sentence,
        "verdict": str(proof_verdict(plan)),
        "inputs": inputs,
    }
    if plan.behaviour is None:
        missing = "hoist type" if plan.before is None else "receiver type"
        nothing: dict[str, Any] = {
            "truth": None,
            "differences": [],
            "events": [],
            "faults": None,
            "races": [],
            "sneak": [],
            "not_shown": [f"everything: the {missing} is not known"],
            "seconds": 0.0,
        }
        return document | nothing
    return document | behaviour_json(plan.behaviour)
