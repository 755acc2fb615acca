"""conductor.motor-drop: motors get their voltage through the added wires."""

from __future__ import annotations

import math
from collections.abc import Iterable

from wiring.calc.drop import drop_fraction, starting_voltage
from wiring.check.case import Case
from wiring.check.draft import Comparison, Draft, compared
from wiring.check.loads import locked_a, source_volts, steady_a
from wiring.check.rule import iec, rule, us
from wiring.check.runs import Run, ohm_per_m, runs, wanted_length, wanted_size
from wiring.files.quantity import show
from wiring.model.circuit import Motor


@rule(
    "conductor.motor-drop",
    "Voltage drop to motors",
    danger=1,
    hazard="A motor on low voltage does not start its load and overheats, or lets a flux brake close.",
    sources=(
        us("NEC 210.19 and 215.2 informational notes: a recommendation"),
        iec("IEC 60204-1 12.5"),
    ),
    checks="Running drop over the added conductors on the way to each motor and back, against five percent; "
    "the voltage "
    "while it starts is shown.",
    needs="cable sizes and lengths; the motor's full-load and locked-rotor current.",
    does_not_cover="The feeder before the hoist; reactance, which is small at these sizes.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    found = []
    for motor in case.after.motors:
        way = [r for r in runs(case) if not r.earth and any(x.motor is motor for x in r.loads)]
        if way:
            found.append((motor.name, (motor, way)))
    return case.each(found, lambda s, item: judge(case, s, *item))


def judge(case: Case, subject: str, motor: Motor, way: list[Run]) -> Draft:
    """One motor over its longest phase and back."""
    load = next(x for x in way[0].loads if x.motor is motor)
    amps = steady_a(case, case.after, load)
    three = motor.kind == "three-phase"
    ohms = sorted((ohm_per_m(case, r) * wanted_length(r) for r in way), reverse=True)
    # each phase of a three-phase motor has its own conductors; one of them counts, times root three
    loop = math.sqrt(3.0) * ohms[0] * max(1, len(ohms) // 3) if three else math.fsum(ohms)
    volts = case.of_or_none(motor, "voltage") or source_volts(case, case.after)
    share = drop_fraction(amps * loop, volts)
    limit = (case.cell("hoist-practice", "motor-drop-us", "ratio") if case.region == "us"
             else case.cell("iec-60204-1-limits", "drop", "ratio"))  # fmt: skip
    starting = starting_voltage(volts, loop, locked_a(case, case.after, motor), 0.6)
    lengths = " + ".join(f"{wanted_size(r)} {show(wanted_length(r), 'm', case.region)}" for r in way)
    path = (f"{lengths}: {loop:.3f} ohm x {show(amps, 'A')} = {show(amps * loop, 'V', toward='up')}; "
            "starting "
            f"{show(starting, 'V', toward='down')}")  # fmt: skip
    return compared(subject, Comparison(share, limit, "at-most", "1"),
                    f"{share * 100:.1f} % running, {show(starting, 'V', toward='down')} while it starts",
                    f"at most {limit * 100:.0f} %", "use the next larger size", key=way[0].key,
                    path=path)  # fmt: skip
