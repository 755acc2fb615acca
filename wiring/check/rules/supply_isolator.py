"""supply.isolator: a lockable isolator before every tap."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Comparison, Draft, compared, failed, passed, unknown
from wiring.check.loads import Load, starting_a
from wiring.check.nets import Net
from wiring.check.rating import device_rating
from wiring.check.rule import iec, rule, us
from wiring.check.states import settled_at, to_earth
from wiring.check.switching import motor_limits
from wiring.files.quantity import show
from wiring.model.circuit import Motor, Stop


@rule(
    "supply.isolator",
    "Lockable isolator before everything",
    danger=1,
    hazard="Without a point to lock nobody can work on the hoist, and a welded contactor cannot be ended.",
    sources=(
        us("NEC 610.32, 430.102; 29 CFR 1910.179(g)(5)(i), 1910.306(b)(1)"),
        iec("IEC 60204-1 5.3"),
    ),
    checks="An isolator in sight that can be locked, or a plug under the worker's control: it opens every "
    "live pole, "
    "takes the receiver dead too, and can break the motor's locked-rotor current (else it is no stop).",
    needs="[[stop]] kind isolator or plug with device, lockable, reach; its rating.",
    does_not_cover="Induced voltage and charged capacitors.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    able = [s for s in case.after.stops if s.kind in ("isolator", "plug")]
    if not able:
        key = "stop"
        facts = [s for s in case.job.stops if s.kind in ("isolator", "plug")]
        if facts:
            return [unknown("isolator", f"{facts[0].id} names no part of the circuit, so it does not count",
                            "an isolator that is a part of the circuit", "state its device",
                            key=key)]  # fmt: skip
        return [failed("isolator", "no isolator or plug in the circuit", "a lockable isolator in sight",
                       "add an isolator before everything", key=key)]  # fmt: skip
    own = [s for s in able if s.lockable or s.kind == "plug"] or able
    named = [s for s in own if any(f"stop:{f.id}" == s.input for f in case.job.stops)] or own
    return case.each([(s.input, s) for s in named[:1]], lambda subject, s: judge(case, subject, s))


def judge(case: Case, subject: str, stop: Stop) -> Draft:
    """The isolator that counts."""
    fact = next((f for f in case.job.stops if f"stop:{f.id}" == stop.input), None)
    key = "stop" if fact is None else f"stop.{case.job.stops.index(fact)}"
    wanted = "lockable, in sight, every live pole, the receiver dead too, able to break locked rotor"
    if stop.kind == "isolator" and stop.lockable is None:
        return unknown(
            subject,
            "whether it can be locked is not stated",
            wanted,
            "state stop.lockable",
            key=f"{key}.lockable",
        )
    if stop.lockable is False:
        return failed(
            subject, "it cannot be locked", wanted, "fit a lockable isolator", key=f"{key}.lockable"
        )
    live = still_live(case, stop)
    if live:
        return failed(subject, f"open, and still live: {', '.join(live[:3])}", wanted,
                      "take that supply behind the isolator", "open every live pole",
                      key="connection")  # fmt: skip
    if fact is None or fact.reach is None:
        return unknown(subject, "where it is, seen from the hoist, is not stated", wanted,
                       "state stop.reach, distance and path_clear", key=f"{key}.reach")  # fmt: skip
    if stop.kind == "plug":
        return passed(subject, "the plug, under the worker's control", wanted, key=key)
    return breaking(case, subject, stop, wanted, key)


def still_live(case: Case, stop: Stop) -> list[str]:
    """Loads and receiver supply that keep a voltage with the isolator open."""
    settled = settled_at(case, "after", (stop.input,))
    potential = to_earth(case, "after", (stop.input,))
    net = Net(case.after, settled.closed)
    return sorted(
        p.name
        for p in case.after.parts
        if p.kind in ("coil", "winding", "motor3", "supply-input", "brake", "load", "drive-input")
        and any(net.node(pin) in net.live and abs(potential.get(pin, 0j)) > 1.0 for pin in p.pins)
    )


def breaking(case: Case, subject: str, stop: Stop, wanted: str, key: str) -> Draft:
    """Whether the isolator can break the motors' starting current."""
    motors: list[Motor] = list(case.after.motors)
    if not motors or all(m.kind == "drive" for m in motors):
        return passed(subject, "lockable, everything behind it dead", wanted, key=key)
    first = max(
        motors, key=lambda m: m.values["full_load_current"].si if "full_load_current" in m.values else 0.0
    )
    part = next((p for p in case.after.parts if p.name in first.parts), None)
    if part is None:
        return passed(subject, "lockable, everything behind it dead", wanted, key=key)
    amps = starting_a(case, case.after, Load("motor", first.name, part, first))
    contact = case.after.part(stop.parts[0])
    device = contact.owner.partition(".")[0]
    volts = case.of_or_none(first, "voltage") or 0.0
    if device in {d.id for d in case.job.devices}:
        limits = motor_limits(case, device_rating(case, device), volts)
        limit = limits.breaking if limits else None
        how = f"read it on the switch: rating = {{ ac3 = ... }} of {device}, its motor breaking current"
    else:
        how = f'read it on the switch: [[value]] of = "{contact.name}.rating", its motor breaking current'
        limit = case.of_or_none(contact, "rating")
    if limit is None:
        return unknown(subject, "lockable, everything dead; what it can break is not known "
                                f"({show(amps, 'A', toward='up')} "
                       f"locked rotor)", wanted, how, key=key)  # fmt: skip
    pair = Comparison(amps, limit, "at-most", "A")
    able = f"lockable, everything behind it dead, breaks {show(limit, 'A')} of {show(amps, 'A', toward='up')}"
    poor = f"breaks {show(limit, 'A')}, locked rotor is {show(amps, 'A', toward='up')}: it is no stop"
    return compared(subject, pair, able if pair.ok else poor, wanted, "fit a motor-rated isolator", key=key)
