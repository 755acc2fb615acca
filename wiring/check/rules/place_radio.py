"""place.radio: other radio controls and the range are on record."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.answers import answered
from wiring.check.asked import bench
from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.rule import iec, rule, us


@rule(
    "place.radio",
    "Other radio controls and the range are recorded",
    danger=4,
    hazard="Two sets on one channel stop each other, or worse.",
    sources=(us("MIL-HDBK-1038 radio controls"), iec("DGUV Information 209-012")),
    checks="Other radio controls on the site are listed, and how far this set reaches was tried.",
    needs='[[answer]] requirement = "place.radio"; a bench test `range` or [[answer]] "place.radio.range".',
    does_not_cover="Sets that come to the site later, licences and bands.",
    wants="job",
)
def check(case: Case) -> Iterable[Draft]:
    others = answered(case, "place.radio")
    if others:
        yield passed("other sets", others, "other radio controls listed", key="answer")
    else:
        yield unknown("other sets", "other radio controls on the site are not listed", "a list, or the word "
            "none",
                      'ask around; [[answer]] requirement = "place.radio"', key="answer")  # fmt: skip
    tried = bench(case, "range")
    reach = answered(case, "place.radio.range")
    if any(t.result != "opens" for t in tried):
        yield failed("range", f"out of range the output {tried[-1].result}", "the output opens at the edge "
            "of the range",
                     "see mode.signal-loss: set it to open on loss", key="bench")  # fmt: skip
    elif tried or reach:
        yield passed("range", reach or f"tried: {tried[-1].result}", "the range tried", key="bench")
    else:
        yield unknown("range", "how far it reaches was not tried", "the range, no wider than needed",
                      "walk out of range with the receiver on the bench, note where the contact opens",
                      key="bench")  # fmt: skip
