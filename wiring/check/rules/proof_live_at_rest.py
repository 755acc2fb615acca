"""proof.live-at-rest: no old point that was dead at rest is live now."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed
from wiring.check.loads import alternating
from wiring.check.rule import iec, rule, us
from wiring.check.states import to_earth
from wiring.files.quantity import show


@rule(
    "proof.live-at-rest",
    "Dead points stay dead at rest",
    danger=2,
    hazard="A point that was dead with the buttons released is touched as dead; now it is live through a "
    "winding.",
    sources=(
        us("29 CFR 1910.303(g)(2)(i), 1910.333(a)(1)"),
        iec("IEC 60204-1 6.2; IEC 61140 limits of touch voltage"),
    ),
    checks="Terminals of hoist and cord at rest, before and after: what was below the touch limit stays "
    "below it. New "
    "live points (the receiver, added line sides) are listed for the label.",
    needs="Both circuits; place.environment (wet places have a lower limit).",
    does_not_cover="Points that float, which a meter with high resistance shows as ghost voltage.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    environment = (case.job.place.environment if case.job.place else None) or ""
    row = (
        "touch-wet"
        if any(w in environment.lower() for w in ("wet", "rain", "wash", "outdoor"))
        else "touch-dry"
    )
    limit = case.cell("hoist-practice", row, "voltage_ac" if alternating(case.after) else "voltage_dc")
    was, now = to_earth(case, "before", ()), to_earth(case, "after", ())
    old = {p.name for p in case.before.points if p.terminal and p.zone in ("hoist", "cord")}
    wanted = f"below {show(limit, 'V')} at rest, as before"
    worse = {n: abs(v) for n, v in now.items()
             if n in old and abs(v) > limit and abs(was.get(n, 0j)) <= limit}  # fmt: skip
    for name, volts in sorted(worse.items()):
        yield failed(name, f"{show(volts, 'V', toward='up')} to earth with nothing pressed; it was dead "
                           "before", wanted,
                     "take it off the live side, or insulate it and say so on the label",
                     key="connection")  # fmt: skip
    if not worse:
        new = sorted(n for n, v in now.items() if n not in old and abs(v) > limit and _touched(case, n))
        label = f"; for the label, live at rest: {', '.join(new)}" if new else ""
        yield passed("old points", f"no old point is newly live{label}", wanted)


def _touched(case: Case, name: str) -> bool:
    return any(p.name == name and p.terminal and p.zone in ("receiver", "device") for p in case.after.points)
