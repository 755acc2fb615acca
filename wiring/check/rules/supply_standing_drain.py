"""supply.standing-drain: the receiver does not empty the battery."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.calc.battery import drained
from wiring.check.answers import answered
from wiring.check.case import Case
from wiring.check.draft import Comparison, Draft, Missing, compared
from wiring.check.loads import alternating
from wiring.check.rule import both, rule


@rule(
    "supply.standing-drain",
    "Standing drain on the battery",
    danger=3,
    hazard="A battery that the receiver emptied drops the receiver out in the middle of a pull.",
    sources=(both("receiver data sheets; common practice", "practice"),),
    checks="What the receiver takes in a month, against a share of the battery.",
    needs='The receiver\'s standing current; [[answer]] requirement = "supply.standing-drain" with the '
    "battery in Ah "
    "(100 Ah).",
    does_not_cover="Self-discharge, cold.",
)
def check(case: Case) -> Iterable[Draft]:
    if alternating(case.after):
        return ()
    return case.each([("receiver", None)], lambda s, _: judge(case, s))


def judge(case: Case, subject: str) -> Draft:
    """The receiver on its battery."""
    amps = case.receiver_value("standing_current", "read the idle current on the data sheet")
    text = answered(case, "supply.standing-drain")
    capacity = next(
        (float(w) for w in text.replace("Ah", " ").split() if w.replace(".", "", 1).isdigit()), None
    )
    if capacity is None:
        raise Missing(
            "answer supply.standing-drain",
            'answer it: [[answer]] requirement = "supply.standing-drain", "100 Ah"',
        )
    hours = drained(amps, 30.0) / 3600.0
    share = case.cell("hoist-practice", "standing-drain", "ratio")
    return compared(subject, Comparison(hours, share * capacity, "at-most", "Ah"),
                    f"{hours:.1f} Ah a month of {capacity:g} Ah", f"at most {share * capacity:.1f} Ah "
                                                                  "(common practice)",
                    "fit a battery isolator and open it", "use a receiver with a lower standing current",
                    key="receiver.type", path=f"{amps * 1000:.1f} mA x 30 days")  # fmt: skip
