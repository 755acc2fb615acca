"""proof.stop-chain: what each stop's chain is worth, against what the risk asks for."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from wiring.check.answers import answered
from wiring.check.asked import stop_outputs
from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.faulty import results
from wiring.check.rule import iec, rule, us
from wiring.check.states import command, commands, settled_at
from wiring.model.circuit import Stop
from wiring.model.job import Risk

LEVELS = "abcde"


@rule(
    "proof.stop-chain",
    "The stop's chain is worth what the risk asks",
    danger=1,
    hazard="A level claimed for the radio ends at its terminals; one unmonitored contactor behind it is the "
    "chain.",
    sources=(
        us("29 CFR 1910.179(a)(40), (a)(59)"),
        iec("ISO 13849-1 risk graph and categories (recalled); ISO 13850 4.1.5"),
    ),
    checks="For each stop but isolators: the parts it opens, what one welded part leaves, and the level "
    "that a single "
    "unmonitored channel can have, against the level by the job's risk estimate.",
    needs="place.risk; receiver.stop_function.level with claimed_by for a radio stop; "
    '[[answer]] requirement = "proof.stop-chain" where a competent person validated the chain.',
    does_not_cover="Reliability figures of the parts, common causes, software.",
    faults_too=True,
)
def check(case: Case) -> Iterable[Draft]:
    stops = [s for s in case.after.stops if s.kind not in ("isolator", "plug")]
    return case.each([(s.input, s) for s in stops], lambda subject, s: told(case, subject, s))


def told(case: Case, subject: str, stop: Stop) -> Draft:
    """One stop's chain, with its weak points."""
    return replace(judge(case, subject, stop), path=weak_points(case, stop))


def weak_points(case: Case, stop: Stop) -> str:
    """Each part of a stop's chain that may weld, and what still stops then; empty without fault runs."""
    if case.facts.behaviour is None or case.faults is None:
        return ""
    dropped = {
        coil for bare in commands(case.after)
        for coil in set(settled_at(case, "after", command(case, "after", bare)).energised)
        - set(settled_at(case, "after", command(case, "after", bare) | {stop.input}).energised)
    }  # fmt: skip
    wanted = {*(f"{name} stuck-closed" for name in stop.parts), *(f"{name} stuck-in" for name in dropped)}
    rows = []
    for result in results(case):
        if len(result.fault) == 1 and result.fault[0] in wanted:
            scored = [set(h.stops_left) for h in result.hazards if h.score_after is not None]
            left = sorted(set.intersection(*scored)) if scored else []
            ends = f"ended by {', '.join(left)}" if left else "nothing ends it" if scored else "no hazard"
            rows.append(f"{result.fault[0]}: {ends}")
    return "; ".join(rows)


def judge(case: Case, subject: str, stop: Stop) -> Draft:
    """One stop's chain."""
    wired = [name for name in stop.parts if _wired(case, name)] or list(stop.parts)
    channels = len({_owner(p) for p in wired})
    radio = stop.kind == "radio stop"
    chain = (
        f"{len(wired)} contact{'s' if len(wired) > 1 else ''} of {channels} "
        f"device{'s' if channels > 1 else ''}: {', '.join(wired)}"
    )
    if radio:
        claim = case.job.receiver.stop_function
        level = (
            f"{claim.level} claimed by {claim.claimed_by or 'nobody named'}"
            if claim and claim.level
            else "no level claimed"
        )
        relays = len(stop_outputs(case))
        chain = (
            f"{relays} stop output{'s' if relays != 1 else ''}, {level}; the claim ends at the receiver's "
            "terminals; " + behind(case)
        )
    wanted_level = required(case.job.place.risk if case.job.place else None)
    validated = answered(case, "proof.stop-chain")
    if wanted_level is None:
        return unknown(subject, f"{chain}; the required level is not estimated", "a level by the risk "
            "estimate",
                       "estimate it: place.risk with severity, exposure, avoidance",
                       key="place.risk")  # fmt: skip
    wanted = f"performance level {wanted_level} by the job's risk estimate"
    # one channel without monitoring reaches c at most, whatever its parts
    if LEVELS.index(wanted_level) <= LEVELS.index("c") and not (radio and not _claims(case, wanted_level)):
        return passed(subject, chain, wanted, key="place.risk")
    if validated:
        return passed(subject, f"{chain}; validated: {validated}", wanted, key="answer")
    if (
        radio
        and case.job.receiver.stop_function is not None
        and case.job.receiver.stop_function.exists is False
    ):
        return failed(
            subject, chain, wanted, "use a receiver with a stop function", key="receiver.stop_function"
        )
    why = "" if "not monitored" in chain else "not monitored, "
    return unknown(subject, f"{chain}; {why}so no more than level c is shown", wanted,
                   "have a competent person validate the chain",
                   'then answer it: [[answer]] requirement = "proof.stop-chain"',
                   key="place.risk")  # fmt: skip


def behind(case: Case) -> str:
    """What stands behind the receiver's stop terminals."""
    coils = sorted(
        {p.name for p in case.after.parts if p.kind == "coil" and not p.name.startswith("receiver:")}
    )
    mains = [d.id for d in case.job.devices if "main-contactor" in d.type]
    if mains:
        return f"behind it one main contactor {mains[0]}, not monitored"
    return (
        f"behind it the motion contactors alone ({len(coils)} coils)" if coils else "behind it the motor line"
    )


def required(risk: Risk | None) -> str | None:
    """Performance level by the risk graph, None where the estimate is incomplete."""
    if risk is None or risk.severity is None or risk.exposure is None or risk.avoidance is None:
        return None
    serious = risk.severity != "slight"
    often = risk.exposure not in ("seldom", "rare")
    hardly = risk.avoidance not in ("possible",)
    return LEVELS[(2 if serious else 0) + (1 if often else 0) + (1 if hardly else 0)]


def _claims(case: Case, level: str) -> bool:
    """True where the radio's own claim is at least a level, with a name behind it."""
    claim = case.job.receiver.stop_function
    if claim is None or not claim.level or not claim.claimed_by:
        return False
    letter = claim.level.strip().lower()[-1:]
    return letter in LEVELS and LEVELS.index(letter) >= LEVELS.index(level)


def _wired(case: Case, name: str) -> bool:
    """True where something is joined to both ends of a contact."""
    part = case.after.part(name)
    return all(any(pin in p.pins for p in case.after.parts if p is not part) for pin in part.pins)


def _owner(part: str) -> str:
    return part.partition(":")[0].partition(".")[0] if not part.startswith("receiver:") else part
