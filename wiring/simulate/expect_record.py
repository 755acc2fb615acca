"""What a record says against what was expected: accept, reject, repeat, missing, with the likely cause."""

from __future__ import annotations

import math
from collections.abc import Callable

from wiring.files.quantity import QuantityError, parse, show
from wiring.model.commissioning import Outcome, Step
from wiring.model.job import Parts, Record

UNITS = {"voltage": "V", "current": "A", "resistance": "ohm", "time": "s", "length": "m"}
BAD = (
    "no",
    "fail",
    "failed",
    "not ok",
    "moves",
    "moved",
    "stays",
    "closes",
    "runs on",
    "wrong way",
    "starts",
)
Changed = Callable[[Parts | None], tuple[str, ...]]


def outcomes(
    steps: tuple[Step, ...], records: tuple[Record, ...], digest: str, changed: Changed
) -> tuple[Outcome, ...]:
    """Every step with its last record. changed: names of the parts of the plan that differ from a
    record's own. Records for tests that the plan does not have are left out."""
    last = {record.test: record for record in records}
    mains = supply_of(steps, last, digest)
    return tuple(outcome(step, last.get(step.id), digest, changed, mains) for step in steps)


def supply_of(steps: tuple[Step, ...], last: dict[str, Record], digest: str) -> float:
    """Measured supply over the planned one; 1 where it was not measured on this plan."""
    step = next((s for s in steps if s.id == "mains"), None)
    record = last.get("mains")
    if step is None or record is None or record.digest != digest or not step.nominal:
        return 1.0
    found = number(step, record.measured)
    return found / step.nominal if found else 1.0


def number(step: Step, measured: str) -> float | None:
    """The measured figure [SI], None where it is a word or no such quantity."""
    try:
        return parse(measured.strip(), step.kind).si
    except (QuantityError, KeyError):
        return None


def outcome(step: Step, record: Record | None, digest: str, changed: Changed, mains: float) -> Outcome:
    """One step judged."""
    if record is None:
        return Outcome(step, None, "missing", "not recorded yet", next=step.do)
    if record.digest != digest:
        names = changed(record.parts)
        what = ", ".join(names) if record.digest and names else "which plan it was taken on is not recorded"
        return Outcome(step, record, "repeat", f"the plan changed since: {what}", next=step.do, changed=names)
    if not step.kind:
        return spoken(step, record)
    found = number(step, record.measured)
    if step.kind == "resistance" and record.measured.strip().upper() == "OL":
        found = math.inf
    if found is None and " ".join(record.measured.lower().split()) in (*BAD, *step.wrong):
        return Outcome(
            step, record, "reject", f"{record.measured}; wanted: {step.wanted}", causes(step, math.inf, None),
            "isolate, find the cause, then repeat this test and those after it",
        )  # fmt: skip
    if found is None:
        example = {"time": '"0.28 s"', "voltage": '"23.1 V"', "current": '"6.1 A"', "length": '"12 cm"'}
        wanted = example.get(step.kind, '"0.4 ohm"')
        return Outcome(
            step, record, "repeat", f'"{record.measured}" is no {step.kind}; write {wanted}', next=step.do
        )
    return measured(step, record, found, mains if step.supply else 1.0)


def spoken(step: Step, record: Record) -> Outcome:
    """A step whose answer is a word."""
    said = " ".join(record.measured.lower().split())
    if said in step.words:
        return Outcome(step, record, "accept", f"{record.measured}: as expected")
    if said in (*BAD, *step.wrong):
        return Outcome(
            step, record, "reject", f"{record.measured}; wanted: {step.wanted}", spoken_causes(step),
            "isolate, find the cause, then repeat this test and those after it",
        )  # fmt: skip
    return Outcome(
        step, record, "repeat", f'"{record.measured}" is none of: {", ".join(step.words)}; or: not ok',
        next=step.do,
    )  # fmt: skip


def spoken_causes(step: Step) -> tuple[str, ...]:
    """What usually stands behind a test that went wrong."""
    return {
        "mode": ("output set to latch or toggle", "wires on the changeover side of the contact"),
        "direction": ("two wires crossed at the landing points", "phases of the supply swapped"),
        "limit": ("the command lands behind the limit", "limit set too far or its contact bridged"),
        "restart": ("receiver restores its outputs", "keys at rest are not asked for"),
        "both-keys": ("interlock contact missing or crossed",),
        "second-transmitter": ("an old transmitter is still paired",),
        "switch-on": ("the receiver does not ask for keys at rest",),
        "dead": ("wire on the wrong terminal", "an output contact welded or normally closed"),
        "load": ("brake worn or set wrong", "supply drop under load"),
    }.get(step.answers, ("see the truth table for this state",))


def measured(step: Step, record: Record, found: float, scale: float) -> Outcome:
    """A step whose answer is a figure. scale: supply of the day over the planned one."""
    low = step.low * scale if step.low is not None else None
    high = step.high * scale if step.high is not None else None
    unit = UNITS.get(step.kind, "")
    text = "OL" if math.isinf(found) else show(found, unit)
    if low is None and high is None:
        return Outcome(
            step,
            record,
            "repeat",
            f"{text}; no limit can be given: {step.wanted}",
            next="state what is missing",
        )
    inside = (low is None or found >= low) and (high is None or found <= high)
    nominal = step.nominal * scale if step.nominal is not None else None
    against = f" where {show(nominal, unit)} was expected" if nominal is not None else ""
    day = f" (supply of the day {scale * 100:.1f} %)" if abs(scale - 1) > 0.001 else ""
    if not inside:
        limit = (
            f"at least {show(low, unit)}"
            if low is not None and found < low
            else f"at most {show(high or 0, unit)}"
        )
        return Outcome(
            step, record, "reject", f"{text}{against}{day}; wanted {limit}", causes(step, found, nominal),
            "isolate, find the cause, then repeat this test and those after it",
        )  # fmt: skip
    if step.likely_high is not None and found > step.likely_high:
        guide = show(step.likely_high, unit)
        return Outcome(
            step, record, "accept", f"{text}, within the limit but more than the {guide} expected: look why",
            causes(step, found, step.likely_high),
        )  # fmt: skip
    return Outcome(step, record, "accept", f"{text}{against}{day}")


def causes(step: Step, found: float, nominal: float | None) -> tuple[str, ...]:
    """Likely causes of a figure that is off."""
    if step.kind == "voltage":
        return volt_causes(step, found, nominal)
    if step.kind == "resistance":
        if step.answers == "insulation":
            return ("moisture or a crushed core", "receiver or suppressor still connected")
        if nominal is not None and found > nominal:
            return ("joint or wrong core: more in the path than planned", "leads not subtracted")
        return (
            "a second path: wires joined that the plan keeps apart",
            "a contact closed that should be open",
        )
    if step.kind == "current":
        return ("motor braked or overloaded", "phase lost or capacitor open", "plate value or supply wrong")
    if step.answers in ("loss", "range"):
        return ("loss time set longer than planned", "output latches", "brake switched on its AC side")
    if step.kind in ("time", "length"):
        return ("brake slow: switched on its AC side, worn, or wrong gap", "suppressor on a DC coil slows it",
                "output set to latch")  # fmt: skip
    return ()


def volt_causes(step: Step, found: float, nominal: float | None) -> tuple[str, ...]:
    """Missing volts as ohms in series with the load, where its impedance is known."""
    if nominal is None:
        return ("supply low",)
    if found > nominal:
        return ("supply higher than on the day it was planned for", "transformer tap one step too high")
    if found < 0.05 * nominal:
        return (
            "open circuit: broken core, blown fuse or a contact that does not close",
            "meter on a wrong terminal",
        )
    if step.impedance is None:
        return ("joint or wrong core", "supply low")
    ohms = series_ohms(step.impedance, found / nominal)
    return (
        f"{show(ohms, 'ohm', digits=1)} more than planned: joint or wrong core",
        "supply low: measure it at once",
    )


def series_ohms(impedance: complex, share: float) -> float:
    """Resistance in series with a load that leaves it this share of its voltage. [ohm]

    |Z| / |Z + R| = share, solved for R >= 0.
    """
    whole = abs(impedance) / share
    return max(0.0, math.sqrt(max(0.0, whole**2 - impedance.imag**2)) - impedance.real)
