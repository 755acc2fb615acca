"""proof.earth-fault: an earth fault on a core starts nothing."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed
from wiring.check.faulty import hazards, pendant_too, replaced, results, story
from wiring.check.rule import iec, rule, us
from wiring.model.behaviour import FaultResult


@rule(
    "proof.earth-fault",
    "An earth fault starts nothing",
    danger=1,
    hazard="A chafed core that touches the frame starts the hook or takes the stop away.",
    sources=(
        us("NEC 430.74"),
        iec("IEC 60204-1 9.4.3.1"),
    ),
    checks="Each core and conductor to earth, alone: no motion starts and no stop is defeated. In an "
    "unearthed control "
    "circuit the first fault is silent, so it is combined with a second.",
    needs="The fault analysis; the bond of the control circuit in the hoist type.",
    does_not_cover="Resistive earth faults that neither blow a fuse nor hold a coil.",
    wants="faults",
)
def check(case: Case) -> Iterable[Draft]:
    found: dict[str, list[FaultResult]] = {}
    for result in results(case):
        earths = [f for f in result.fault if f.startswith("earth ")]
        if earths:
            found.setdefault(earths[0].removeprefix("earth "), []).append(result)
    return case.each(found.items(), lambda s, rows: judge(case, s, rows))


def judge(case: Case, subject: str, found: list[FaultResult]) -> Draft:
    """One conductor to earth, alone and as a second fault."""
    wanted = "nothing starts, every stop still works"
    as_old = replaced(case, found[0])
    found = [r for r in found if not replaced(case, r)]
    bad = [r for r in found if r.judgement == "worse" or any(_moves(h.hazard) for h in r.hazards)]
    if bad:
        result = min(bad, key=lambda r: (r.judgement != "worse", len(r.fault)))
        return failed(subject, f"{' and '.join(result.fault)}: {hazards(result)}{pendant_too(result)}",
            wanted,
                      "earth one side of the control circuit and fuse the other",
                      "switch both poles, or let the fault trip a monitor", path=story(result),
                      key="connection")  # fmt: skip
    told = [f"a short that no fuse ends, as on {as_old}, which it replaces"] if as_old else []
    return passed(subject, f"to earth: {', '.join([*told, *(hazards(r) for r in found[:1])])}", wanted)


def _moves(hazard: str) -> bool:
    return any(w in hazard for w in ("without command", "uncommanded", "no-stop", "defeated", "starts"))
