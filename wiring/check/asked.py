"""What the job says about receiver, bench and records, in the shape the mode rules ask for."""

from __future__ import annotations

from collections.abc import Iterator

from wiring.check.case import Case
from wiring.check.draft import Missing
from wiring.model.job import BenchResult, ReceiverOutput, Record

#: Keys that command no motion by themselves.
NOT_MOTION = frozenset({"stop", "start"})

#: Results of a commissioning test that mean it was as wanted.
GOOD = frozenset(
    {"ok", "yes", "pass", "works", "stops", "opens", "moves", "no motion", "nothing moved", "good"}
)


def outputs(case: Case) -> Iterator[tuple[int, str, ReceiverOutput]]:
    """Every output the job sets: index, full name, facts."""
    for index, output in enumerate(case.job.receiver.outputs):
        yield index, f"receiver:{output.id}", output


def motion_outputs(case: Case) -> Iterator[tuple[int, str, ReceiverOutput]]:
    """Outputs whose key commands a motion. Raises Missing where none is stated: nothing can be said
    of a receiver nobody has described."""
    none = True
    for index, name, output in outputs(case):
        if output.key and output.key.removeprefix("key:") not in NOT_MOTION:
            none = False
            yield index, name, output
    if none:
        raise Missing("receiver.output", "name the receiver, and the key that works each of its outputs")


def stop_outputs(case: Case) -> tuple[str, ...]:
    """Full names of the outputs that open on the stop key: the job's, or the type's presets."""
    found = [name for _, name, o in outputs(case) if (o.key or "").removeprefix("key:") == "stop"]
    if not found and case.receiver_type is not None:
        found = [f"receiver:{o.id}" for o in case.receiver_type.outputs if o.key == "stop"]
    return tuple(found)


def bench(case: Case, test: str, output: str | None = None) -> tuple[BenchResult, ...]:
    """Bench results of a test, for one output (by its bare id) or without output named."""
    return tuple(
        b for b in case.job.bench if b.test == test and (output is None or b.output in (output, None))
    )


def record(case: Case, test: str) -> tuple[Record | None, bool]:
    """The last record of a commissioning test, and whether it was taken on this plan."""
    found = [r for r in case.job.records if r.test == test]
    if not found:
        return None, False
    last = found[-1]
    return last, last.digest == case.facts.digest


def good(result: str) -> bool:
    """True where a recorded result says the test went as wanted."""
    return result.strip().lower() in GOOD


def is_sheet(source: str | None) -> bool:
    """True where a source names a document rather than a memory or a guess."""
    words = ("sheet", "manual", "diagram", "document", "drawing", "certificate", "plate", "label")
    return source is not None and any(w in source.lower() for w in words)
