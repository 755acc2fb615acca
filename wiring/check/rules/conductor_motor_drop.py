"""conductor.motor-drop: motors get their voltage through the added wires."""

from __future__ import annotations

import math
from collections.abc import Iterable

from wiring.calc.drop import drop_fraction, starting_voltage
from wiring.check.case import Case
from wiring.check.draft import Comparison, Draft, compared
from wiring.check.loads import locked_a, source_volts, steady_a
from wiring.check.nets import behind
from wiring.check.rule import iec, rule, us
from wiring.check.runs import Run, ohm_per_m, runs, wanted_length, wanted_size
from wiring.check.states import command, commands, settled_at
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
    found = [(m.name, (m, ways)) for m in case.after.motors if (ways := ways_of(case, m))]
    return case.each(found, lambda s, item: judge(case, s, *item))


def ways_of(case: Case, motor: Motor) -> list[list[Run]]:
    """The conductors on the way to a motor and back, for each command that runs it: the core of the other
    direction carries nothing meanwhile."""
    able = [r for r in runs(case) if not r.earth and any(x.motor is motor for x in r.loads)]
    found = []
    for bare, motions in commands(case.after).items():
        if able and set(motions) & {motor.positive, motor.negative}:
            closed = settled_at(case, "after", command(case, "after", bare)).closed
            way = [r for r in able if any(p.name in motor.parts for p in behind(case.after, closed, r.name))]
            found += [way] if way else []
    return found or ([able] if able else [])


def loop_ohms(case: Case, motor: Motor, way: list[Run]) -> float:
    """Resistance that a motor's current meets there and back. [ohm]"""
    ohms = sorted((ohm_per_m(case, r) * wanted_length(r) for r in way), reverse=True)
    if motor.kind != "three-phase":
        return math.fsum(ohms)
    # each phase of a three-phase motor has its own conductors; one of them counts, times root three
    return math.sqrt(3.0) * ohms[0] * max(1, len(ohms) // 3)


def judge(case: Case, subject: str, motor: Motor, ways: list[list[Run]]) -> Draft:
    """One motor over its longest phase and back, in its worse direction."""
    loops = [(loop_ohms(case, motor, way), way) for way in ways]
    loop, way = max(loops, key=lambda pair: pair[0])
    load = next(x for x in way[0].loads if x.motor is motor)
    amps = steady_a(case, case.after, load)
    volts = case.of_or_none(motor, "voltage") or source_volts(case, case.after)
    share = drop_fraction(amps * loop, volts)
    limit = (case.cell("hoist-practice", "motor-drop-us", "ratio") if case.region == "us"
             else case.cell("iec-60204-1-limits", "drop", "ratio"))  # fmt: skip
    own = case.of_or_none(motor, "locked_power_factor")
    start_pf = own if own is not None else case.cell("relay-screening", "start-power-factor", "ratio")
    starting = starting_voltage(volts, loop, locked_a(case, case.after, motor), start_pf)
    lengths = " + ".join(f"{wanted_size(r)} {show(wanted_length(r), 'm', case.region)}" for r in way)
    path = (f"{lengths}: {loop:.3f} ohm x {show(amps, 'A')} = {show(amps * loop, 'V', toward='up')}; "
            "starting "
            f"{show(starting, 'V', toward='down')}")  # fmt: skip
    return compared(subject, Comparison(share, limit, "at-most", "1"),
                    f"{share * 100:.1f} % running, {show(starting, 'V', toward='down')} while it starts",
                    f"at most {limit * 100:.0f} %", "use the next larger size", key=way[0].key,
                    path=path)  # fmt: skip
