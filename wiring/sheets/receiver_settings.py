"""Receiver settings: what each output is set to, how that was set and how it was shown."""

from __future__ import annotations

from wiring.model.job import ReceiverOutput
from wiring.model.plan import Plan
from wiring.sheets.connections import jumper_rows
from wiring.sheets.sheet import Material, Sheet, Table, Text, head_of, said


def receiver_settings(material: Material) -> Sheet:
    """Outputs, behaviour, transmitters and the bench test."""
    plan = material.plan
    facts = plan.job.receiver
    outputs = tuple(output_row(plan, o) for o in facts.outputs)
    return Sheet(
        id="receiver-settings",
        title="Receiver settings",
        head=head_of(plan),
        landscape=True,
        blocks=(
            Text("Set these before the receiver is mounted; after any change test all of them again."),
            Table(
                ("Output", "Print", "Key", "Mode", "Set by", "Known by", "Bench test"),
                outputs,
                "Outputs",
                "none stated",
            ),
            Table(("Jumper", "Position"), jumper_rows(plan), "Jumpers", "it has none"),
            Table(("What it does by itself", "As stated"), behaviour_rows(plan), "Behaviour"),
            Table(
                ("Transmitter", "Keys", "Enable key", "Switches off after"),
                tuple(
                    (t.id, ", ".join(t.keys) or "not stated", said(t.enable_key), said(t.auto_off))
                    for t in plan.job.transmitters
                ),
                "Transmitters paired; no other may be",
                "none listed",
            ),
        ),
    )


def output_row(plan: Plan, output: ReceiverOutput) -> tuple[str, ...]:
    """One output as set, with what the bench test showed."""
    shown = [
        f"{b.test}: {b.result}{f' ({chr(60) + chr(32) if b.at_most else str()}{b.time})' if b.time else ''}"
        for b in plan.job.bench
        if b.output in (None, output.id)
    ]
    return (
        output.id,
        said(output.print),
        said(output.key),
        said(output.mode, "NOT RECORDED"),
        said(output.mode_set_by),
        said(output.mode_source),
        "; ".join(shown) or "not tested",
    )


def behaviour_rows(plan: Plan) -> tuple[tuple[str, str], ...]:
    """What the receiver does by itself, as stated."""
    facts = plan.job.receiver
    stop = facts.stop_function
    radio = "not stated"
    if stop is not None:
        radio = "has none" if stop.exists is False else (
            f"outputs {said(stop.outputs)}, redundant {said(stop.redundant)}, level {said(stop.level)} "
            f"(claimed by {said(stop.claimed_by)})"
        )  # fmt: skip
    return (
        ("signal lost: outputs open after", said(facts.on_signal_loss)),
        ("supply comes back", said(facts.on_supply_return)),
        ("keys must be released first", said(facts.neutral_check)),
        ("opposite keys kept apart by", said(facts.opposing)),
        ("pause between opposites", said(facts.dead_time)),
        ("second step", said(facts.step_two)),
        ("stop function", radio),
    )
