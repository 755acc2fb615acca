"""proof.isolation: with the isolator open everything downstream is dead."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.loads import alternating
from wiring.check.rule import iec, rule, us
from wiring.check.states import to_earth
from wiring.files.quantity import show
from wiring.model.circuit import Stop


@rule(
    "proof.isolation",
    "The isolator takes everything dead",
    danger=2,
    hazard="A receiver fed from elsewhere keeps its terminals live behind a locked isolator.",
    sources=(
        us("NEC 430.75(A); 29 CFR 1910.147(d)(3), 1910.333(b)(2)"),
        iec("IEC 60204-1 5.3, 5.4"),
    ),
    checks="The settled state with each isolator or plug open: no terminal of hoist, receiver or added "
    "device above the "
    "touch limit, except the line side of the isolator itself.",
    needs="An isolator or plug as part of the circuit, as converted.",
    does_not_cover="Induced voltage, capacitors that still hold charge.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    able = [s for s in case.after.stops if s.kind in ("isolator", "plug")]
    if not able:
        return [unknown("isolation", "no isolator or plug is in the circuit", "one that takes everything "
            "dead",
                        "name it: [[stop]] kind = \"isolator\" with the device it is",
                        key="stop")]  # fmt: skip
    return case.each([(s.input, s) for s in able], lambda subject, s: judge(case, subject, s))


def judge(case: Case, subject: str, stop: Stop) -> Draft:
    """One isolator open."""
    limit = case.cell(
        "hoist-practice", "touch-dry", "voltage_ac" if alternating(case.after) else "voltage_dc"
    )
    still = sorted(
        (abs(v), n)
        for n, v in to_earth(case, "after", (stop.input,)).items()
        if abs(v) > limit and counts(case, stop, n, limit)
    )
    wanted = f"everything behind it below {show(limit, 'V')}"
    if still:
        volts, name = still[-1]
        return failed(subject, f"{stop.kind} open: {name} still has {show(volts, 'V', toward='up')}", wanted,
                      "take that supply from behind the isolator", "fit a second isolator and a label",
                      key="connection")  # fmt: skip
    return passed(subject, f"{stop.kind} open: everything behind it is dead", wanted)


def counts(case: Case, stop: Stop, name: str, limit: float) -> bool:
    """True for a terminal that this isolator has to take dead.

    A terminal of the hoist that was live behind this very isolator as found is on its
    line side; every terminal of receiver and devices counts, but for the isolator's own.
    """
    point = next((p for p in case.after.points if p.name == name), None)
    if point is None or not point.terminal or point.zone == "supply":
        return False
    if any(name in case.after.part(part).pins for part in stop.parts):
        return False
    if point.zone in ("receiver", "device", "cable"):
        return True
    if stop.input not in {i.name for i in case.before.inputs}:
        return False
    return abs(to_earth(case, "before", (stop.input,)).get(name, 0j)) <= limit
