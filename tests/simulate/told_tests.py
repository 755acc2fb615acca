"""The commissioning tests of a few jobs and what results would be said to mean, as text to compare with.

`tests/simulate/told_tests/<name>.txt` holds it: every test with its figures and bands, answers to
results as expected, at the limits, beyond them and of another kind, and what a diagnosis takes from
them. `python -m tests.simulate.told` writes these files anew too.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from tests.simulate.told_jobs import CATALOG, job_of
from wiring.circuit import build_after
from wiring.model.commissioning import Outcome, Step
from wiring.model.job import Parts, Record
from wiring.simulate.diagnosis import Diagnostician
from wiring.simulate.diagnosis_records import observations
from wiring.simulate.expect import live_after
from wiring.simulate.expect_record import UNITS, outcomes
from wiring.simulate.expect_steps import steps

FOLDER = Path(__file__).with_name("told_tests")
NAMES = ("malt", "gantry", "winch", "drive")
WORDS = ("ok", "not ok", "moves", "no motion", "hoist up", "of course", "OL")
#: Shares of the expected figure that are written down, beside the limits themselves.
SHARES = (1.0, 1.02, 0.93, 0.5, 0.0, 2.0)


def told(name: str) -> str:
    """All tests of a job, one block each."""
    job = job_of(name)
    after = build_after(job, CATALOG)
    doctor = Diagnostician(after)
    made = steps(job, CATALOG, after)
    rows = [f"live after a stop: {', '.join(live_after(after))}"]
    for step in made:
        rows += _step(step)
        for mains in ("", "0.9") if step.supply else ("",):
            rows += _answers(step, made, doctor, mains)
    return "\n".join(rows) + "\n"


def _step(s: Step) -> Iterator[str]:
    yield f"{s.id} [{s.group}] {s.answers} {s.subject}: {s.do}"
    yield f"    wanted {s.wanted}; words {s.words}; wrong {s.wrong}; source {s.source} ({s.basis})"
    if s.kind:
        band = ", ".join(_size(v) for v in (s.low, s.likely_low, s.nominal, s.likely_high, s.high))
        yield f"    {s.kind} {band}; rests on {', '.join(s.rests_on)}; impedance {s.impedance is not None}"


def _answers(step: Step, made: tuple[Step, ...], doctor: Diagnostician, mains: str) -> Iterator[str]:
    """What each result of one test would be said to mean. mains: share of the planned supply, if told."""
    supply = next((s for s in made if s.id == "mains"), None)
    known: tuple[Record, ...] = ()
    share = 1.0
    if mains and supply is not None and supply.nominal:
        share = float(mains)
        known = (Record("mains", f"{supply.nominal * share:.6g} V", "A", "now"),)
    for said in results(step):
        record = Record(step.id, said, "A", "now")
        outcome = next(o for o in outcomes(made, (*known, record), "now", _changed) if o.step.id == step.id)
        seen = observations((outcome,), doctor, share)
        taken = "; ".join(f"{p} = {v if isinstance(v, tuple) else _size(v)}" for p, v in seen.items())
        yield f"    {mains} {said!r}: {_outcome(outcome)}{f' | {taken}' if taken else ''}"
    old = replace(record, digest="then", parts=Parts("a", "b", "c", "d"))
    yield f"    taken then: {_outcome(outcomes((step,), (old,), 'now', _changed)[0])}"


def results(step: Step) -> list[str]:
    """Results of one test as a person would write them."""
    if not step.kind:
        return list(dict.fromkeys((*WORDS, *step.wrong)))
    figures = [step.nominal * share for share in SHARES] if step.nominal is not None else []
    figures += [v for v in (step.low, step.high) if v is not None]
    unit = UNITS[step.kind]
    return [*dict.fromkeys(f"{v:.5g} {unit}" for v in figures), *WORDS[:2], *WORDS[-2:]]


def _outcome(o: Outcome) -> str:
    following = '' if o.next == o.step.do else o.next
    return f"{o.answer}: {o.why}; {' | '.join(o.causes)}; {following}; {o.changed}"


def _changed(parts: Parts | None) -> tuple[str, ...]:
    """Parts of the plan that changed since a record: here always the ratings."""
    return ("ratings",) if parts else ()


def _size(value: float | None) -> str:
    return "-" if value is None else f"{value:.3g}"


def main() -> None:
    """Write the texts of all jobs."""
    FOLDER.mkdir(exist_ok=True)
    for name in NAMES:
        (FOLDER / f"{name}.txt").write_text(told(name), "utf-8")
