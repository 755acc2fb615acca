"""place.scope: places and uses that this tool does not judge."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.rule import iec, rule, us

_WHY = {
    "explosive": "equipment in explosive areas needs a certified design",
    "molten": "a hot-metal crane may never lose its control by a radio fault",
    "stage": "flying over people has rules of its own",
    "magnet": "a magnet drops its load when its control fails",
    "passenger": "people are lifted",
    "mobile": "a mobile crane can tip; its limiter is part of its control",
}


@rule(
    "place.scope",
    "Inside the scope of this tool",
    danger=1,
    hazard="Where other rules hold, a plan that passes here can still kill.",
    sources=(
        us("NEC 500; ASME B30.2 hot-metal cranes (recalled)", "memory"),
        iec("ATEX 2014/34/EU; EN 17206 (recalled)", "memory"),
    ),
    checks="Explosive area, molten metal, stage flying, magnets, passenger and mobile cranes are asked "
    "about.",
    needs="place.outside_scope: the words that apply, or an empty list where none does.",
    does_not_cover="Uses that nobody thought of when answering.",
    wants="job",
)
def check(case: Case) -> Iterable[Draft]:
    place = case.job.place
    words = None if place is None else place.outside_scope
    wanted = "none of: " + ", ".join(_WHY)
    key = "place.outside_scope"
    if words is None:
        yield unknown("place", "not asked yet", wanted, "answer it; an empty list says none applies", key=key)
    elif words:
        why = "; ".join(_WHY.get(w, w) for w in words)
        yield failed(
            "place", f"outside scope: {', '.join(words)}", wanted, f"go to a specialist: {why}", key=key
        )
    else:
        yield passed("place", "asked; none applies", wanted, key=key)
