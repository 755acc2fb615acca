"""people.lifted: the tool does not clear a hoist that lifts people."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.rule import iec, rule, us


@rule(
    "people.lifted",
    "No people on the hook or under the load",
    danger=1,
    hazard="A material hoist has one brake and one rope; a person on it or under it dies of a single fault.",
    sources=(
        us("29 CFR 1910.179(n)(3)(v),(vi); ASME B30.16 16-3.1"),
        iec("Machinery Directive annex I 6; EN 14492-2 is for goods only (recalled)"),
    ),
    checks="Whether people are lifted or work under the load. Then the tool says why it stops here.",
    needs="job.people = outside | beside | lifted.",
    does_not_cover="What people do against the rule.",
    wants="job",
)
def check(case: Case) -> Iterable[Draft]:
    people, key = case.job.people, "job.people"
    wanted = "people outside or beside, never on the hook or under the load"
    if people is None:
        yield unknown("people", "where people are is not stated", wanted,
                      "state people: outside, beside or lifted", key=key)  # fmt: skip
    elif people == "lifted":
        yield failed("people", "people are lifted or stand under the load", wanted,
                     "use a hoist made for people; nothing here clears this one", key=key)  # fmt: skip
    else:
        yield passed("people", f"people are {people}", wanted, key=key)
