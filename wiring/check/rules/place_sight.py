"""place.sight: the operator sees the hook from wherever the transmitter works."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.answers import answered, refused
from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.rule import iec, rule, us


@rule(
    "place.sight",
    "The operator sees the load",
    danger=1,
    hazard="A cord ended where the load could be seen; a transmitter does not.",
    sources=(
        us("29 CFR 1926.554(a)(4), 1910.179(n)(3)"),
        iec("ZH 1/547; DGUV Information 209-012: operation only within sight"),
    ),
    checks="Whether the hook is in sight wherever the transmitter reaches; where not always, the conditions.",
    needs='place.sees_load = always | mostly | no; else [[answer]] requirement = "place.sight" with the '
    "conditions.",
    does_not_cover="Fog, steam and people who step between.",
    wants="job",
)
def check(case: Case) -> Iterable[Draft]:
    place, key = case.job.place, "place.sees_load"
    sees = place.sees_load if place else None
    wanted = "the hook in sight, or conditions that make up for it"
    if sees is None:
        yield unknown("sight", "whether the operator sees the load is not stated", wanted,
                      "walk the range with the transmitter, battery out", key=key)  # fmt: skip
    elif sees == "always":
        yield passed("sight", "the load is in sight always", wanted, key=key)
    elif refused(answered(case, "place.sight")):
        yield failed("sight", f"the load is in sight {sees}, and nothing makes up for it", wanted,
                     "shorten the range", "name a second person at the load", key=key)  # fmt: skip
    elif text := answered(case, "place.sight"):
        yield passed("sight", f"in sight {sees}; {text}", wanted, key=key)
    else:
        yield unknown("sight", f"the load is in sight {sees}; conditions not stated", wanted,
                      "shorten the range or name a second person at the load",
                      'answer it: [[answer]] requirement = "place.sight"', key=key)  # fmt: skip
