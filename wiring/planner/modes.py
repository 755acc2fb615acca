"""Set the outputs to momentary, and take back what was only true of the old setting."""

from __future__ import annotations

from dataclasses import replace

from wiring.model.entry import ReceiverType
from wiring.model.job import BenchResult, Job, JumperSetting, ReceiverOutput

OLD_SETTING = ("release", "battery-out", "supply-return", "supply-return-held", "opposite")


def momentary(job: Job, receiver: ReceiverType) -> Job:
    """The job with every output set to momentary.

    The jumper that an output's `mode_set_by` names goes to its other position. What was
    found out with the old setting (the source of the mode, bench tests that saw an output
    stay, "stays" on loss of the signal) is no longer known and is taken out, never replaced
    by a figure. The same job where nothing is to be set, or the type cannot do it.
    """
    wrong = [o for o in job.receiver.outputs if o.mode not in (None, "momentary")]
    if not wrong or "momentary" not in receiver.modes:
        return job
    jumpers = {p.id: p.fitted for p in receiver.net.parts if p.role == "jumper"}
    turned = {j for o in wrong for j in jumpers if f"jumper {j} " in f"{o.mode_set_by or ''} "}
    settings = {j.id: j.fitted for j in job.receiver.jumpers}
    now = {j: not settings.get(j, jumpers[j]) for j in turned}
    outputs = tuple(_set(o, now) if o in wrong else o for o in job.receiver.outputs)
    rows = [JumperSetting(j.id, now.get(j.id, j.fitted)) for j in job.receiver.jumpers]
    rows += [JumperSetting(j, now[j]) for j in sorted(turned) if j not in settings]
    loss = job.receiver.on_signal_loss
    facts = replace(
        job.receiver,
        outputs=outputs,
        jumpers=tuple(rows),
        on_signal_loss=None if isinstance(loss, str) else loss,
    )
    ids = {o.id for o in wrong}
    return replace(job, receiver=facts, bench=tuple(row for row in job.bench if not _void(row, ids)))


def _set(output: ReceiverOutput, now: dict[str, bool]) -> ReceiverOutput:
    by = next((f"jumper {j} {'fitted' if fitted else 'removed'}" for j, fitted in now.items()), None)
    return replace(output, mode="momentary", mode_set_by=by, mode_source=None)


def _void(row: BenchResult, ids: set[str]) -> bool:
    """True for a bench test that only says what the old setting did."""
    return row.test in OLD_SETTING and row.result != "opens" and (row.output in ids or row.output is None)
