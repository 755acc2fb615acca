"""people.lockout: the isolation gate is on record, complete, and before every reading."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Comparison, Draft, compared, failed, passed, unknown
from wiring.check.rule import iec, rule, us
from wiring.model.job import Gate

_STEPS = {
    "locked": "the isolator locked, the lock yours",
    "load_landed": "the load landed",
    "tester_proved": "the tester proved on a known source",
    "poles_dead": "every pole to every pole and to earth dead",
    "tester_proved_again": "the tester proved again",
    "transmitter_battery_out": "the transmitter's battery out",
}


@rule(
    "people.lockout",
    "Isolated, locked and proved dead before the first reading",
    danger=2,
    hazard="A hoist that is not isolated kills at the terminal or moves while hands are in it.",
    sources=(
        us("29 CFR 1910.147(d), 1910.333(b)(2)"),
        iec("EN 50110-1 on work without voltage (recalled); IEC 60204-1 5.3, 6.2.4"),
    ),
    checks="The isolation gate is recorded with every step true, the capacitor is below its limit, no "
    "reading is "
    "earlier, and a point to lock out is in the job.",
    needs="[gate] with all its keys; a [[stop]] that is lockable, or a plug in the worker's hand.",
    does_not_cover="Whether it was done as written; stored energy of a brake spring and of a hanging load.",
    wants="job",
)
def check(case: Case) -> Iterable[Draft]:
    gate = case.job.gate or Gate()
    yield from case.each([("gate", gate)], lambda s, g: steps(s, g))
    yield from case.each([("capacitor", gate)], lambda s, g: capacitor(case, s, g))
    yield from case.each([("readings", gate)], lambda s, g: order(case, s, g))
    yield from case.each([("lockout point", gate)], lambda s, g: point(case, s, g))


def steps(subject: str, gate: Gate) -> Draft:
    """Every step of the gate is recorded and true."""
    wanted = "isolated at a named point, " + ", ".join(_STEPS.values())
    undone = [text for key, text in _STEPS.items() if getattr(gate, key) is False]
    silent = [key for key in _STEPS if getattr(gate, key) is None] + (
        [] if gate.isolated_at else ["isolated_at"]
    )
    if undone:
        return failed(
            subject, f"not done: {', '.join(undone)}", wanted, "stop; isolate, lock, prove dead", key="gate"
        )
    if silent:
        return unknown(subject, f"not recorded: {', '.join(silent)}", wanted,
                       "do the steps of the lockout sheet and record them", key="gate")  # fmt: skip
    return passed(subject, f"isolated at {gate.isolated_at}, locked, proved dead", wanted, key="gate")


def capacitor(case: Case, subject: str, gate: Gate) -> Draft:
    """The capacitor was measured and is below the limit."""
    volts = case.amount(
        gate.capacitor_volts, "gate.capacitor_volts", "measure it across its terminals, V DC", "V"
    )
    limit = case.cell("hoist-practice", "capacitor", "voltage")
    return compared(subject, Comparison(volts, limit, "at-most", "V"), f"{volts:g} V left on the capacitor",
                    f"at most {limit:g} V", "discharge it through a resistor, measure again",
                    key="gate.capacitor_volts")  # fmt: skip


def order(case: Case, subject: str, gate: Gate) -> Draft | None:
    """No reading is earlier than the gate."""
    times = [r.at for r in case.job.readings if r.at is not None]
    if not case.job.readings:
        return None
    wanted = "the gate before the first reading"
    if gate.at is None or not times:
        key = "gate.at" if gate.at is None else "reading.0.at"
        return unknown(
            subject, "when is not recorded", wanted, "record the time of gate and readings", key=key
        )
    if min(times) < gate.at:
        return failed(subject, f"a reading of {min(times):%H:%M} is earlier than the gate of "
                               f"{gate.at:%H:%M}", wanted,
                      "isolate, then take the readings again", key="gate.at")  # fmt: skip
    return passed(subject, f"{len(times)} readings after the gate", wanted, key="gate.at")


def point(case: Case, subject: str, gate: Gate) -> Draft:
    """A point to lock out is in the job."""
    wanted = "an isolator that can be locked, or a plug under the worker's control"
    lockable = [s for s in case.job.stops if s.lockable and s.kind in ("isolator", "plug")]
    if lockable:
        where = lockable[0].where or lockable[0].id
        return passed(subject, f"{lockable[0].kind} {lockable[0].id}: {where}", wanted, key="stop")
    if gate.isolated_at and "plug" in gate.isolated_at.lower():
        return passed(subject, f"isolated at: {gate.isolated_at}", wanted, key="gate.isolated_at")
    known = [s for s in case.job.stops if s.kind in ("isolator", "plug")]
    if any(s.lockable is False for s in known):
        return failed(subject, f"{known[0].kind} {known[0].id} cannot be locked", wanted,
                      "fit a lockable isolator", "pull the plug and keep it in hand", key="stop")  # fmt: skip
    return unknown(subject, "no point to lock out is in the job", wanted,
                   "name it: [[stop]] kind = \"isolator\", lockable = true", key="stop")  # fmt: skip
