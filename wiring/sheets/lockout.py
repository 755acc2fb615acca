"""Isolation and lockout: points, stored energy, the steps to tick, what was done, signs for the receiver."""

from __future__ import annotations

from wiring.files.quantity import show
from wiring.model.plan import Plan
from wiring.sheets.lockout_text import steps_of, told_source
from wiring.sheets.sheet import Material, Sheet, Table, Text, head_of, said
from wiring.sheets.signs import isolating, signs


def lockout(material: Material) -> Sheet:
    """The sheet that is read before a cover comes off."""
    plan = material.plan
    table = steps_of(plan.catalog, plan.job.region)
    steps = tuple(
        (str(n), str(row["do"]), f"{row.get('clause', '')}{recalled(row.get('basis'))}", "☐")
        for n, row in enumerate(table.rows.values(), 1)
    )
    points = tuple(
        (s.input.removeprefix("stop:"), s.kind, said(s.where or None), said(s.lockable))
        for s in isolating(plan)
    )
    return Sheet(
        id="lockout",
        title="Isolation and lockout",
        head=head_of(plan),
        blocks=(
            Text("Before anything is opened, and again after every pause.", "strong"),
            Table(
                ("Point", "Kind", "Where", "Lockable"),
                points,
                "Where to isolate",
                "NO POINT IS IN THE CIRCUIT",
            ),
            Table(("Energy", "What to do"), energies(plan), "Stored energy"),
            Table(("No.", "Step", "Clause", "Done"), steps, "Steps", "none"),
            Text(told_source(table), "quiet"),
            Table(("Asked", "Recorded") * 2, abreast(gate_rows(plan)), "What the file records"),
            Table(
                ("Sign to fix", "What it says"),
                tuple((sign[0], " ".join(sign[1:])) for sign in signs(plan, material.live_after)),
            ),
            Text("The signs stand ready to cut on the sheet Wire labels and signs.", "quiet"),
        ),
    )


def recalled(basis: object) -> str:
    """The mark of a step that was recalled."""
    return " (recalled)" if basis == "memory" else ""


def energies(plan: Plan) -> tuple[tuple[str, str], ...]:
    """Everything that can still move or shock when the supply is off."""
    circuit = plan.after or plan.before
    rows = [("hanging load", "land it, unhook it; block the hook, secure chain or rope")]
    for brake in circuit.brakes if circuit else ():
        rows.append((f"brake {brake.name}, spring", "do not open the brake by hand with a load on the hook"))
    for part in circuit.parts if circuit else ():
        if part.kind == "capacitor":
            value = part.values.get("capacitance")
            size = f", {show(value.si, 'F')} ({value.basis})" if value else ""
            rows.append(
                (f"capacitor {part.name}{size}", "wait, bleed it, measure below 50 V before touching")
            )
        if part.kind == "source" and "frequency" in part.values and part.values["frequency"].si == 0:
            rows.append((f"battery {part.name}", "take its terminal off; it cannot be switched dead"))
    if circuit and any(m.kind == "drive" for m in circuit.motors):
        rows.append(("drive, its capacitors", "wait as long as its label says, then measure"))
    rows.append(("transmitter", "battery out and in your pocket"))
    return tuple(rows)


def abreast(rows: tuple[tuple[str, str], ...]) -> tuple[tuple[str, ...], ...]:
    """Rows in two columns, the first half beside the second: the sheet is to stay one page."""
    half = (len(rows) + 1) // 2
    return tuple((*one, *other) for one, other in zip(rows[:half], (*rows[half:], ("", "")), strict=False))


def gate_rows(plan: Plan) -> tuple[tuple[str, str], ...]:
    """Each step of the gate with what the file records of it."""
    gate = plan.job.gate
    if gate is None:
        return (("isolation gate", "NOT RECORDED"),)
    return (
        ("isolated at", said(gate.isolated_at, "NOT RECORDED")),
        ("locked", said(gate.locked, "NOT RECORDED")),
        ("load landed", said(gate.load_landed, "NOT RECORDED")),
        ("tester proved on a known source", said(gate.tester_proved, "NOT RECORDED")),
        ("every pole to every pole and to earth dead", said(gate.poles_dead, "NOT RECORDED")),
        ("tester proved again", said(gate.tester_proved_again, "NOT RECORDED")),
        ("capacitor", said(gate.capacitor_volts, "NOT RECORDED")),
        ("transmitter battery out", said(gate.transmitter_battery_out, "NOT RECORDED")),
        ("when", gate.at.isoformat(" ", "minutes") if gate.at else "NOT RECORDED"),
    )
