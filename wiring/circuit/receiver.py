"""The receiver of a job: its parts, jumpers as they are on this unit, outputs as they are set."""

from __future__ import annotations

from dataclasses import replace

from wiring.circuit.draft import Draft, add_netlist
from wiring.circuit.names import receiver_name
from wiring.model.circuit import Output
from wiring.model.entry import Catalog, EntryPart, HoistType, OutputType, ReceiverType
from wiring.model.job import Job, ReceiverOutput
from wiring.model.value import Amount

#: What an output may do when the link is lost, worst first.
LOSS = ("closes", "stays", "opens")


def receiver_of(job: Job, catalog: Catalog) -> ReceiverType:
    """The job's receiver type. Raises ValueError where it is not known."""
    if job.receiver.type is None:
        raise ValueError("the receiver type is not known: no converted circuit can be built")
    if job.receiver.type not in catalog.receivers:
        raise ValueError(f"no receiver type {job.receiver.type!r} in the catalog")
    return catalog.receivers[job.receiver.type]


def add_receiver(draft: Draft, receiver: ReceiverType, job: Job) -> None:
    """Terminals and parts of the receiver, each jumper in or out as the job says, else as delivered."""
    set_by_job = {jumper.id: jumper.fitted for jumper in job.receiver.jumpers}

    def as_set(part: EntryPart) -> EntryPart:
        fitted = set_by_job.get(part.id)
        return part if fitted is None or part.role != "jumper" else replace(part, fitted=fitted)

    net = replace(receiver.net, parts=tuple(as_set(part) for part in receiver.net.parts))
    add_netlist(draft, net, receiver_name, lambda _: "receiver", _cause)


def _cause(by: str) -> str:
    kind, _, id = by.partition(":")
    return f"{kind}:{receiver_name(id)}" if kind in ("output", "coil") else by


def outputs_of(job: Job, receiver: ReceiverType) -> tuple[Output, ...]:
    """Every output of the receiver as set on this job; None where the job does not say."""
    facts = {output.id: output for output in job.receiver.outputs}
    built = tuple(_output(job, receiver, kind, facts.get(kind.id)) for kind in receiver.outputs)
    step_two = job.receiver.step_two or receiver.step_two
    if step_two != "replaces":
        return built
    keys = {output.key for output in built}
    return tuple(
        replace(output, yields_to=(f"{output.key}.2",)) if f"{output.key}.2" in keys else output
        for output in built
    )


def _output(job: Job, receiver: ReceiverType, kind: OutputType, fact: ReceiverOutput | None) -> Output:
    key = (fact.key if fact else None) or kind.key
    mode = fact.mode if fact else None
    if mode is None and len(receiver.modes) == 1:
        mode = receiver.modes[0]  # fixed by construction: there is nothing to set
    return Output(
        name=receiver_name(kind.id),
        key=f"key:{key}" if key else "",
        mode=mode,
        channel=kind.channel,
        on_loss=_on_loss(job, receiver, kind.id, mode),
        on_return=job.receiver.on_supply_return or receiver.on_return,
        neutral_check=job.receiver.neutral_check,
        invert=key == "stop",
        needs_start=kind.needs_start,
        pulse=kind.pulse,
    )


def _on_loss(job: Job, receiver: ReceiverType, output: str, mode: str | None) -> str | None:
    """What the output does when the link is lost: the worst of what was seen on the bench and
    what the job states; the type's figure for the set mode only where both are silent."""
    seen = [
        row.result
        for row in job.bench
        if row.test == "battery-out" and row.output in (None, output) and row.result in LOSS
    ]
    stated = job.receiver.on_signal_loss
    if isinstance(stated, Amount):
        seen.append("opens")
    elif stated is not None:
        seen.append(stated)
    if not seen:
        return receiver.on_loss.get(mode) if mode else None
    return min(seen, key=lambda word: LOSS.index(word) if word in LOSS else 0)


def keys_of(job: Job, hoist: HoistType, outputs: tuple[Output, ...]) -> tuple[str, ...]:
    """Every key of every transmitter and every key an output follows, the hoist's buttons first."""
    named = [
        f"key:{key.removeprefix('key:')}" for transmitter in job.transmitters for key in transmitter.keys
    ]
    used = {*named, *(output.key for output in outputs if output.key)}
    buttons = [f"key:{button.id}" for button in hoist.buttons]
    return tuple([key for key in buttons if key in used] + sorted(used.difference(buttons)))
